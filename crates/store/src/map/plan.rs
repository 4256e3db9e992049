//! The SQL of each kind of record, made once from the table of fields.

use std::sync::LazyLock;

use crimpbook_workbook::model::Kind;

use super::{
    kinds::fields,
    shape::{Field, List, Shape},
};

/// How a kind of record is read and written.
#[derive(Debug)]
pub(crate) struct Plan {
    /// The kind.
    pub kind: Kind,
    /// Its word in a log entry (`chassis_path`).
    pub word: String,
    /// Its fields without `id`.
    pub fields: &'static [Field],
    /// Its columns in the order of `select` and `upsert`; `id` is the first.
    #[cfg_attr(not(test), allow(dead_code, reason = "held against the file by a test"))]
    pub columns: Vec<&'static str>,
    /// All rows.
    pub select: String,
    /// The row with id `?1`.
    pub select_one: String,
    /// Puts a row in, in place of one with the same id.
    pub upsert: String,
    /// Removes the row with id `?1`.
    pub delete: String,
    /// Its lists, in the order of the fields.
    pub lists: Vec<ListPlan>,
}

/// How the elements of a list are read and written.
#[derive(Debug)]
pub(crate) struct ListPlan {
    /// The list.
    pub list: &'static List,
    /// All elements by owner and place; the first column is the owner.
    pub select: String,
    /// Those of owner `?1`.
    pub select_one: String,
    /// Puts one in: owner, place, parts.
    pub insert: String,
    /// Removes those of owner `?1`.
    pub delete: String,
}

/// The plans, in the order in which the kinds build on each other.
pub(crate) fn plans() -> &'static [Plan] {
    static PLANS: LazyLock<Vec<Plan>> =
        LazyLock::new(|| Kind::ALL.iter().map(|kind| Plan::of(*kind)).collect());
    &PLANS
}

/// The plan of one kind.
pub(crate) fn plan(kind: Kind) -> Option<&'static Plan> {
    plans().iter().find(|plan| plan.kind == kind)
}

impl Plan {
    fn of(kind: Kind) -> Self {
        let fields = fields(kind);
        let mut columns = vec!["id"];
        let mut lists = Vec::new();
        for field in fields {
            match &field.shape {
                Shape::One(_) => columns.push(field.name),
                Shape::Many(parts, _) => columns.extend(parts.iter().map(|part| part.column)),
                Shape::List(list) => lists.push(ListPlan::of(list)),
            }
        }
        let table = kind.name();
        let names = quoted(&columns);
        let marks = marks(columns.len());
        let sets: Vec<_> = columns
            .iter()
            .skip(1)
            .map(|column| format!("\"{column}\" = excluded.\"{column}\""))
            .collect();
        Self {
            kind,
            word: serde_json::to_value(kind)
                .ok()
                .and_then(|word| word.as_str().map(str::to_owned))
                .unwrap_or_default(),
            fields,
            select: format!("SELECT {names} FROM {table}"),
            select_one: format!("SELECT {names} FROM {table} WHERE id = ?1"),
            upsert: format!(
                "INSERT INTO {table} ({names}) VALUES ({marks}) ON CONFLICT (id) DO UPDATE SET {}",
                sets.join(", ")
            ),
            delete: format!("DELETE FROM {table} WHERE id = ?1"),
            columns,
            lists,
        }
    }
}

impl ListPlan {
    fn of(list: &'static List) -> Self {
        let parts: Vec<_> = list.parts.iter().map(|part| part.column).collect();
        let names = quoted(&parts);
        let List { table, owner, .. } = list;
        Self {
            list,
            select: format!("SELECT {owner}, {names} FROM {table} ORDER BY {owner}, place"),
            select_one: format!("SELECT {owner}, {names} FROM {table} WHERE {owner} = ?1 ORDER BY place"),
            insert: format!(
                "INSERT INTO {table} ({owner}, place, {names}) VALUES ({})",
                marks(parts.len() + 2)
            ),
            delete: format!("DELETE FROM {table} WHERE {owner} = ?1"),
        }
    }
}

fn quoted(columns: &[&str]) -> String {
    let quoted: Vec<_> = columns.iter().map(|column| format!("\"{column}\"")).collect();
    quoted.join(", ")
}

fn marks(count: usize) -> String {
    let marks: Vec<_> = (1..=count).map(|n| format!("?{n}")).collect();
    marks.join(", ")
}
