//! Pages into trees: which belong together, in what order, and where something is missing between them.

use std::collections::{BTreeMap, HashSet};

use rusqlite::types::Value;

use super::{
    cells::{Reader, Row},
    pages::{Pages, number},
};

/// Trees of a sound file are not nearly as high.
const HIGHEST: usize = 24;

/// A tree, or what is left of one below a page that nothing leads to.
pub(super) struct Tree {
    /// What the schema calls it; none: nothing tells.
    pub name: Option<String>,
    /// Whether rows are their own keys.
    pub index: bool,
    /// Its rows in order; none: something is missing here.
    pub rows: Vec<Option<(i64, Row)>>,
}

/// All that is in a file.
pub(super) struct Forest {
    pub trees: Vec<Tree>,
    /// Rows with a number on pages that were given up: older states, which only a chain can prove.
    pub loose: Vec<(i64, Row)>,
    /// Whether the schema was read whole, so that what it does not name is not there.
    pub named: bool,
    /// Names of trees whose top cannot be read.
    pub felled: Vec<String>,
    /// The highest key between two branches of a table with numbers.
    pub highest: i64,
}

/// Takes all pages apart.
pub(super) fn forest(pages: &Pages) -> Forest {
    let reader = Reader::new(pages);
    let given_up = given_up(pages);
    let mut walk = Walk {
        pages,
        reader: &reader,
        seen: HashSet::new(),
        rows: Vec::new(),
        highest: 0,
    };
    let mut found = Forest {
        trees: Vec::new(),
        loose: Vec::new(),
        named: walk.below(1, false, 0) && walk.rows.iter().all(Option::is_some),
        felled: Vec::new(),
        highest: 0,
    };
    let mut names = BTreeMap::new();
    for (_, row) in walk.rows.drain(..).flatten() {
        if let [Value::Text(_), Value::Text(name), _, Value::Integer(top), ..] = row.as_slice()
            && let Ok(top @ 2..) = u32::try_from(*top)
        {
            names.insert(top, name.clone());
        }
    }
    walk.highest = 0;
    let below = children(&walk, &given_up);
    // What has a name is what it says; the others have what is left.
    let mut tops: Vec<u32> = names
        .keys()
        .copied()
        .filter(|page| *page <= pages.count)
        .collect();
    tops.extend(
        (2..=pages.count)
            .filter(|page| !names.contains_key(page) && !below.contains(page) && !given_up.contains(page)),
    );
    for top in tops {
        let name = names.remove(&top);
        match pages.page(top) {
            Some(page) if walk.below(top, page.index, 0) => found.trees.push(Tree {
                name,
                index: page.index,
                rows: std::mem::take(&mut walk.rows),
            }),
            _ => {
                walk.rows.clear();
                found.felled.extend(name);
            }
        }
    }
    found.felled.extend(names.into_values());
    found.highest = walk.highest;
    let old = given_up.iter().filter_map(|page| pages.page(*page));
    for page in old.chain(pages.loose()).filter(|page| page.leaf && !page.index) {
        let cells = page.cells.iter().filter_map(|at| reader.cell(&page, *at));
        found
            .loose
            .extend(cells.filter_map(|cell| cell.row.map(|row| (cell.rowid, row))));
    }
    found
}

/// Pages that are free to be used anew, as the lists of them tell; such a list looks like no page of another sort.
fn given_up(pages: &Pages) -> HashSet<u32> {
    let mut all = HashSet::new();
    let within = |page: u64| (2..=u64::from(pages.count)).contains(&page);
    for list in 2..=pages.count {
        let bytes = pages.bytes(list);
        let field = |at: usize| bytes.get(4 * at..).and_then(|b| number(b, 4));
        let (Some(next), Some(length)) = (field(0), field(1)) else {
            continue;
        };
        if length as usize > pages.size / 4 - 2 || !(next == 0 || within(next)) {
            continue;
        }
        let listed: Vec<u64> = (2..2 + length as usize).filter_map(field).collect();
        if listed.len() == length as usize && listed.iter().all(|page| within(*page)) {
            all.extend(listed.into_iter().map(|page| page as u32));
        }
    }
    all
}

/// Pages that a page in use leads to.
fn children(walk: &Walk<'_>, given_up: &HashSet<u32>) -> HashSet<u32> {
    let mut below = HashSet::new();
    for number in (1..=walk.pages.count).filter(|page| !given_up.contains(page)) {
        if let Some(page) = walk.pages.page(number).filter(|page| !page.leaf) {
            let cells = page.cells.iter().filter_map(|at| walk.reader.cell(&page, *at));
            let led_to = cells.map(|cell| cell.left).chain([page.right]);
            below.extend(led_to.filter(|page| *page != number));
        }
    }
    below
}

struct Walk<'w> {
    pages: &'w Pages,
    reader: &'w Reader<'w>,
    seen: HashSet<u32>,
    rows: Vec<Option<(i64, Row)>>,
    highest: i64,
}

impl Walk<'_> {
    /// Walks what is below a page; whether there was such a page and nobody has come by it.
    fn below(&mut self, number: u32, index: bool, depth: usize) -> bool {
        let page = self.pages.page(number).filter(|page| page.index == index);
        let Some(page) = page.filter(|_| depth < HIGHEST && self.seen.insert(number)) else {
            self.rows.push(None);
            return false;
        };
        for at in &page.cells {
            let Some(cell) = self.reader.cell(&page, *at) else {
                self.rows.push(None);
                continue;
            };
            if !page.leaf {
                self.below(cell.left, index, depth + 1);
            }
            if !page.leaf && !index {
                self.highest = self.highest.max(cell.rowid);
            } else {
                self.rows.push(cell.row.map(|row| (cell.rowid, row)));
            }
        }
        if !page.leaf {
            self.below(page.right, index, depth + 1);
        }
        true
    }
}
