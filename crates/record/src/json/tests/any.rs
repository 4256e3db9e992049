//! Any document that the schema allows, drawn from the schema itself: no field can be forgotten.

use proptest::{
    prelude::*,
    test_runner::{RngAlgorithm, TestRng},
};
use serde_json::{Map, Value, json};

use crate::json::schema;

/// Rows as the schema allows them; references lead nowhere, which reading does not mind.
pub fn any_records() -> impl Strategy<Value = Value> {
    any::<[u8; 32]>().prop_map(|seed| {
        let schema = schema();
        let mut draw = Draw {
            root: &schema,
            rng: TestRng::from_seed(RngAlgorithm::ChaCha, &seed),
            ids: 0,
        };
        draw.value(schema.pointer("/$defs/RecordLists").unwrap())
    })
}

struct Draw<'a> {
    root: &'a Value,
    rng: TestRng,
    ids: u64,
}

impl Draw<'_> {
    fn below(&mut self, n: u64) -> u64 {
        self.rng.next_u64() % n
    }

    fn one_of<'v>(&mut self, list: &'v [Value]) -> &'v Value {
        let at = self.below(list.len() as u64);
        &list[at as usize]
    }

    fn value(&mut self, schema: &Value) -> Value {
        if let Some(path) = schema.get("$ref").and_then(Value::as_str) {
            let root = self.root;
            return self.value(root.pointer(path.trim_start_matches('#')).unwrap());
        }
        if let Some(list) = schema
            .get("oneOf")
            .or(schema.get("anyOf"))
            .and_then(Value::as_array)
        {
            let variant = self.one_of(list).clone();
            return self.value(&variant);
        }
        for key in ["examples", "enum"] {
            if let Some(list) = schema.get(key).and_then(Value::as_array) {
                return self.one_of(list).clone();
            }
        }
        if let Some(constant) = schema.get("const") {
            return constant.clone();
        }
        let kind = match &schema["type"] {
            Value::Array(kinds) => self.one_of(kinds).clone(),
            kind => kind.clone(),
        };
        match kind.as_str().unwrap() {
            "null" => Value::Null,
            "boolean" => json!(self.below(2) == 0),
            "integer" => json!(self.below(1 << 31)),
            "number" => loop {
                // Any bits at all: figures must come back to the last one.
                let number = f64::from_bits(self.rng.next_u64());
                if number.is_finite() {
                    break json!(number);
                }
            },
            "string" => self.text(schema),
            "array" => (0..self.below(4)).map(|_| self.value(&schema["items"])).collect(),
            "object" => self.object(schema),
            other => panic!("the schema has {other}"),
        }
    }

    fn object(&mut self, schema: &Value) -> Value {
        let needed: Vec<&str> = schema["required"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .collect();
        let mut object = Map::new();
        for (name, field) in schema["properties"].as_object().into_iter().flatten() {
            if needed.contains(&name.as_str()) || self.below(3) > 0 {
                object.insert(name.clone(), self.value(field));
            }
        }
        object.into()
    }

    fn text(&mut self, schema: &Value) -> Value {
        if schema.get("format").and_then(Value::as_str) == Some("date-time") {
            let (day, second, nano) = (1 + self.below(28), self.below(60), self.below(1_000_000_000));
            return json!(format!("2031-02-{day:02}T23:59:{second:02}.{nano:09}Z"));
        }
        if schema.get("pattern").is_some() {
            self.ids += 1;
            return json!(format!("w{}", self.ids));
        }
        const PIECES: &[&str] = &[
            "",
            "W44",
            "\"",
            "\\",
            "\n",
            "\u{1b}[2J",
            "\u{202e}",
            "µΩ²",
            "=1+1",
            "<b>",
            "\u{7f}",
            "\u{feff}",
            "\u{10ffff}",
            "é",
            "log",
        ];
        let mut text = String::new();
        for _ in 0..self.below(5) {
            text.push_str(PIECES[self.below(PIECES.len() as u64) as usize]);
        }
        json!(text)
    }
}
