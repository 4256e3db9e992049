//! Looks at every text and every figure of a record, whatever its kind, so that a new field cannot be forgotten.

use std::fmt;

use serde::{Serialize, ser};

use super::{Refusal, wrong};
use crate::{Book, model::Record};

/// Longest text, in bytes.
const LONGEST: usize = 10_000;

/// Refuses texts that are too long or hold control characters, and figures that are not finite.
pub(super) fn check(book: &Book, record: &Record) -> Result<(), Refusal> {
    record
        .serialize(&mut Walk { field: "" })
        .map_err(|problem| wrong(book, record.key(), problem.0))
}

struct Walk {
    field: &'static str,
}

impl Walk {
    fn name(&self) -> String {
        self.field.replace('_', " ")
    }

    fn text(&self, text: &str) -> Result<(), Problem> {
        if text.len() > LONGEST {
            return Err(Problem(format!(
                "its {} is longer than {LONGEST} bytes; shorten it",
                self.name()
            )));
        }
        match text.chars().find(|c| c.is_control() && *c != '\n') {
            None => Ok(()),
            Some(c) => Err(Problem(format!(
                "its {} holds the control character U+{:04X}; take it out",
                self.name(),
                u32::from(c)
            ))),
        }
    }

    fn figure(&self, value: f64) -> Result<(), Problem> {
        if value.is_finite() {
            return Ok(());
        }
        Err(Problem(format!(
            "its {} is not a number; correct it",
            self.name()
        )))
    }

    fn inner<T: Serialize + ?Sized>(&mut self, field: &'static str, value: &T) -> Result<(), Problem> {
        let outer = std::mem::replace(&mut self.field, field);
        value.serialize(&mut *self)?;
        self.field = outer;
        Ok(())
    }
}

#[derive(Debug)]
struct Problem(String);

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
impl std::error::Error for Problem {}
impl ser::Error for Problem {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

macro_rules! nothing_to_see {
    ($($method:ident: $type:ty,)*) => { $(fn $method(self, _: $type) -> Result<(), Problem> { Ok(()) })* };
}

impl ser::Serializer for &mut Walk {
    type Ok = ();
    type Error = Problem;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = Self;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    nothing_to_see! {
        serialize_bool: bool, serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_i64: i64,
        serialize_u8: u8, serialize_u16: u16, serialize_u32: u32, serialize_u64: u64, serialize_bytes: &[u8],
        serialize_unit_struct: &'static str,
    }

    fn serialize_f32(self, value: f32) -> Result<(), Problem> {
        self.figure(f64::from(value))
    }
    fn serialize_f64(self, value: f64) -> Result<(), Problem> {
        self.figure(value)
    }
    fn serialize_char(self, c: char) -> Result<(), Problem> {
        self.text(c.encode_utf8(&mut [0; 4]))
    }
    fn serialize_str(self, text: &str) -> Result<(), Problem> {
        self.text(text)
    }
    /// Ids, colours and moments print themselves; nothing of a person's text is in them.
    fn collect_str<T: fmt::Display + ?Sized>(self, _: &T) -> Result<(), Problem> {
        Ok(())
    }
    fn serialize_none(self) -> Result<(), Problem> {
        Ok(())
    }
    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Problem> {
        value.serialize(self)
    }
    fn serialize_unit(self) -> Result<(), Problem> {
        Ok(())
    }
    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Result<(), Problem> {
        Ok(())
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), Problem> {
        value.serialize(self)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        value: &T,
    ) -> Result<(), Problem> {
        value.serialize(self)
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_tuple(self, _: usize) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, Problem> {
        Ok(self)
    }
    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, Problem> {
        Ok(self)
    }
}

macro_rules! through {
    ($($trait:ident: $method:ident,)*) => {
        $(impl ser::$trait for &mut Walk {
            type Ok = ();
            type Error = Problem;
            fn $method<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Problem> { value.serialize(&mut **self) }
            fn end(self) -> Result<(), Problem> { Ok(()) }
        })*
    };
}
through! {
    SerializeSeq: serialize_element, SerializeTuple: serialize_element,
    SerializeTupleStruct: serialize_field, SerializeTupleVariant: serialize_field,
}

macro_rules! by_field {
    ($($trait:ident,)*) => {
        $(impl ser::$trait for &mut Walk {
            type Ok = ();
            type Error = Problem;
            fn serialize_field<T: Serialize + ?Sized>(&mut self, field: &'static str, value: &T) -> Result<(), Problem> {
                self.inner(field, value)
            }
            fn end(self) -> Result<(), Problem> { Ok(()) }
        })*
    };
}
by_field! { SerializeStruct, SerializeStructVariant, }

impl ser::SerializeMap for &mut Walk {
    type Ok = ();
    type Error = Problem;
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Problem> {
        key.serialize(&mut **self)
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Problem> {
        value.serialize(&mut **self)
    }
    fn end(self) -> Result<(), Problem> {
        Ok(())
    }
}
