//! Kinds of records, in one table: what a workbook is made of.

use super::*;

/// A record: it has an id, perhaps a label that people see and type, and names other records.
pub trait Row: Clone + PartialEq + std::fmt::Debug {
    /// Which kind of record this is.
    const KIND: Kind;
    /// Its id.
    fn id(&self) -> Id<Self>
    where
        Self: Sized;
    /// What people call it; unique within its kind (`W44`, `MC-A`). Empty: it has none.
    fn label(&self) -> &str {
        ""
    }
    /// Calls `see` for every record this one names.
    fn refs(&self, see: &mut dyn FnMut(Ref));
    /// The table of this kind.
    fn table(tables: &Tables) -> &Table<Self>
    where
        Self: Sized;
    /// The table of this kind, to change.
    fn table_mut(tables: &mut Tables) -> &mut Table<Self>
    where
        Self: Sized;
    /// This row as a record of any kind.
    fn into_record(self) -> Record;
}

/// A record named by another, and in which field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ref {
    /// The kind and id that are named.
    pub key: Key,
    /// The field that names it.
    pub field: &'static str,
}

impl Ref {
    /// A reference to a row of kind `R` in `field`.
    pub fn to<R: Row>(id: Id<R>, field: &'static str) -> Self {
        Self {
            key: Key::of(id),
            field,
        }
    }
}

/// Kind and id together: names any record of a workbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Key {
    /// The kind of record.
    pub kind: Kind,
    /// Its id.
    pub id: Id<AnyRow>,
}

/// Stands for a row whose kind is told beside its id.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AnyRow;

impl Key {
    /// The key of a typed id.
    pub fn of<R: Row>(id: Id<R>) -> Self {
        Self {
            kind: R::KIND,
            id: Id::from_bits(id.bits()),
        }
    }

    /// The typed id, if the key is of that kind.
    pub fn as_id<R: Row>(self) -> Option<Id<R>> {
        (self.kind == R::KIND).then(|| Id::from_bits(self.id.bits()))
    }
}

macro_rules! rows {
    ($($variant:ident $field:ident $word:literal $title:literal,)*) => {
        /// The kinds of records, in the order in which they build on each other.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Kind { $(#[doc = concat!("A ", $title, ".")] $variant,)* }

        impl Kind {
            /// Every kind, in order.
            pub const ALL: &'static [Kind] = &[$(Kind::$variant,)*];
            /// The stable name: table in the file, key in JSON.
            pub fn name(self) -> &'static str { match self { $(Kind::$variant => stringify!($field),)* } }
            /// The word a person reads.
            pub fn title(self) -> &'static str { match self { $(Kind::$variant => $title,)* } }
        }

        /// One record of any kind.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Record { $(#[doc = concat!("A ", $title, ".")] $variant($variant),)* }

        impl Record {
            /// The record's kind and id.
            pub fn key(&self) -> Key { match self { $(Record::$variant(row) => Key::of(row.id()),)* } }
            /// What people call it, or empty.
            pub fn label(&self) -> &str { match self { $(Record::$variant(row) => row.label(),)* } }
            /// Calls `see` for every record this one names.
            pub fn refs(&self, see: &mut dyn FnMut(Ref)) { match self { $(Record::$variant(row) => row.refs(see),)* } }
        }

        /// One record of any kind, where it is.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub enum RecordRef<'a> { $(#[doc = concat!("A ", $title, ".")] $variant(&'a $variant),)* }

        impl RecordRef<'_> {
            /// The record's kind and id.
            pub fn key(&self) -> Key { match self { $(RecordRef::$variant(row) => Key::of(row.id()),)* } }
            /// What people call it, or empty.
            pub fn label(&self) -> &str { match self { $(RecordRef::$variant(row) => row.label(),)* } }
            /// Calls `see` for every record this one names.
            pub fn refs(&self, see: &mut dyn FnMut(Ref)) { match self { $(RecordRef::$variant(row) => row.refs(see),)* } }
        }

        impl Record {
            /// The record, where it is.
            pub fn as_ref(&self) -> RecordRef<'_> { match self { $(Record::$variant(row) => RecordRef::$variant(row),)* } }
        }

        /// All records of a workbook, whole in memory, one table a kind.
        #[derive(Debug, Clone, Default, PartialEq)]
        pub struct Tables { $(#[doc = concat!("Every ", $title, " by id.")] pub $field: Table<$variant>,)* }

        impl Tables {
            /// The record with this key.
            pub fn get(&self, key: Key) -> Option<Record> {
                match key.kind { $(Kind::$variant => self.$field.get(&Id::from_bits(key.id.bits())).cloned().map(Record::$variant),)* }
            }
            /// Whether there is a record with this key.
            pub fn has(&self, key: Key) -> bool {
                match key.kind { $(Kind::$variant => self.$field.contains_key(&Id::from_bits(key.id.bits())),)* }
            }
            /// Puts a record in, in place of one with the same key.
            pub fn put(&mut self, record: Record) {
                match record { $(Record::$variant(row) => { self.$field.insert(row.id(), row); })* }
            }
            /// Takes a record out.
            pub fn remove(&mut self, key: Key) {
                match key.kind { $(Kind::$variant => { self.$field.remove(&Id::from_bits(key.id.bits())); })* }
            }
            /// Calls `see` for every record, kind by kind, in order of ids.
            pub fn each(&self, see: &mut dyn FnMut(Record)) {
                $(for row in self.$field.values() { see(Record::$variant(row.clone())); })*
            }
            /// Calls `see` for every record of a kind, in order of ids.
            pub fn each_ref<'a>(&'a self, kind: Kind, see: &mut dyn FnMut(RecordRef<'a>)) {
                match kind { $(Kind::$variant => self.$field.values().for_each(|row| see(RecordRef::$variant(row))),)* }
            }
            /// The record with this key, where it is.
            pub fn get_ref(&self, key: Key) -> Option<RecordRef<'_>> {
                match key.kind { $(Kind::$variant => self.$field.get(&Id::from_bits(key.id.bits())).map(RecordRef::$variant),)* }
            }
            /// Makes looking up quick until the next change.
            pub(crate) fn index(&self) { $(self.$field.index();)* }
            /// How many records there are.
            pub fn len(&self) -> usize { 0 $(+ self.$field.len())* }
            /// Whether there is none.
            pub fn is_empty(&self) -> bool { self.len() == 0 }
        }

        /// All records as lists: the form they have in interchange JSON. An empty list may be left out.
        #[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(deny_unknown_fields)]
        pub struct RecordLists {
            $(#[doc = concat!("Every ", $title, ".")] #[serde(default, skip_serializing_if = "Vec::is_empty")] pub $field: Vec<$variant>,)*
        }

        impl From<&Tables> for RecordLists {
            fn from(tables: &Tables) -> Self { Self { $($field: tables.$field.values().cloned().collect(),)* } }
        }

        impl RecordLists {
            /// The records one after the other, kind by kind.
            pub fn into_records(self) -> Vec<Record> {
                let mut all = Vec::new();
                $(all.extend(self.$field.into_iter().map(Record::$variant));)*
                all
            }
        }
    };
}

rows! {
    About about "about" "workbook's own page",
    Zone zones "zone" "zone",
    Bundle bundles "bundle" "bundle",
    ContactFamily contact_families "contact_family" "contact family",
    Unit units "unit" "unit",
    Connector connectors "connector" "connector",
    Cavity cavities "cavity" "cavity",
    Junction junctions "junction" "splice or stud",
    ChassisPath chassis_paths "chassis_path" "chassis path",
    Fuse fuses "fuse" "fuse",
    Switch switches "switch" "switch",
    Part parts "part" "inside part",
    Wire wires "wire" "wire",
    State states "state" "operating state",
    Expression expressions "expression" "expression",
    Rule rules "rule" "rule",
    Setting settings "setting" "setting",
    Trial trials "trial" "trial",
    FirstRun first_runs "first_run" "first-run step",
    Candidate candidates "candidate" "candidate source",
    StepDone steps_done "step_done" "build step",
    Reading readings "reading" "reading",
    Acceptance acceptances "acceptance" "accepted finding",
    TemporaryLink temporary_links "temporary_link" "temporary link",
    FileNote file_notes "file_note" "photo or file",
    Drum drums "drum" "drum of wire",
    StockLine stock_lines "stock_line" "part in stock",
    ColourUse colour_uses "colour_use" "colour of the house",
    TerminalNumber terminal_numbers "terminal_number" "terminal number",
    FaultFinding fault_findings "fault_finding" "fault finding",
}

/// Implements [`Row`] for a struct with an `id` and the label field given.
macro_rules! row {
    ($row:ident, $field:ident, label = $label:ident, refs = |$this:ident, $see:ident| $refs:block) => {
        row!(@ $row, $field, { fn label(&self) -> &str { &self.$label } }, |$this, $see| $refs);
    };
    ($row:ident, $field:ident, refs = |$this:ident, $see:ident| $refs:block) => {
        row!(@ $row, $field, {}, |$this, $see| $refs);
    };
    (@ $row:ident, $field:ident, { $($label:tt)* }, |$this:ident, $see:ident| $refs:block) => {
        impl Row for $row {
            const KIND: Kind = Kind::$row;
            fn id(&self) -> Id<Self> { self.id }
            $($label)*
            fn refs(&self, $see: &mut dyn FnMut(Ref)) { let $this = self; $refs }
            fn table(tables: &Tables) -> &Table<Self> { &tables.$field }
            fn table_mut(tables: &mut Tables) -> &mut Table<Self> { &mut tables.$field }
            fn into_record(self) -> Record { Record::$row(self) }
        }
    };
}
pub(crate) use row;
