//! Wire colours in files: the text that core reads and prints (`GN/WH`).

use crimpbook_core::quantity::WireColour;
use serde::{Deserialize, Deserializer, Serializer, de::Error};

/// Writes a colour as its letters.
pub fn serialize<S: Serializer>(colour: &Option<WireColour>, serializer: S) -> Result<S::Ok, S::Error> {
    match colour {
        Some(colour) => serializer.collect_str(colour),
        None => serializer.serialize_none(),
    }
}

/// Reads letters or words, base then tracer.
pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<WireColour>, D::Error> {
    let text = <Option<std::borrow::Cow<'de, str>>>::deserialize(deserializer)?;
    text.map(|text| text.parse().map_err(D::Error::custom))
        .transpose()
}

/// The schema of a colour that may be absent.
pub fn schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
    schemars::json_schema!({
        "type": ["string", "null"],
        "examples": ["GN/WH", "BK"],
        "description": "Colour letters of IEC 60757, base then tracer (GN/WH); words are read as well."
    })
}
