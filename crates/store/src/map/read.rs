//! Rows into records, straight through serde: no JSON text in between, so that thousands of wires open at once.

use rusqlite::{Row, types::ValueRef};
use serde::{
    Deserialize,
    de::{self, DeserializeSeed, IntoDeserializer, MapAccess, VariantAccess, Visitor},
    forward_to_deserialize_any,
};
use serde_json::Value;

use crimpbook_workbook::model::Record;

use super::{
    Plan,
    elements::{Elements, ListRows},
    parts::{Parts, Variant},
    shape::{Form, Part, Shape},
};

pub(super) type Error = serde_json::Error;

/// The record in a row that was selected by its plan.
pub(crate) fn record(plan: &Plan, row: &Row<'_>, lists: &[ListRows]) -> Result<Record, Error> {
    let cells = cells(row, 0)?;
    let cells = &cells;
    Record::deserialize(Tagged { plan, cells, lists })
}

/// Presents a row as the one variant of [`Record`] that it is.
struct Tagged<'r> {
    plan: &'r Plan,
    cells: &'r [ValueRef<'r>],
    lists: &'r [ListRows],
}

impl<'de> de::Deserializer<'de> for Tagged<'_> {
    type Error = Error;
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_enum(self)
    }
    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

impl<'de> de::EnumAccess<'de> for Tagged<'_> {
    type Error = Error;
    type Variant = Self;
    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self), Error> {
        let word: de::value::StrDeserializer<'_, Error> = self.plan.word.as_str().into_deserializer();
        Ok((seed.deserialize(word)?, self))
    }
}

impl<'de> VariantAccess<'de> for Tagged<'_> {
    type Error = Error;
    fn unit_variant(self) -> Result<(), Error> {
        Err(de::Error::custom("a row holds fields"))
    }
    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(de::value::MapAccessDeserializer::new(Fields {
            plan: self.plan,
            cells: self.cells,
            lists: self.lists,
            id: self.cells.first().and_then(|id| id.as_str().ok()).unwrap_or(""),
            field: 0,
            list: 0,
            value: Held::Nothing,
        }))
    }
    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, _visitor: V) -> Result<V::Value, Error> {
        self.unit_variant()
            .and_then(|()| Err(de::Error::custom("a row is no tuple")))
    }
    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        _visitor: V,
    ) -> Result<V::Value, Error> {
        self.unit_variant()
            .and_then(|()| Err(de::Error::custom("a row is no variant with fields of its own")))
    }
}

/// Walks the fields of a row; what is NULL is left out.
struct Fields<'r> {
    plan: &'r Plan,
    /// Those of the fields that are still to come.
    cells: &'r [ValueRef<'r>],
    lists: &'r [ListRows],
    /// The record's id, which its lists are found by.
    id: &'r str,
    /// The next field, `id` being 0.
    field: usize,
    /// The next list.
    list: usize,
    /// The value of the key that was given last.
    value: Held<'r>,
}

enum Held<'r> {
    Nothing,
    Cell(ValueRef<'r>, Form),
    Parts(Parts<'r>),
    Variant(Variant<'r>),
    List(Elements<'r>),
}

impl<'r> Fields<'r> {
    /// The next field that is not NULL.
    fn next(&mut self) -> Result<Option<(&'static str, Held<'r>)>, Error> {
        if self.field == 0 {
            self.field = 1;
            let id = self.take(1).first().copied().unwrap_or(ValueRef::Null);
            return Ok(Some(("id", Held::Cell(id, Form::Plain))));
        }
        while let Some(field) = self.plan.fields.get(self.field - 1) {
            self.field += 1;
            let held = match &field.shape {
                Shape::One(form) => match self.take(1) {
                    [] | [ValueRef::Null] => continue,
                    [cell, ..] => Held::Cell(*cell, *form),
                },
                Shape::Many(parts, otherwise) => match (many(parts, self.take(parts.len()))?, otherwise) {
                    (Some(held), _) => held,
                    (None, Some(word)) => Held::Cell(ValueRef::Text(word.as_bytes()), Form::Plain),
                    (None, None) => continue,
                },
                Shape::List(_) => {
                    let Some(rows) = self.lists.get(self.list) else {
                        continue;
                    };
                    self.list += 1;
                    Held::List(rows.of(self.id))
                }
            };
            return Ok(Some((field.name, held)));
        }
        Ok(None)
    }

    /// Takes some cells off the front.
    fn take(&mut self, count: usize) -> &'r [ValueRef<'r>] {
        let (taken, rest) = self.cells.split_at_checked(count).unwrap_or_default();
        self.cells = rest;
        taken
    }
}

/// A field in several columns; none if all are NULL.
fn many<'r>(parts: &'static [Part], cells: &'r [ValueRef<'r>]) -> Result<Option<Held<'r>>, Error> {
    if let Some(figures) = figures(parts, cells)? {
        return Ok(Variant::of(parts, cells, figures)?.map(Held::Variant));
    }
    if let Some(parts) = Parts::of(parts, cells) {
        return Ok(Some(Held::Parts(parts)));
    }
    let mut both = parts.iter().zip(cells);
    let word = both.find(|(part, cell)| part.form == Form::Word && **cell != ValueRef::Null);
    Ok(word.map(|(_, cell)| Held::Cell(*cell, Form::Plain)))
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = Error;
    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some((name, value)) = self.next()? else {
            return Ok(None);
        };
        self.value = value;
        let name: de::value::StrDeserializer<'_, Error> = name.into_deserializer();
        seed.deserialize(name).map(Some)
    }
    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Error> {
        match std::mem::replace(&mut self.value, Held::Nothing) {
            Held::Nothing => Err(de::Error::custom("a value without its key")),
            Held::Parts(parts) => seed.deserialize(parts),
            Held::Variant(variant) => seed.deserialize(variant),
            Held::List(elements) => seed.deserialize(de::value::SeqAccessDeserializer::new(elements)),
            Held::Cell(cell, Form::Json | Form::Figures) => seed.deserialize(parsed(cell)?),
            Held::Cell(cell, form) => seed.deserialize(One(cell, form)),
        }
    }
}

/// One cell as a value.
pub(super) struct One<'r>(pub ValueRef<'r>, pub Form);

impl<'de> de::Deserializer<'de> for One<'_> {
    type Error = Error;
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match (self.0, self.1) {
            (ValueRef::Null, _) => visitor.visit_unit(),
            (ValueRef::Integer(whole), Form::Flag) => visitor.visit_bool(whole != 0),
            (ValueRef::Integer(whole), _) => visitor.visit_i64(whole),
            (ValueRef::Real(real), _) => visitor.visit_f64(real),
            (ValueRef::Text(_), _) => visitor.visit_str(self.0.as_str().map_err(de::Error::custom)?),
            (ValueRef::Blob(_), _) => Err(de::Error::custom("a blob is no value of a workbook")),
        }
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let word: de::value::StrDeserializer<'_, Error> =
            self.0.as_str().map_err(de::Error::custom)?.into_deserializer();
        visitor.visit_enum(word)
    }
    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct
        newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

/// What a variant holds beyond what stands in other columns; none where it holds no more.
fn figures(parts: &[Part], cells: &[ValueRef<'_>]) -> Result<Option<Value>, Error> {
    let mut both = parts.iter().zip(cells);
    let found = both.find(|(part, cell)| part.form == Form::Figures && **cell != ValueRef::Null);
    found.map(|(_, cell)| parsed(*cell)).transpose()
}

/// The cells of a row from a column on.
fn cells<'r>(row: &'r Row<'_>, first: usize) -> Result<Vec<ValueRef<'r>>, Error> {
    let columns = row.as_ref().column_count();
    let mut cells = Vec::with_capacity(columns);
    for column in first..columns {
        cells.push(row.get_ref(column).map_err(de::Error::custom)?);
    }
    Ok(cells)
}

fn parsed(cell: ValueRef<'_>) -> Result<Value, Error> {
    serde_json::from_str(cell.as_str().map_err(de::Error::custom)?)
}
