//! Rows that were found into tables as this program has them, in memory, from where they are read as records.

use std::collections::{HashMap, HashSet};

use rusqlite::{Connection, params_from_iter, types::Value};

use crimpbook_workbook::model::{AnyRow, Id, Key, Kind};

use crate::{
    error::Trouble,
    load,
    map::{self, Plan},
    migrate,
    schema::STEPS,
};

use super::{
    cells::Row,
    chain::Chain,
    trees::{Forest, Tree},
};

/// A table of records or of a list of theirs.
struct Shape {
    plan: &'static Plan,
    table: &'static str,
    list: bool,
    columns: Vec<(String, String, bool)>,
    /// How many columns its oldest rows have at least.
    least: usize,
    /// Whether anything was found of it.
    met: bool,
    /// Whether all of it was read.
    whole: bool,
    /// What was read with nothing missing in between.
    runs: Vec<Run>,
}

/// Rows with nothing missing between them, by the first and the last of those that they are of; none: there is no other before or after.
struct Run {
    from: Option<String>,
    /// Whether the first row is the beginning of a list.
    begun: bool,
    to: Option<String>,
}

/// What rows tell of which records there are.
pub(super) struct Filled {
    pub db: Connection,
    /// Records that have a row.
    pub there: HashSet<Key>,
    /// Kinds of which all rows were read.
    whole: Vec<Kind>,
    /// Records whose rows may be cut.
    cut: HashSet<Key>,
}

impl Filled {
    /// Whether a record surely has no row.
    pub(super) fn lacks(&self, key: Key) -> bool {
        self.whole.contains(&key.kind) && !self.there.contains(&key) && !self.cut.contains(&key)
    }
}

/// Fills tables in memory; what cannot be put there is added to `lost`.
pub(super) fn fill(forest: Forest, chain: &Chain, lost: &mut Vec<String>) -> Result<Filled, Trouble> {
    let db = Connection::open_in_memory()?;
    migrate::steps_up(&db, STEPS)?;
    db.pragma_update(None, "foreign_keys", false)?;
    db.execute_batch("BEGIN")?;
    let mut tables = Tables {
        shapes: shapes(&db)?,
        kinds: HashMap::new(),
        db,
        lost,
        untold: 0,
    };
    let told = chain
        .entries
        .iter()
        .flat_map(|entry| entry.changes.iter().filter_map(|change| change.key()));
    tables.kinds.extend(
        told.chain(chain.later.keys().copied())
            .map(|key| (key.id, key.kind)),
    );
    for name in &forest.felled {
        if let Some(shape) = tables.shapes.iter_mut().find(|shape| shape.table == name) {
            shape.met = true;
            tables.lost.push(format!(
                "table {name} as a whole: the page that leads to its rows is spoilt"
            ));
        }
    }
    let names = names(&tables.db)?;
    let (mut lists, mut loose) = (Vec::new(), Vec::new());
    for tree in forest.trees.into_iter().filter(|tree| tree.index) {
        match tree.name.as_deref() {
            Some(name) if names.contains(name) => {
                if let Some(at) = tables.shapes.iter().position(|shape| shape.table == name) {
                    tables.take(at, &tree, true);
                }
            }
            _ => loose.push(tree),
        }
    }
    // Whose list a row belongs to is told by the records.
    for tree in loose {
        match tables.guess(&tree, false)? {
            Some(at) => tables.take(at, &tree, false),
            None => lists.push(tree),
        }
    }
    for tree in lists {
        match tables.guess(&tree, true)? {
            Some(at) => tables.take(at, &tree, false),
            None => tables.pass(&tree),
        }
    }
    tables.unmet(forest.named);
    tables.finish()
}

struct Tables<'t> {
    db: Connection,
    shapes: Vec<Shape>,
    /// Of which kind a record is, as far as the log or a row tells.
    kinds: HashMap<Id<AnyRow>, Kind>,
    lost: &'t mut Vec<String>,
    /// Rows of which the table cannot be told.
    untold: usize,
}

impl Tables<'_> {
    /// Puts the rows of a tree into a table.
    fn take(&mut self, at: usize, tree: &Tree, named: bool) {
        let Some(shape) = self.shapes.get_mut(at).filter(|shape| !shape.whole) else {
            // What lies beside a whole table is an older state of it.
            return;
        };
        shape.met = true;
        let (mut gaps, mut spoilt) = (0, 0);
        let mut last = None::<String>;
        let mut run = named.then_some(Run {
            from: None,
            begun: true,
            to: None,
        });
        for row in &tree.rows {
            let Some((_, row)) = row
                .as_ref()
                .filter(|(_, row)| shape.fits(row) && put(&self.db, shape, row))
            else {
                if row.is_some() {
                    spoilt += 1;
                } else {
                    gaps += 1;
                }
                let to = Some(last.take().unwrap_or_default());
                shape.runs.extend(run.take().map(|run| Run { to, ..run }));
                continue;
            };
            let owner = text(row).to_owned();
            run.get_or_insert_with(|| Run {
                from: Some(owner.clone()),
                begun: row.get(1) == Some(&Value::Integer(0)),
                to: None,
            });
            if let (false, Ok(id)) = (shape.list, owner.parse()) {
                self.kinds.insert(id, shape.plan.kind);
            }
            last = Some(owner);
        }
        let to = if named { None } else { last };
        shape.runs.extend(run.map(|run| Run { to, ..run }));
        shape.whole = named && gaps + spoilt == 0;
        let table = shape.table;
        if gaps > 0 {
            self.lost.push(format!(
                "rows of table {table} in {}",
                counted(gaps, "place", "places")
            ));
        }
        if spoilt > 0 {
            self.lost.push(format!("{spoilt} of the rows of table {table}"));
        }
    }

    /// The table whose rows these are, where only one can be meant.
    fn guess(&self, tree: &Tree, list: bool) -> Result<Option<usize>, Trouble> {
        let rows: Vec<&Row> = tree.rows.iter().flatten().map(|(_, row)| row).collect();
        let fitting = |shape: &Shape| rows.iter().filter(|row| shape.fits(row)).count();
        let mut meant: Vec<(usize, &Shape)> = Vec::new();
        for (at, shape) in self.shapes.iter().enumerate() {
            if shape.list == list && fitting(shape) * 2 > rows.len() {
                meant.push((at, shape));
            }
        }
        let known = |shape: &Shape| {
            let kinds = rows
                .iter()
                .filter_map(|row| self.kinds.get(&text(row).parse().ok()?));
            kinds.filter(|kind| **kind == shape.plan.kind).count()
        };
        if meant.iter().any(|(_, shape)| known(shape) > 0) {
            meant.retain(|(_, shape)| known(shape) > 0);
        } else {
            let mut read = Vec::new();
            for (at, shape) in meant {
                if list || self.reads(shape, &rows)? {
                    read.push((at, shape));
                }
            }
            meant = read;
        }
        Ok(match meant.as_slice() {
            [(at, _)] => Some(*at),
            _ => None,
        })
    }

    /// Whether most of some rows are records of a table when they are put there.
    fn reads(&self, shape: &Shape, rows: &[&Row]) -> Result<bool, Trouble> {
        self.db.execute_batch("SAVEPOINT guess")?;
        let mut well = 0;
        for row in rows {
            well += usize::from(
                put(&self.db, shape, row)
                    && matches!(load::record(&self.db, shape.plan, text(row)), Ok(Some(_))),
            );
        }
        self.db.execute_batch("ROLLBACK TO guess; RELEASE guess")?;
        Ok(well * 2 > rows.len())
    }

    /// Leaves out what belongs to no table that can be told. Indexes repeat other rows.
    fn pass(&mut self, tree: &Tree) {
        let rows = tree.rows.iter().flatten();
        self.untold += rows.filter(|(_, row)| row.len() > 3 || is_element(row)).count();
    }

    /// Tables of which there is no page: an older workbook has fewer; if the schema is spoilt, nobody can tell.
    fn unmet(&mut self, schema_read: bool) {
        let unmet = self.shapes.iter_mut().filter(|shape| !shape.met);
        if schema_read {
            unmet.for_each(|shape| {
                shape.runs.push(Run {
                    from: None,
                    begun: true,
                    to: None,
                });
            });
            return;
        }
        let names: Vec<&str> = unmet.map(|shape| shape.table).collect();
        if !names.is_empty() {
            let names = names.join(", ");
            self.lost.push(format!(
                "what there may have been in tables of which no page could be told: {names}"
            ));
        }
    }

    /// Takes out records whose lists may be cut.
    fn finish(self) -> Result<Filled, Trouble> {
        let (mut there, mut cut) = (HashSet::new(), HashSet::new());
        for owner in self.shapes.iter().filter(|shape| !shape.list) {
            let kind = owner.plan.kind;
            let lists = self
                .shapes
                .iter()
                .filter(|shape| shape.list && shape.plan.kind == kind);
            let ids: Vec<String> = self
                .db
                .prepare(&format!("SELECT id FROM {}", owner.table))?
                .query_map([], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
            let mut left_out = 0;
            for id in &ids {
                let Ok(key) = id.parse().map(|id| Key { kind, id }) else {
                    continue;
                };
                if lists.clone().all(|list| list.holds_all_of(id)) {
                    there.insert(key);
                } else {
                    left_out += self.db.execute(&owner.plan.delete, [id])?;
                    cut.insert(key);
                }
            }
            if left_out > 0 {
                let what = counted(left_out, "row", "rows");
                self.lost.push(format!(
                    "{what} of table {}, since parts of them may be missing",
                    owner.table
                ));
            }
        }
        if self.untold > 0 {
            let rows = counted(self.untold, "row", "rows");
            self.lost
                .push(format!("{rows} of which the table cannot be told"));
        }
        self.db.execute_batch("COMMIT")?;
        let whole = self.shapes.iter().filter(|shape| !shape.list && shape.whole);
        Ok(Filled {
            whole: whole.map(|shape| shape.plan.kind).collect(),
            db: self.db,
            there,
            cut,
        })
    }
}

impl Shape {
    /// Whether a row may be one of this table.
    fn fits(&self, row: &Row) -> bool {
        let typed = |(value, (_, kind, needed)): (&Value, &(String, String, bool))| match value {
            Value::Null => !needed,
            Value::Integer(_) => kind != "TEXT",
            Value::Real(_) => kind == "REAL",
            Value::Text(text) => kind == "TEXT" && !text.contains('\u{fffd}'),
            Value::Blob(_) => false,
        };
        (self.least..=self.columns.len()).contains(&row.len())
            && text(row).parse::<Id<AnyRow>>().is_ok()
            && row.iter().zip(&self.columns).all(typed)
    }

    /// Whether all elements of a record's list are surely among what was read.
    fn holds_all_of(&self, owner: &str) -> bool {
        self.runs.iter().any(|run| {
            let after = |first: &String| owner > first.as_str() || owner == first && run.begun;
            run.from.as_ref().is_none_or(after) && run.to.as_ref().is_none_or(|last| owner < last.as_str())
        })
    }
}

fn shapes(db: &Connection) -> Result<Vec<Shape>, Trouble> {
    let mut shapes = Vec::new();
    for plan in map::plans() {
        let lists = plan.lists.iter().map(|list| (list.list.table, true));
        for (table, list) in [(plan.kind.name(), false)].into_iter().chain(lists) {
            let mut least = 0;
            let mut columns = Vec::new();
            let mut statement = db.prepare(&format!("PRAGMA table_info({table})"))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let (needed, default): (bool, Option<String>) = (row.get(3)?, row.get(4)?);
                columns.push((row.get(1)?, row.get(2)?, needed));
                if needed && default.is_none() {
                    least = columns.len();
                }
            }
            shapes.push(Shape {
                plan,
                table,
                list,
                columns,
                least,
                met: false,
                whole: false,
                runs: Vec::new(),
            });
        }
    }
    Ok(shapes)
}

/// Names of all tables and indexes.
fn names(db: &Connection) -> Result<HashSet<String>, Trouble> {
    let mut statement = db.prepare("SELECT name FROM sqlite_schema")?;
    let names = statement.query_map([], |row| row.get(0))?;
    Ok(names.collect::<Result<_, _>>()?)
}

/// Puts a row into its table; whether it is there then, be it from before.
fn put(db: &Connection, shape: &Shape, row: &Row) -> bool {
    let columns: Vec<String> = shape
        .columns
        .iter()
        .take(row.len())
        .map(|(name, ..)| format!("\"{name}\""))
        .collect();
    let marks = vec!["?"; row.len()].join(", ");
    let sql = format!(
        "INSERT INTO {} ({}) VALUES ({marks})",
        shape.table,
        columns.join(", ")
    );
    let done = db
        .prepare_cached(&sql)
        .and_then(|mut insert| insert.execute(params_from_iter(row)));
    match done {
        Ok(_) => true,
        Err(error) => error
            .sqlite_error()
            .is_some_and(|e| e.extended_code == rusqlite::ffi::SQLITE_CONSTRAINT_PRIMARYKEY),
    }
}

/// What a row begins with: the id of a record, or of the one whose list it belongs to.
fn text(row: &Row) -> &str {
    match row.first() {
        Some(Value::Text(text)) => text,
        _ => "",
    }
}

fn is_element(row: &Row) -> bool {
    matches!(row.as_slice(), [Value::Text(_), Value::Integer(_), _])
}

fn counted(number: usize, one: &str, more: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { more })
}
