//! Small workbooks as interchange JSON.

/// A workbook with these lists of records besides its own page.
pub fn book(lists: &str) -> String {
    let about = r#""about": [{"id": "a", "vehicle": "Test cart", "supply": {"least_v": 9, "nominal_v": 12, "most_v": 15}}]"#;
    let comma = if lists.is_empty() { "" } else { "," };
    format!("{{\"crimpbook_format\": 1, \"records\": {{{about}{comma} {lists}}}}}")
}

/// One cavity that was left empty on purpose: nothing to find, nothing missing.
pub const BLANK: &str = r#"
  "units": [{"id": "mc", "label": "MC", "name": "motor controller"}],
  "connectors": [{"id": "mca", "unit": "mc", "label": "MC-A", "sealed": false}],
  "cavities": [{"id": "mca1", "connector": "mca", "number": "1", "kind": "low_side_out", "decision": "blank", "why": "spare"}]"#;

/// One cavity that nobody has decided, of which nothing is known.
pub const OPEN: &str = r#"
  "units": [{"id": "mc", "label": "MC", "name": "motor controller"}],
  "connectors": [{"id": "mca", "unit": "mc", "label": "MC-A"}],
  "cavities": [{"id": "mca1", "connector": "mca", "number": "1", "decision": "undecided"}]"#;

/// A plug with a red wire and two that have no colour yet, and three drums.
pub const STOCKED: &str = r#"
  "drums": [
    {"id": "d1", "label": "D1", "area_mm2": 0.5, "colour": "RD", "stock_m": 40.0},
    {"id": "d2", "label": "D2", "area_mm2": 0.5, "colour": "GN", "stock_m": 20.0},
    {"id": "d3", "label": "D3", "area_mm2": 0.5, "colour": "YE", "stock_m": 2.0}],
  "units": [{"id": "mc", "label": "MC", "name": "controller"}],
  "connectors": [{"id": "a", "unit": "mc", "label": "MC-A", "sealed": false, "face": "rows 3, from upper left, seen from mating side"}],
  "cavities": [
    {"id": "a1", "connector": "a", "number": "1", "kind": "analogue_in", "decision": "wired"},
    {"id": "a2", "connector": "a", "number": "2", "kind": "analogue_in", "decision": "wired"},
    {"id": "a3", "connector": "a", "number": "3", "kind": "analogue_in", "decision": "wired"}],
  "wires": [
    {"id": "w1", "label": "W1", "from": {"cavity": "a1"}, "to": "free", "area_mm2": 0.5, "colour": "RD", "length_m": 2.4},
    {"id": "w2", "label": "W2", "from": {"cavity": "a2"}, "to": "free", "area_mm2": 0.5, "length_m": 2.4},
    {"id": "w3", "label": "W3", "from": {"cavity": "a3"}, "to": "free", "area_mm2": 0.5, "length_m": 2.4}]"#;

/// Two wires between two connectors, ready to be built; only built wires are missing.
pub const WIRED: &str = r#"
  "units": [{"id": "mc", "label": "MC", "name": "motor controller"}, {"id": "pb", "label": "PB", "name": "fuse box"}],
  "connectors": [
    {"id": "mca", "unit": "mc", "label": "MC-A", "sealed": false, "face": "rows 2 2, from upper left, seen from mating side"},
    {"id": "pba", "unit": "pb", "label": "PB-A", "sealed": false, "face": "rows 2, from upper left, seen from mating side"}],
  "cavities": [
    {"id": "mca1", "connector": "mca", "number": "1", "decision": "wired", "why": "logic supply"},
    {"id": "mca2", "connector": "mca", "number": "2", "decision": "wired", "why": "wake-up"},
    {"id": "mca3", "connector": "mca", "number": "3", "decision": "undecided"},
    {"id": "mca4", "connector": "mca", "number": "4", "decision": "undecided"},
    {"id": "pba1", "connector": "pba", "number": "1", "decision": "wired"},
    {"id": "pba2", "connector": "pba", "number": "2", "decision": "wired"}],
  "wires": [
    {"id": "w1", "label": "W1", "from": {"cavity": "pba1"}, "to": {"cavity": "mca1"}, "area_mm2": 0.5, "colour": "RD", "length_m": 2.4},
    {"id": "w2", "label": "W2", "from": {"cavity": "pba2"}, "to": {"cavity": "mca2"}, "area_mm2": 0.5, "colour": "GN/WH", "length_m": 2.4}]"#;
