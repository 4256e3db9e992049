//! JSON with its fields in the order in which they were written, so that a row reads as its struct does.

use std::{collections::HashMap, fmt};

use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{MapAccess, SeqAccess, Visitor},
};
use serde_json::Value;

/// A JSON value.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    /// Text, number, yes or no, nothing.
    Plain(Value),
    /// A list.
    List(Vec<Node>),
    /// Fields.
    Fields(Vec<(String, Node)>),
}

impl Node {
    /// Takes out fields that say nothing: at the top those that are as their `defaults`, at any depth nothing at all.
    pub(super) fn prune(&mut self, defaults: &HashMap<String, Value>) {
        if let Self::Fields(fields) = self {
            fields.retain(|(name, value)| defaults.get(name) != Some(&value.to_value()));
        }
        self.prune_nothing();
    }

    fn prune_nothing(&mut self) {
        match self {
            Self::Plain(_) => {}
            Self::List(list) => list.iter_mut().for_each(Self::prune_nothing),
            Self::Fields(fields) => {
                fields.retain(|(_, value)| *value != Self::Plain(Value::Null));
                fields.iter_mut().for_each(|(_, value)| value.prune_nothing());
            }
        }
    }

    fn to_value(&self) -> Value {
        match self {
            Self::Plain(value) => value.clone(),
            Self::List(list) => list.iter().map(Self::to_value).collect(),
            Self::Fields(fields) => fields
                .iter()
                .map(|(name, value)| (name.clone(), value.to_value()))
                .collect(),
        }
    }
}

impl Serialize for Node {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Plain(value) => value.serialize(serializer),
            Self::List(list) => list.serialize(serializer),
            Self::Fields(fields) => serializer.collect_map(fields.iter().map(|(name, value)| (name, value))),
        }
    }
}

impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct See;
        impl<'de> Visitor<'de> for See {
            type Value = Node;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("JSON")
            }
            fn visit_unit<E>(self) -> Result<Node, E> {
                Ok(Node::Plain(Value::Null))
            }
            fn visit_bool<E>(self, value: bool) -> Result<Node, E> {
                Ok(Node::Plain(value.into()))
            }
            fn visit_i64<E>(self, value: i64) -> Result<Node, E> {
                Ok(Node::Plain(value.into()))
            }
            fn visit_u64<E>(self, value: u64) -> Result<Node, E> {
                Ok(Node::Plain(value.into()))
            }
            fn visit_f64<E>(self, value: f64) -> Result<Node, E> {
                Ok(Node::Plain(value.into()))
            }
            fn visit_str<E>(self, value: &str) -> Result<Node, E> {
                Ok(Node::Plain(value.into()))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Node, A::Error> {
                let mut list = Vec::new();
                while let Some(item) = seq.next_element()? {
                    list.push(item);
                }
                Ok(Node::List(list))
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
                let mut fields = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    fields.push(entry);
                }
                Ok(Node::Fields(fields))
            }
        }
        deserializer.deserialize_any(See)
    }
}
