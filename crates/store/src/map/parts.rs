//! A field whose parts stand in several columns, read from them without building JSON in between.

use rusqlite::types::ValueRef;
use serde::{
    Deserialize,
    de::{self, DeserializeSeed, IntoDeserializer, MapAccess, VariantAccess, Visitor},
    forward_to_deserialize_any,
};

use serde_json::{Map, Value};

use super::{
    read::{Error, One},
    shape::{Form, Part},
};

/// The parts of a field, or of a part of it: those that begin alike down to `depth` steps.
#[derive(Clone, Copy)]
pub(super) struct Parts<'r> {
    parts: &'static [Part],
    /// Their cells, one each.
    cells: &'r [ValueRef<'r>],
    depth: usize,
}

/// What stands under one name: a value or parts of its own.
pub(super) enum Under<'r> {
    Cell(ValueRef<'r>, Form),
    Parts(Parts<'r>),
    Built(Value),
}

impl<'r> Parts<'r> {
    /// The parts of a field, with their cells; none if all are NULL.
    pub(super) fn of(parts: &'static [Part], cells: &'r [ValueRef<'r>]) -> Option<Self> {
        let all = Self::all(parts, cells);
        all.any().then_some(all)
    }

    /// Parts with their cells.
    pub(super) fn all(parts: &'static [Part], cells: &'r [ValueRef<'r>]) -> Self {
        Self {
            parts,
            cells,
            depth: 0,
        }
    }

    fn any(&self) -> bool {
        let mut both = self.parts.iter().zip(self.cells);
        both.any(|(part, cell)| part.form != Form::Word && *cell != ValueRef::Null)
    }

    /// Takes the next name off the front that has anything under it.
    fn next(&mut self) -> Option<(&'static str, Under<'r>)> {
        while let (Some(part), Some(cell)) = (self.parts.first(), self.cells.first()) {
            let Some(name) = part.path.get(self.depth).copied() else {
                self.take(1);
                continue;
            };
            if part.path.len() == self.depth + 1 {
                self.take(1);
                // A variant that holds something is told by what it holds.
                if part.form == Form::Word && self.under(name).any() {
                    continue;
                }
                if *cell != ValueRef::Null {
                    return Some((name, Under::Cell(*cell, part.form)));
                }
                continue;
            }
            let group = self.under(name);
            self.take(group.parts.len());
            if group.any() {
                return Some((name, Under::Parts(group)));
            }
        }
        None
    }

    /// The parts at the front that stand under this name.
    fn under(&self, name: &str) -> Self {
        let alike = |other: &&Part| other.path.get(self.depth) == Some(&name);
        let many = self.parts.iter().take_while(alike).count();
        let mut all = *self;
        let mut group = all.take(many);
        group.depth += 1;
        group
    }

    /// Takes some parts off the front.
    fn take(&mut self, count: usize) -> Self {
        let (parts, rest) = self.parts.split_at_checked(count).unwrap_or_default();
        let (cells, left) = self.cells.split_at_checked(count).unwrap_or_default();
        *self = Self {
            parts: rest,
            cells: left,
            depth: self.depth,
        };
        Self {
            parts,
            cells,
            depth: self.depth,
        }
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
            .next()
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
            Self::Built(value) => seed.deserialize(value),
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
        let Some((name, under)) = self.parts.next() else {
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
pub(super) struct Variant<'r> {
    name: &'r str,
    under: Under<'r>,
}

impl<'r> Variant<'r> {
    /// The variant that the word among the cells names, or that one of the others stands under, with the figures it holds
    /// beside what stands in other columns.
    pub(super) fn of(
        parts: &'static [Part],
        cells: &'r [ValueRef<'r>],
        mut figures: Value,
    ) -> Result<Option<Self>, Error> {
        let mut name = None;
        for (part, cell) in parts.iter().zip(cells) {
            match (part.form, part.path, *cell) {
                (Form::Figures, ..) | (.., ValueRef::Null) => {}
                (Form::Word, ..) => name = Some(cell.as_str().map_err(de::Error::custom)?),
                (_, [variant, way @ ..], cell) => {
                    name = Some(*variant);
                    put(&mut figures, way, Value::deserialize(One(cell, part.form))?);
                }
                (_, [], _) => {}
            }
        }
        Ok(name.map(|name| Self {
            name,
            under: Under::Built(figures),
        }))
    }
}

/// Puts `found` at `path`; a word on the way becomes an object.
fn put(value: &mut Value, path: &[&str], found: Value) {
    match path.split_first() {
        None => *value = found,
        Some((step, way)) => {
            if !value.is_object() {
                *value = Value::Object(Map::new());
            }
            if let Some(object) = value.as_object_mut() {
                put(object.entry(*step).or_insert(Value::Null), way, found);
            }
        }
    }
}

impl<'de> de::Deserializer<'de> for Variant<'_> {
    type Error = Error;
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_enum(self)
    }
    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
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
            Self::Built(value) => de::Deserializer::deserialize_any(value, visitor),
        }
    }
}
