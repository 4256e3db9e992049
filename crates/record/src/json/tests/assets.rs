//! The committed schema and page are those of the code. `CRIMPBOOK_WRITE_ASSETS=1 cargo test -p crimpbook-record` writes them.

use std::path::Path;

use crate::json::{page, schema, schema::generated};

fn held_equal(name: &str, made: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../assets")
        .join(name);
    if std::env::var_os("CRIMPBOOK_WRITE_ASSETS").is_some() {
        std::fs::write(&path, made).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap();
    assert!(
        kept == made,
        "assets/{name} is not what the code says; write it anew with CRIMPBOOK_WRITE_ASSETS=1"
    );
}

#[test]
fn the_schema_is_the_codes() {
    let made = serde_json::to_string_pretty(&generated()).unwrap() + "\n";
    held_equal("workbook.schema.json", &made);
    assert_eq!(
        schema().get("$schema").and_then(|s| s.as_str()),
        Some("https://json-schema.org/draft/2020-12/schema")
    );
}

#[test]
fn the_page_is_the_codes() {
    held_equal("workbook-format.md", &page(&generated()));
}

#[test]
fn every_field_is_explained() {
    fn look(value: &serde_json::Value, place: &str, silent: &mut Vec<String>) {
        if let Some(fields) = value.get("properties").and_then(|p| p.as_object()) {
            for (name, field) in fields {
                let place = format!("{place}.{name}");
                // What a tag of an enum stands for is told by the variant.
                if field.get("description").is_none() && value.get("description").is_none() {
                    silent.push(place.clone());
                }
                look(field, &place, silent);
            }
        }
        for list in ["oneOf", "anyOf"] {
            for variant in value.get(list).and_then(|v| v.as_array()).into_iter().flatten() {
                look(variant, place, silent);
            }
        }
        for (name, def) in value
            .get("$defs")
            .and_then(|d| d.as_object())
            .into_iter()
            .flatten()
        {
            look(def, name, silent);
        }
    }
    let mut silent = Vec::new();
    look(&schema(), "document", &mut silent);
    assert!(silent.is_empty(), "fields without a word: {silent:?}");
}
