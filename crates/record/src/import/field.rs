//! What a column can be, and the head words it is recognised by.

/// A field that a column fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "the table below says what each is")]
pub enum Field {
    Connector,
    Number,
    UnitNumber,
    Function,
    Kind,
    Page,
    Contact,
    Decision,
    Why,
    Plug,
    Current,
    Peak,
    LeastCurrent,
    HighestVoltage,
    OnAbove,
    OffBelow,
    OnBelow,
    OffAbove,
    Rest,
    Full,
    Release,
    Wire,
    Signal,
    From,
    FromCavity,
    To,
    ToCavity,
    Size,
    Colour,
    Length,
    Bundle,
    Pair,
    Fuse,
    Voltage,
    DropLimit,
    Class,
    Note,
}

/// A field's row.
#[derive(Debug)]
pub struct FieldRow {
    /// The field.
    pub field: Field,
    /// Its name, as it is typed in `--column NAME=N`.
    pub name: &'static str,
    /// Whether a table of cavities has it.
    pub of_cavities: bool,
    /// Whether a table of wires has it.
    pub of_wires: bool,
    /// Head words, in small letters without marks, the surest first.
    pub heads: &'static [&'static str],
}

const fn row(field: Field, name: &'static str, of: (bool, bool), heads: &'static [&'static str]) -> FieldRow {
    FieldRow {
        field,
        name,
        of_cavities: of.0,
        of_wires: of.1,
        heads,
    }
}

const CAVITY: (bool, bool) = (true, false);
const WIRE: (bool, bool) = (false, true);
const BOTH: (bool, bool) = (true, true);

/// Every field.
pub static FIELDS: &[FieldRow] = &[
    row(
        Field::Connector,
        "connector",
        CAVITY,
        &["connector", "conn", "plug", "header", "housing", "stecker"],
    ),
    row(
        Field::Number,
        "number",
        CAVITY,
        &[
            "cavity",
            "cavity number",
            "cavity no",
            "pin",
            "pin number",
            "pin no",
            "pin nr",
            "pin position",
            "position",
            "terminal",
            "terminal no",
            "contact no",
            "number",
            "pos",
            "way",
            "hole",
            "kammer",
            "no",
            "nr",
            "num",
        ],
    ),
    row(
        Field::UnitNumber,
        "unit-number",
        CAVITY,
        &["unit number", "unit pin", "own number", "header pin"],
    ),
    row(
        Field::Function,
        "function",
        CAVITY,
        &[
            "function",
            "pin function",
            "pin name",
            "signal name",
            "signal",
            "name",
            "designation",
            "description",
            "assignment",
            "use",
            "funktion",
            "bezeichnung",
            "belegung",
            "circuit",
        ],
    ),
    row(
        Field::Kind,
        "kind",
        CAVITY,
        &[
            "kind",
            "signal kind",
            "signal type",
            "pin type",
            "type",
            "io type",
            "i o",
            "io",
            "in out",
            "direction",
            "art",
            "typ",
        ],
    ),
    row(
        Field::Page,
        "page",
        CAVITY,
        &["page", "manual page", "page no", "p", "seite", "reference", "ref"],
    ),
    row(
        Field::Contact,
        "contact",
        CAVITY,
        &["contact", "contact family", "terminal type", "contact type"],
    ),
    row(
        Field::Decision,
        "decision",
        CAVITY,
        &["decision", "decided", "status"],
    ),
    row(Field::Why, "why", CAVITY, &["why", "reason"]),
    row(
        Field::Plug,
        "plug",
        CAVITY,
        &["sealing plug", "blanking plug", "blind plug"],
    ),
    row(
        Field::Current,
        "current",
        BOTH,
        &[
            "current",
            "max current",
            "maximum current",
            "current max",
            "imax",
            "i max",
            "typical a",
            "typical current",
            "usual current",
            "rating",
            "load",
            "strom",
        ],
    ),
    row(
        Field::Peak,
        "peak",
        BOTH,
        &["peak", "peak current", "peak a", "inrush"],
    ),
    row(
        Field::LeastCurrent,
        "least-current",
        CAVITY,
        &["least current", "min current", "minimum current", "current min"],
    ),
    row(
        Field::HighestVoltage,
        "highest-voltage",
        CAVITY,
        &[
            "highest voltage",
            "max voltage",
            "maximum voltage",
            "voltage max",
            "vmax",
            "u max",
            "umax",
            "absolute max",
        ],
    ),
    row(
        Field::OnAbove,
        "on-above",
        CAVITY,
        &["on above", "on threshold", "high above"],
    ),
    row(
        Field::OffBelow,
        "off-below",
        CAVITY,
        &["off below", "off threshold", "low below"],
    ),
    row(Field::OnBelow, "on-below", CAVITY, &["on below"]),
    row(Field::OffAbove, "off-above", CAVITY, &["off above"]),
    row(
        Field::Rest,
        "rest",
        CAVITY,
        &["at rest", "rest", "rest v", "value at rest"],
    ),
    row(
        Field::Full,
        "full",
        CAVITY,
        &["at full", "full", "full v", "value at full"],
    ),
    row(
        Field::Release,
        "release",
        CAVITY,
        &["release", "release delay", "delay", "stays"],
    ),
    row(
        Field::Wire,
        "wire",
        BOTH,
        &[
            "wire",
            "wire label",
            "wire no",
            "wire number",
            "wire id",
            "wire name",
            "cable",
            "cable no",
            "lead",
            "draht",
            "label",
            "id",
            "leitung",
            "kabel",
            "wires",
        ],
    ),
    row(
        Field::Signal,
        "signal",
        WIRE,
        &[
            "signal",
            "carries",
            "function",
            "signal name",
            "name",
            "description",
            "circuit",
        ],
    ),
    row(
        Field::From,
        "from",
        WIRE,
        &[
            "from", "from end", "start", "source", "end a", "end 1", "a end", "von",
        ],
    ),
    row(
        Field::FromCavity,
        "from-cavity",
        WIRE,
        &["from cavity", "from pin", "start pin", "source pin", "pin a"],
    ),
    row(
        Field::To,
        "to",
        WIRE,
        &[
            "to",
            "to end",
            "end",
            "destination",
            "end b",
            "end 2",
            "b end",
            "target",
            "nach",
        ],
    ),
    row(
        Field::ToCavity,
        "to-cavity",
        WIRE,
        &["to cavity", "to pin", "end pin", "destination pin", "pin b"],
    ),
    row(
        Field::Size,
        "size",
        BOTH,
        &[
            "size",
            "wire size",
            "gauge",
            "awg",
            "cross section",
            "crosssection",
            "csa",
            "area",
            "conductor",
            "section",
            "mm2",
            "querschnitt",
        ],
    ),
    row(
        Field::Colour,
        "colour",
        BOTH,
        &[
            "colour",
            "color",
            "wire colour",
            "wire color",
            "col",
            "clr",
            "farbe",
        ],
    ),
    row(
        Field::Length,
        "length",
        BOTH,
        &["length", "len", "wire length", "länge"],
    ),
    row(Field::Bundle, "bundle", WIRE, &["bundle", "trunk", "branch"]),
    row(
        Field::Pair,
        "pair",
        WIRE,
        &["pair", "twisted pair", "twist", "shield"],
    ),
    row(Field::Fuse, "fuse", WIRE, &["fuse", "fuse meant", "protected by"]),
    row(
        Field::Voltage,
        "voltage",
        WIRE,
        &["voltage", "nominal v", "nominal voltage", "usual voltage"],
    ),
    row(
        Field::DropLimit,
        "drop-limit",
        WIRE,
        &["drop limit", "allowed drop", "max drop"],
    ),
    row(
        Field::Class,
        "class",
        WIRE,
        &["insulation class", "temperature class", "class"],
    ),
    row(
        Field::Note,
        "note",
        BOTH,
        &[
            "note",
            "notes",
            "remark",
            "remarks",
            "comment",
            "comments",
            "bemerkung",
        ],
    ),
];

impl Field {
    /// Its row.
    fn row(self) -> Option<&'static FieldRow> {
        FIELDS.iter().find(|row| row.field == self)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.row().map_or("", |row| row.name)
    }

    /// Whether an empty cell may clear it: not what a row is about, nor what always is something.
    pub fn can_be_cleared(self) -> bool {
        !matches!(
            self,
            Self::Connector
                | Self::Number
                | Self::Decision
                | Self::Plug
                | Self::Wire
                | Self::From
                | Self::FromCavity
                | Self::To
                | Self::ToCavity
        )
    }

    /// The field of this name in a table of cavities or of wires.
    pub fn named(name: &str, wires: bool) -> Option<Self> {
        of(wires)
            .find(|row| row.name.eq_ignore_ascii_case(name.trim()))
            .map(|row| row.field)
    }
}

/// The fields of a table of wires, or of cavities.
pub fn of(wires: bool) -> impl Iterator<Item = &'static FieldRow> {
    FIELDS
        .iter()
        .filter(move |row| if wires { row.of_wires } else { row.of_cavities })
}

/// Names of all fields, for a sentence.
pub fn names(wires: bool) -> String {
    of(wires).map(|row| row.name).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_head_word_means_two_fields_of_one_table() {
        for wires in [false, true] {
            let mut seen = HashSet::new();
            for row in of(wires) {
                for head in row.heads {
                    assert!(seen.insert(*head), "{head} twice, wires: {wires}");
                    assert_eq!(
                        super::super::head::plain(head).0,
                        *head,
                        "{head} is not as heads are compared"
                    );
                }
            }
        }
    }

    #[test]
    fn every_field_can_be_named() {
        for wires in [false, true] {
            for row in of(wires) {
                assert_eq!(Field::named(row.name, wires), Some(row.field));
            }
        }
        assert_eq!(Field::named("bundle", false), None);
    }
}
