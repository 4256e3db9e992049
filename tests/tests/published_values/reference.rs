//! Reads the reference tables.

use std::collections::HashMap;
use std::path::Path;

/// One row by column name.
pub struct Row(HashMap<String, String>);

impl Row {
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .map(String::as_str)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    pub fn number(&self, column: &str) -> f64 {
        self.number_or_empty(column)
            .unwrap_or_else(|| panic!("{column} is empty"))
    }

    pub fn number_or_empty(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|_| panic!("{text} is no number")))
    }
}

/// All rows of a table, each of which must name its source and how it is known.
pub fn table(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data/reference")
        .join(name);
    let mut reader = csv::Reader::from_path(path).expect("the table is there");
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| Row(row.expect("a whole row")))
        .collect();
    for row in &rows {
        assert!(!row.text("source").is_empty());
        assert!(["read", "memory", "computed"].contains(&row.text("how_known")));
    }
    rows
}
