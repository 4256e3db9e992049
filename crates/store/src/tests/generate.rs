//! Records made up from their JSON Schema, so that a new field or variant is tested without anybody remembering to.

use serde_json::{Map, Value, json};

use crimpbook_workbook::model::{Kind, Record};

/// The ids that made-up records have and name, the same in every kind, so that every reference leads somewhere.
pub(crate) const IDS: [&str; 3] = ["a", "b2", "c33"];

/// Numbers that follow from a seed.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// SplitMix64.
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, n: usize) -> usize {
        (self.roll() % n as u64) as usize
    }

    fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// Every kind once with each id, all made up.
pub(crate) fn records(dice: &mut Dice) -> Vec<Record> {
    let schema = serde_json::to_value(schemars::schema_for!(Record)).unwrap();
    let mut all = Vec::new();
    for kind in Kind::ALL {
        let word = serde_json::to_value(kind).unwrap();
        let word = word.as_str().unwrap();
        let variant = schema["oneOf"]
            .as_array()
            .unwrap()
            .iter()
            .find(|variant| variant["properties"].get(word).is_some())
            .unwrap();
        for id in IDS {
            let mut made = make(&schema, variant, dice);
            made[word]["id"] = json!(id);
            all.push(serde_json::from_value(made.clone()).unwrap_or_else(|e| panic!("{e}: {made:#}")));
        }
    }
    all
}

fn make(root: &Value, schema: &Value, dice: &mut Dice) -> Value {
    if let Some(name) = schema["$ref"].as_str() {
        return named(root, name.rsplit('/').next().unwrap(), dice);
    }
    for choice in ["oneOf", "anyOf"] {
        if let Some(choices) = schema[choice].as_array() {
            let chosen = &choices[dice.below(choices.len())];
            return make(root, chosen, dice);
        }
    }
    if let Some(constant) = schema.get("const") {
        return constant.clone();
    }
    if let Some(words) = schema["enum"].as_array() {
        return words[dice.below(words.len())].clone();
    }
    match &schema["type"] {
        Value::Array(types) => of_type(
            root,
            schema,
            types[dice.below(types.len())].as_str().unwrap(),
            dice,
        ),
        Value::String(one) => of_type(root, schema, one, dice),
        _ => panic!("no type: {schema:#}"),
    }
}

fn named(root: &Value, name: &str, dice: &mut Dice) -> Value {
    match name {
        // Every reference is to one of the ids that every kind has.
        "Id" => json!(dice.pick(&IDS)),
        _ => make(root, &root["$defs"][name], dice),
    }
}

fn of_type(root: &Value, schema: &Value, kind: &str, dice: &mut Dice) -> Value {
    match kind {
        "null" => Value::Null,
        "boolean" => json!(dice.below(2) == 1),
        "integer" => json!(dice.roll() as i64 >> dice.below(63)),
        "number" => json!(number(dice)),
        "string" if schema["format"] == "date-time" => json!(dice.pick(&[
            "2026-03-01T09:30:00Z",
            "1999-12-31T23:59:59.999999999Z",
            "2026-07-15T00:00:00.5Z",
        ])),
        // A text that must follow a form shows some of it.
        "string" => match schema["examples"].as_array() {
            Some(examples) => examples[dice.below(examples.len())].clone(),
            None => json!(text(dice)),
        },
        "array" => (0..dice.below(4))
            .map(|_| make(root, &schema["items"], dice))
            .collect(),
        "object" => Value::Object(schema["properties"].as_object().map_or_else(Map::new, |fields| {
            fields
                .iter()
                .map(|(name, field)| (name.clone(), make(root, field, dice)))
                .collect()
        })),
        other => panic!("type {other}"),
    }
}

fn number(dice: &mut Dice) -> f64 {
    match dice.below(5) {
        0 => 0.0,
        1 => dice.pick(&[12.0, -40.0, 0.35, 1e300, 5e-324, 0.1 + 0.2]),
        _ => loop {
            let any = f64::from_bits(dice.roll());
            if any.is_finite() {
                break any;
            }
        },
    }
}

fn text(dice: &mut Dice) -> String {
    dice.pick(&[
        "",
        "free",
        "W44",
        "null",
        "1.0",
        "O'Hara \"quoted\" \\",
        "ohne Größe: 0,35 mm²\nzweite Zeile",
        "nul \0 and bell \u{7}",
        "\u{1f527}\u{200d}",
        "{\"a\":1}",
    ])
    .to_owned()
}
