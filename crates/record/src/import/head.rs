//! The head of a table: where it stands, and what its words say of the columns.

use super::{
    field::{Field, TableOf, of},
    grid::Row,
};

/// How many rows are looked at for heads.
const LOOKED_AT: usize = 25;

/// The head of a table.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Head {
    /// How many rows come before the data: titles and heads.
    pub rows: usize,
    /// Line of the head; none: the table has none.
    pub line: Option<u64>,
    /// Words over each column.
    pub words: Vec<String>,
    /// Unit that the words give, for bare numbers beneath.
    pub units: Vec<Option<String>>,
}

/// Units as they stand in heads, in small letters, and as a figure is read with them.
const UNITS: &[(&str, &str)] = &[
    ("mm2", "mm2"),
    ("mm²", "mm2"),
    ("sqmm", "mm2"),
    ("qmm", "mm2"),
    ("awg", "AWG"),
    ("m", "m"),
    ("cm", "cm"),
    ("mm", "mm"),
    ("ft", "ft"),
    ("in", "in"),
    ("a", "A"),
    ("ma", "mA"),
    ("v", "V"),
    ("mv", "mV"),
    ("s", "s"),
    ("ms", "ms"),
    ("°c", "°C"),
    ("ohm", "ohm"),
    ("ω", "ohm"),
    ("kω", "kohm"),
    ("kohm", "kohm"),
];

fn unit(word: &str) -> Option<&'static str> {
    let word = word.trim().to_lowercase();
    UNITS
        .iter()
        .find(|(name, _)| *name == word)
        .map(|(_, unit)| *unit)
}

/// Head words as they are compared: small letters, marks as spaces, without a unit at the end or in brackets, which is
/// given beside.
pub fn plain(head: &str) -> (String, Option<&'static str>) {
    let mut found = None;
    let mut words: Vec<String> = Vec::new();
    let mut bracket = String::new();
    let mut depth = 0;
    let mut rest = String::new();
    for c in head.chars() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => {
                depth = 0;
                found = found.or_else(|| unit(&bracket));
                bracket.clear();
            }
            c if depth > 0 => bracket.push(c),
            c => rest.push(c),
        }
    }
    let letters = |c: char| c.is_alphanumeric() || c == '°';
    for word in rest
        .to_lowercase()
        .replace('²', "2")
        .split(|c| !letters(c))
        .filter(|w| !w.is_empty())
    {
        words.push(word.to_owned());
    }
    // `a` and `v` may be names of ends and rows as well; the others are units and nothing else.
    if let [_, .., last] = words.as_slice()
        && !matches!(last.as_str(), "a" | "v" | "s" | "in")
        && let Some(unit) = unit(last)
    {
        found = found.or(Some(unit));
        words.pop();
    }
    if let [only] = words.as_slice()
        && matches!(only.as_str(), "awg" | "mm2")
    {
        found = unit(only);
    }
    (words.join(" "), found)
}

/// How well words fit a field: 0 not at all.
fn fit(words: &str, heads: &[&str]) -> u32 {
    if words.is_empty() {
        return 0;
    }
    if let Some(at) = heads.iter().position(|head| *head == words) {
        return 100 - u32::try_from(at).unwrap_or(50).min(50);
    }
    if words.split(' ').count() > 5 {
        return 0;
    }
    let padded = format!(" {words} ");
    let inside = heads
        .iter()
        .filter(|head| head.len() > 2 && padded.contains(&format!(" {head} ")));
    inside
        .map(|head| u32::try_from(head.len()).unwrap_or(0).min(40))
        .max()
        .unwrap_or(0)
}

/// The field of each column by its words: the surest first, each field once.
pub fn fields(words: &[String], table: TableOf) -> Vec<Option<Field>> {
    let mut fits = Vec::new();
    for (column, head) in words.iter().enumerate() {
        let plain = plain(head).0;
        for row in of(table) {
            let fit = fit(&plain, row.heads);
            if fit > 0 {
                fits.push((std::cmp::Reverse(fit), column, row.field));
            }
        }
    }
    fits.sort_unstable();
    let mut fields = vec![None; words.len()];
    for (_, column, field) in fits {
        let free = fields.get(column).is_some_and(Option::is_none) && !fields.contains(&Some(field));
        if let (true, Some(slot)) = (free, fields.get_mut(column)) {
            *slot = Some(field);
        }
    }
    fields
}

/// Finds the head of a table: of the first rows the one whose words name the most fields, at least two, or the key alone
/// in the first row.
pub fn find(rows: &[Row], columns: usize, table: TableOf) -> Head {
    let score = |row: &Row| {
        let figures = row
            .filled()
            .filter(|(_, cell)| cell.parse::<f64>().is_ok())
            .count();
        let named = fields(&row.cells, table).iter().flatten().count();
        if figures * 2 > named { 0 } else { named }
    };
    let key = table.key();
    let best = (0..rows.len().min(LOOKED_AT))
        .filter_map(|at| Some((score(rows.get(at)?), at)))
        .max_by_key(|(score, at)| (*score, std::cmp::Reverse(*at)));
    let at = match best {
        // Of a head of two rows the lower one says what each column is.
        Some((2.., at)) if rows.get(at + 1).is_some_and(|below| is_second(below, table)) => at + 1,
        Some((2.., at)) => at,
        Some((1, 0))
            if rows
                .first()
                .is_some_and(|r| fields(&r.cells, table).contains(&Some(key))) =>
        {
            0
        }
        _ => return none(columns),
    };
    let words = match at.checked_sub(1).and_then(|above| rows.get(above)) {
        Some(above) if above.filled().count() > 1 => joined(
            &padded(Some(above), columns),
            &padded(rows.get(at), columns),
            table,
        ),
        _ => padded(rows.get(at), columns),
    };
    let mut units: Vec<Option<String>> = words
        .iter()
        .map(|word| plain(word).1.map(str::to_owned))
        .collect();
    let mut after = at + 1;
    // A row of nothing but units belongs to the head.
    if let Some(below) = rows.get(after)
        && below.filled().count() > 0
        && below
            .filled()
            .all(|(_, cell)| unit(cell.trim_matches(['(', ')', '[', ']'])).is_some())
    {
        for (column, cell) in below.filled() {
            if let Some(slot) = units.get_mut(column) {
                *slot = unit(cell.trim_matches(['(', ')', '[', ']'])).map(str::to_owned);
            }
        }
        after += 1;
    }
    Head {
        rows: after,
        line: rows.get(at).map(|row| row.line),
        words,
        units,
    }
}

/// Whether a row beneath a head is the second row of it: no figure, and mostly words that name fields.
fn is_second(row: &Row, table: TableOf) -> bool {
    let named = fields(&row.cells, table).iter().flatten().count();
    let figures = row
        .filled()
        .any(|(_, cell)| cell.starts_with(|c: char| c.is_ascii_digit()));
    named > 1 && !figures && named * 2 > row.filled().count()
}

/// Heads of two rows. A cell merged over several columns stands in the first of them; one merged downwards stands above.
fn joined(above: &[String], below: &[String], table: TableOf) -> Vec<String> {
    let over = spread(above);
    let exact = |words: &str| of(table).any(|row| row.heads.contains(&plain(words).0.as_str()));
    let known = |words: &String| {
        fields(std::slice::from_ref(words), table)
            .iter()
            .any(Option::is_some)
    };
    below
        .iter()
        .zip(above.iter().zip(over))
        .map(|(word, (above, over))| {
            let both = format!("{over} {word}").trim().to_owned();
            match word.trim() {
                "" => above.clone(),
                _ if exact(&both) || !known(word) => both,
                _ => word.clone(),
            }
        })
        .collect()
}

fn none(columns: usize) -> Head {
    Head {
        rows: 0,
        line: None,
        words: vec![String::new(); columns],
        units: vec![None; columns],
    }
}

fn padded(row: Option<&Row>, columns: usize) -> Vec<String> {
    let mut cells: Vec<String> = row.map(|row| row.cells.clone()).unwrap_or_default();
    cells.resize(columns, String::new());
    for cell in &mut cells {
        *cell = cell.split_whitespace().collect::<Vec<_>>().join(" ");
    }
    cells
}

fn spread(cells: &[String]) -> Vec<String> {
    let mut last = String::new();
    let mut out = Vec::with_capacity(cells.len());
    for cell in cells {
        if !cell.trim().is_empty() {
            last.clone_from(cell);
        }
        out.push(last.clone());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::import::grid::Grid;

    fn mapped(text: &str, table: TableOf) -> (Head, Vec<Option<Field>>) {
        let grid = Grid::read(text).unwrap();
        let head = find(&grid.rows, grid.columns, table);
        let fields = fields(&head.words, table);
        (head, fields)
    }

    #[test]
    fn heads_are_recognised_by_their_words() {
        let (head, fields) = mapped(
            "Pin No.;Signal name;Type;Wire colour;Size [mm²];I max (mA);Ref\n1;A;B;C;1;2;3\n",
            TableOf::Cavities,
        );
        use Field::*;
        assert_eq!(
            fields,
            [Number, Function, Kind, Colour, Size, Current, Page].map(Some)
        );
        assert_eq!(head.units[4].as_deref(), Some("mm2"));
        assert_eq!(head.units[5].as_deref(), Some("mA"));
        assert_eq!(head.rows, 1);
    }

    #[test]
    fn titles_merged_heads_and_a_row_of_units_come_before_the_data() {
        let text = "Harrow 96 controller\t\t\t\t\n\nPin\tSignal\tWire\t\t\n\t\tColour\tSection\tLength\n\t\t\tmm2\tcm\n1\tKEY\tRD\t0,5\t120\n";
        let (head, fields) = mapped(text, TableOf::Cavities);
        use Field::*;
        assert_eq!(
            fields,
            [Number, Function, Colour, Size, Length].map(Some),
            "{head:?}"
        );
        assert_eq!((head.rows, head.units[4].as_deref()), (4, Some("cm")));
    }

    #[test]
    fn a_table_without_a_head_has_none() {
        for text in ["1\tKEY\t14\n2\tGND\t14\n", "5;SIGNAL IN;x\n"] {
            assert_eq!(mapped(text, TableOf::Cavities).0.line, None, "{text}");
        }
        assert_eq!(mapped("Pin\n1\n2\n", TableOf::Cavities).0.line, Some(1));
    }

    #[test]
    fn our_own_heads_are_recognised() {
        let heads = "wire,signal,from,to,area_mm2,size_written,colour,length_m,bundle,pair,fuse_meant,nominal_v,typical_a,peak_a,drop_limit_v,note\n";
        let (_, fields) = mapped(&format!("{heads}W1,x,,,,,,,,,,,,,,\n"), TableOf::Wires);
        use Field::*;
        let is = |at: usize, field| assert_eq!(fields[at], Some(field), "{at}");
        for (at, field) in [
            (0, Wire),
            (1, Signal),
            (2, From),
            (3, To),
            (4, Size),
            (6, Colour),
            (7, Length),
            (8, Bundle),
        ] {
            is(at, field);
        }
        for (at, field) in [
            (9, Pair),
            (10, Fuse),
            (11, Voltage),
            (12, Current),
            (13, Peak),
            (14, DropLimit),
            (15, Note),
        ] {
            is(at, field);
        }
    }
}
