//! A field whose parts stand in several columns, read from them without building JSON in between.

use rusqlite::{Row, types::ValueRef};
use serde::{
    de::{self, DeserializeSeed, IntoDeserializer, MapAccess, VariantAccess, Visitor},
    forward_to_deserialize_any,
};

use super::{
    read::{Error, One, at},
    shape::{Form, Part},
};

/// The parts of a field, or of a part of it: those that begin alike down to `depth` steps.
#[derive(Clone, Copy)]
pub(super) struct Parts<'r> {
    parts: &'static [Part],
    row: &'r Row<'r>,
    /// The column of the first part.
    first: usize,
    depth: usize,
}

/// What stands under one name: a value or parts of its own.
enum Under<'r> {
    Cell(ValueRef<'r>, Form),
    Parts(Parts<'r>),
}

impl<'r> Parts<'r> {
    /// The parts of a field whose first column is `first`; none if all are NULL.
    pub(super) fn of(parts: &'static [Part], row: &'r Row<'r>, first: usize) -> Result<Option<Self>, Error> {
        let all = Self {
            parts,
            row,
            first,
            depth: 0,
        };
        Ok(all.any()?.then_some(all))
    }

    fn any(&self) -> Result<bool, Error> {
        for (part, column) in self.parts.iter().zip(self.first..) {
            if part.form != Form::Word && at(self.row, column)? != ValueRef::Null {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Takes the next name off the front that has anything under it.
    fn next(&mut self) -> Result<Option<(&'static str, Under<'r>)>, Error> {
        while let Some(part) = self.parts.first() {
            let Some(name) = part
                .path
                .get(self.depth)
                .copied()
                .filter(|_| part.form != Form::Word)
            else {
                self.skip(1);
                continue;
            };
            let alike = |other: &&Part| other.path.get(self.depth) == Some(&name);
            let many = self.parts.iter().take_while(alike).count();
            let group = Self {
                parts: self.parts.get(..many).unwrap_or_default(),
                depth: self.depth + 1,
                ..*self
            };
            self.skip(many);
            if part.path.len() > group.depth {
                if group.any()? {
                    return Ok(Some((name, Under::Parts(group))));
                }
            } else {
                let cell = at(self.row, group.first)?;
                if cell != ValueRef::Null {
                    return Ok(Some((name, Under::Cell(cell, part.form))));
                }
            }
        }
        Ok(None)
    }

    fn skip(&mut self, parts: usize) {
        self.parts = self.parts.get(parts..).unwrap_or_default();
        self.first += parts;
    }
}

impl<'de> de::Deserializer<'de> for Parts<'_> {
    type Error = Error;
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_map(Names {
            parts: self,
            under: None,
        })
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }
    fn deserialize_enum<V: Visitor<'de>>(
        mut self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let (name, under) = self
            .next()?
            .ok_or_else(|| <Error as de::Error>::custom("none of its columns says what it is"))?;
        visitor.visit_enum(Variant { name, under })
    }
    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct
        newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

impl<'r> Under<'r> {
    fn deserialize<'de, S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Error> {
        match self {
            Self::Cell(cell, form) => seed.deserialize(One(cell, form)),
            Self::Parts(parts) => seed.deserialize(parts),
        }
    }
}

struct Names<'r> {
    parts: Parts<'r>,
    under: Option<Under<'r>>,
}

impl<'de> MapAccess<'de> for Names<'_> {
    type Error = Error;
    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some((name, under)) = self.parts.next()? else {
            return Ok(None);
        };
        self.under = Some(under);
        let name: de::value::StrDeserializer<'_, Error> = name.into_deserializer();
        seed.deserialize(name).map(Some)
    }
    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Error> {
        match self.under.take() {
            Some(under) => under.deserialize(seed),
            None => Err(de::Error::custom("a value without its key")),
        }
    }
}

/// A variant that holds something; one that does not is a word in one column.
struct Variant<'r> {
    name: &'static str,
    under: Under<'r>,
}

impl<'de, 'r> de::EnumAccess<'de> for Variant<'r> {
    type Error = Error;
    type Variant = Under<'r>;
    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Under<'r>), Error> {
        let name: de::value::StrDeserializer<'_, Error> = self.name.into_deserializer();
        Ok((seed.deserialize(name)?, self.under))
    }
}

impl<'de> VariantAccess<'de> for Under<'_> {
    type Error = Error;
    fn unit_variant(self) -> Result<(), Error> {
        Err(de::Error::custom("it holds something, where nothing is expected"))
    }
    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        self.deserialize(seed)
    }
    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, _visitor: V) -> Result<V::Value, Error> {
        Err(de::Error::custom("columns hold no tuples"))
    }
    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self {
            Self::Cell(..) => Err(de::Error::custom("it holds one value, where fields are expected")),
            Self::Parts(parts) => de::Deserializer::deserialize_any(parts, visitor),
        }
    }
}
