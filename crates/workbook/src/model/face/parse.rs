//! Reads the line.

use super::layout::{Corner, Layout, Numbering, Plan, Rings, Rows, Side, Start};
use super::words::Words;
use super::{Face, FaceError, MOST_CAVITIES, View, number};

const UPPER_LEFT: Corner = Corner {
    lower: false,
    right: false,
};

/// The first word of each clause, in the order in which they are printed.
const CLAUSES: &[&str] = &[
    "gap",
    "big",
    "from",
    "row",
    "column",
    "back",
    "clockwise",
    "anticlockwise",
    "rows",
    "numbered",
    "mark",
    "bar",
    "seen",
];

pub(super) fn face(line: &str) -> Result<Face, FaceError> {
    let mut words = Words::of(line)?;
    let mut reader = Reader {
        layout: layout(&mut words)?,
        numbering: None,
        big: Vec::new(),
        mark: None,
        seen_from: None,
        said: Vec::new(),
    };
    loop {
        let comma = words.take(",");
        if words.is_done() {
            if comma {
                return Err(words.expected("another statement after the comma"));
            }
            break;
        }
        reader.clause(&mut words)?;
    }
    reader.finish()
}

/// `rows 7 7 staggered` or `ring 7 around 1`.
fn layout(words: &mut Words) -> Result<Layout, FaceError> {
    let rows = words.choose(&["rows", "ring"])? == 0;
    let at = words.at();
    let mut counts = words.counts("cavities", MOST_CAVITIES)?;
    while !rows && words.take("around") {
        counts.extend(words.count("cavities", MOST_CAVITIES)?);
    }
    if counts.iter().sum::<usize>() > MOST_CAVITIES {
        let problem = format!("more than {MOST_CAVITIES} cavities");
        return Err(FaceError { at, problem });
    }
    if !rows {
        let grows = counts.is_sorted_by(|a, b| a < b);
        if !grows && !counts.is_sorted_by(|a, b| a > b) {
            let problem = "rings must be listed from inside to outside or from outside to inside".to_owned();
            return Err(FaceError { at, problem });
        }
        return Ok(Layout::Rings(Rings {
            counts,
            start: Start::Top,
            anticlockwise: false,
        }));
    }
    let stagger = words.take("staggered").then(|| {
        if words.take("left") {
            Side::Left
        } else {
            words.take("right");
            Side::Right
        }
    });
    Ok(Layout::Rows(Rows {
        counts,
        stagger,
        gaps_after: Vec::new(),
        gaps_below: Vec::new(),
        from: UPPER_LEFT,
        by_column: false,
        back_and_forth: false,
    }))
}

struct Reader {
    layout: Layout,
    numbering: Option<Numbering>,
    big: Vec<(usize, String)>,
    mark: Option<(usize, String)>,
    seen_from: Option<View>,
    /// Statements made, so that none is made twice.
    said: Vec<&'static str>,
}

impl Reader {
    fn clause(&mut self, words: &mut Words) -> Result<(), FaceError> {
        let at = words.at();
        let wrong = |problem: &str| FaceError {
            at,
            problem: problem.to_owned(),
        };
        let clause = match words.choose(CLAUSES) {
            Ok(place) => CLAUSES.get(place).copied().unwrap_or_default(),
            Err(_) => {
                return Err(words.expected(
                    "`staggered`, `gap after`, `gap below`, `big`, `from`, `row by row`, `column by column`, `back and \
                     forth`, `clockwise`, `anticlockwise`, `rows called`, `numbered`, `mark at` or `seen from`",
                ));
            }
        };
        match clause {
            "gap" => {
                let below = words.choose(&["after", "below"])? == 1;
                self.once(if below { "gap below" } else { "gap after" }, at)?;
                let Layout::Rows(rows) = &mut self.layout else {
                    return Err(wrong("`gap` needs `rows`; a ring has none"));
                };
                let (most, what) = if below {
                    (rows.counts.len(), "a row")
                } else {
                    (rows.counts.iter().copied().max().unwrap_or(1), "a column")
                };
                if most < 2 {
                    return Err(wrong("a gap needs at least two to stand between"));
                }
                let mut gaps = words.counts(what, most - 1)?;
                gaps.sort_unstable();
                gaps.dedup();
                *(if below {
                    &mut rows.gaps_below
                } else {
                    &mut rows.gaps_after
                }) = gaps;
            }
            "big" => {
                self.once("big", at)?;
                let at = words.at();
                self.big = words.numbers()?.into_iter().map(|n| (at, n)).collect();
            }
            "from" => {
                self.once("from", at)?;
                self.from(words)?;
            }
            "row" | "column" => {
                self.once("row by row or column by column", at)?;
                words.choose(&["by"])?;
                words.choose(&[clause])?;
                let Layout::Rows(rows) = &mut self.layout else {
                    return Err(wrong("rings are numbered round and round"));
                };
                rows.by_column = clause == "column";
            }
            "back" => {
                self.once("back and forth", at)?;
                words.choose(&["and"])?;
                words.choose(&["forth"])?;
                let Layout::Rows(rows) = &mut self.layout else {
                    return Err(wrong("rings are numbered round and round"));
                };
                rows.back_and_forth = true;
            }
            "clockwise" | "anticlockwise" => {
                self.once("clockwise or anticlockwise", at)?;
                let Layout::Rings(rings) = &mut self.layout else {
                    return Err(wrong("only a ring is numbered clockwise"));
                };
                rings.anticlockwise = clause == "anticlockwise";
            }
            "rows" => {
                self.once("numbers", at)?;
                words.choose(&["called"])?;
                let Layout::Rows(rows) = &self.layout else {
                    return Err(wrong("a ring has no rows to call by name"));
                };
                let names = words.numbers()?;
                if names.len() != rows.counts.len() {
                    return Err(wrong(&format!(
                        "{} rows need as many names, not {}",
                        rows.counts.len(),
                        names.len()
                    )));
                }
                self.numbering = Some(Numbering::RowNames(names));
            }
            "numbered" => {
                self.once("numbers", at)?;
                self.numbered(words, at)?;
            }
            "mark" | "bar" => {
                self.once("mark", at)?;
                words.choose(&["at"])?;
                self.mark = Some((words.at(), words.number()?));
            }
            _ => {
                self.once("seen from", at)?;
                words.choose(&["from"])?;
                let mating = words.choose(&["mating", "wire"])? == 0;
                words.choose(&["side"])?;
                self.seen_from = Some(if mating { View::MatingSide } else { View::WireSide });
            }
        }
        Ok(())
    }

    fn once(&mut self, what: &'static str, at: usize) -> Result<(), FaceError> {
        if self.said.contains(&what) {
            let problem = format!("`{what}` is said twice");
            return Err(FaceError { at, problem });
        }
        self.said.push(what);
        Ok(())
    }

    fn from(&mut self, words: &mut Words) -> Result<(), FaceError> {
        let ends = ["upper", "lower", "top", "bottom", "left", "right"];
        match &mut self.layout {
            Layout::Rows(rows) => {
                let lower = matches!(words.choose(ends.get(..4).unwrap_or_default())?, 1 | 3);
                let right = words.choose(&["left", "right"])? == 1;
                rows.from = Corner { lower, right };
            }
            Layout::Rings(rings) => {
                rings.start = match words.choose(&ends)? {
                    2 => Start::Top,
                    3 => Start::Bottom,
                    4 => Start::Left,
                    5 => Start::Right,
                    end => {
                        let right = words.choose(&["left", "right"])? == 1;
                        Start::Beside(Corner {
                            lower: end == 1,
                            right,
                        })
                    }
                };
            }
        }
        Ok(())
    }

    fn numbered(&mut self, words: &mut Words, at: usize) -> Result<(), FaceError> {
        if words.take("from") {
            match words.count("the first number", 9999)? {
                Some(first) => self.numbering = Some(Numbering::From(first)),
                None => return Err(words.expected("the first number")),
            }
            return Ok(());
        }
        let names = words.numbers()?;
        let cavities: usize = match &self.layout {
            Layout::Rows(rows) => rows.counts.iter().sum(),
            Layout::Rings(rings) => rings.counts.iter().sum(),
        };
        if names.len() != cavities {
            let problem = format!("{cavities} cavities need as many numbers, not {}", names.len());
            return Err(FaceError { at, problem });
        }
        self.numbering = Some(Numbering::Own(names));
        Ok(())
    }

    fn finish(self) -> Result<Face, FaceError> {
        let mut plan = Plan {
            layout: self.layout,
            numbering: self.numbering.unwrap_or(Numbering::From(1)),
            big: self.big.iter().map(|(_, number)| number.clone()).collect(),
        };
        let spots = number::spots(&plan).map_err(|number| FaceError {
            at: 1,
            problem: format!("two cavities would be numbered {number}"),
        })?;
        let find = |number: &str| {
            spots
                .iter()
                .find(|s| s.number.eq_ignore_ascii_case(number))
                .map(|s| s.number.clone())
        };
        let missing = |at: usize, number: &str| FaceError {
            at,
            problem: format!("there is no cavity {number} on this face"),
        };
        for (at, number) in &self.big {
            find(number).ok_or_else(|| missing(*at, number))?;
        }
        let mark = match &self.mark {
            None => None,
            Some((at, number)) => Some(find(number).ok_or_else(|| missing(*at, number))?),
        };
        plan.big = spots.iter().filter(|s| s.big).map(|s| s.number.clone()).collect();
        Ok(Face {
            seen_from: self.seen_from,
            round: matches!(plan.layout, Layout::Rings(_)),
            mark,
            guessed: false,
            plan,
            spots,
        })
    }
}
