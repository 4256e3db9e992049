//! Columns of tables of drums, counted parts and settings.

use super::{Field, FieldRow, TableOf, row};

const DRUM: &[TableOf] = &[TableOf::Drums];
const STOCK: &[TableOf] = &[TableOf::Stock];
const SETTING: &[TableOf] = &[TableOf::Settings];

/// Every field of them.
pub(super) static ROWS: &[FieldRow] = &[
    row(
        Field::Drum,
        "drum",
        DRUM,
        &["drum", "drum no", "spool", "reel", "label", "number", "no"],
    ),
    row(Field::SizeWritten, "size-written", DRUM, &["size written"]),
    row(
        Field::InStock,
        "in-stock",
        DRUM,
        &["in stock", "stock", "length", "left", "metres", "meters"],
    ),
    row(Field::Line, "line", STOCK, &["line", "item", "article"]),
    row(Field::Part, "part", STOCK, &["part", "kind", "what"]),
    row(
        Field::Which,
        "which",
        STOCK,
        &["which", "family", "type", "description"],
    ),
    row(
        Field::Have,
        "have",
        STOCK,
        &["have", "at hand", "in stock", "stock", "count"],
    ),
    row(
        Field::Ordered,
        "ordered",
        STOCK,
        &["ordered", "on order", "order"],
    ),
    row(
        Field::Here,
        "here",
        STOCK,
        &["here", "come", "arrived", "received"],
    ),
    row(Field::Unit, "unit", SETTING, &["unit", "device", "controller"]),
    row(
        Field::Setting,
        "setting",
        SETTING,
        &["setting", "parameter", "parameter name", "name", "label"],
    ),
    row(
        Field::Value,
        "value",
        SETTING,
        &["value", "set to", "current value", "actual value"],
    ),
    row(
        Field::Measure,
        "measure",
        SETTING,
        &["measure", "unit of measure", "unit of the value", "units"],
    ),
    row(Field::Role, "role", SETTING, &["role", "sets", "what it sets"]),
    row(
        Field::Least,
        "least",
        SETTING,
        &["least", "min", "minimum", "lower limit"],
    ),
    row(
        Field::Most,
        "most",
        SETTING,
        &["most", "max", "maximum", "upper limit"],
    ),
    row(
        Field::Default,
        "default",
        SETTING,
        &["default", "factory", "default value", "factory setting"],
    ),
    row(
        Field::Cavities,
        "cavities",
        SETTING,
        &["cavities", "cavity", "pins", "pin"],
    ),
];
