//! Fuse kinds, their time gates, ratings, colours and cold resistances.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use crate::quantity::sentence_list;
use std::borrow::Cow;
use std::fmt;

/// The kinds of fuse that vehicles use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FuseKind {
    /// Blade, medium and miniature (ISO 8820-3 types C and F).
    Blade,
    /// Large blade (ISO 8820-3 type E).
    HighCurrentBlade,
    /// Cartridge with female contacts or bolted (ISO 8820-4).
    Cartridge,
    /// Strip with two bolt holes (ISO 8820-5).
    BoltIn,
}

impl FuseKind {
    /// All kinds.
    pub const ALL: [Self; 4] = [Self::Blade, Self::HighCurrentBlade, Self::Cartridge, Self::BoltIn];

    /// The word used for it in tables and files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Blade => "blade",
            Self::HighCurrentBlade => "high-current-blade",
            Self::Cartridge => "cartridge",
            Self::BoltIn => "bolt-in",
        }
    }

    /// The kind of this word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.word() == word)
    }
}

impl fmt::Display for FuseKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What holds for every fuse of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseKindRow {
    /// The kind.
    pub kind: FuseKind,
    /// Standard and types.
    pub standard: Cow<'static, str>,
    /// Rated voltage in V.
    pub rated_v: f64,
    /// Breaking capacity in A.
    pub breaking_a: f64,
    /// Largest rating of the kind in A.
    pub largest_rating_a: f64,
    /// Where it comes from.
    pub source: Source,
}

/// One time gate: at so many per cent of the rating the fuse opens not before and not after.
#[derive(Debug, Clone, PartialEq)]
pub struct GateRow {
    /// The kind.
    pub kind: FuseKind,
    /// Per cent of the rating.
    pub percent: f64,
    /// Not before, in s.
    pub shortest_s: f64,
    /// Not after, in s. None: no opening is promised.
    pub longest_s: Option<f64>,
    /// Where it comes from.
    pub source: Source,
}

/// One rating that is sold.
#[derive(Debug, Clone, PartialEq)]
pub struct RatingRow {
    /// The kind.
    pub kind: FuseKind,
    /// Rating in A.
    pub rating_a: f64,
    /// Colour of the body; empty where there is none or it is not known.
    pub colour: Cow<'static, str>,
    /// Where the colour comes from.
    pub source: Source,
}

/// Resistance of a cold fuse.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdRow {
    /// The kind.
    pub kind: FuseKind,
    /// Rating in A.
    pub rating_a: f64,
    /// Resistance in Ω.
    pub ohm: f64,
    /// Where it comes from.
    pub source: Source,
}

fn kind(row: &Row<'_>) -> Result<FuseKind, String> {
    let word = row.text("kind")?;
    FuseKind::from_word(&word).ok_or_else(|| {
        let words: Vec<&str> = FuseKind::ALL.iter().map(|k| k.word()).collect();
        format!("`{word}` is no fuse kind: {}.", sentence_list(&words, "or"))
    })
}

static KINDS: Embedded<FuseKindRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/fuse_kinds.csv");
    read("fuse_kinds.csv", text, |r: &Row<'_>| {
        Ok(FuseKindRow {
            kind: kind(r)?,
            standard: r.text("standard")?,
            rated_v: r.number("rated_v")?,
            breaking_a: r.number("breaking_a")?,
            largest_rating_a: r.number("largest_rating_a")?,
            source: r.source()?,
        })
    })
});

static GATES: Embedded<GateRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/fuse_gates.csv");
    read("fuse_gates.csv", text, |r: &Row<'_>| {
        Ok(GateRow {
            kind: kind(r)?,
            percent: r.number("percent")?,
            shortest_s: r.number("shortest_s")?,
            longest_s: r.number_or_empty("longest_s")?,
            source: r.source()?,
        })
    })
});

static RATINGS: Embedded<RatingRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/fuse_ratings.csv");
    read("fuse_ratings.csv", text, |r: &Row<'_>| {
        Ok(RatingRow {
            kind: kind(r)?,
            rating_a: r.number("rating_a")?,
            colour: r.text("colour")?,
            source: r.source()?,
        })
    })
});

static COLD: Embedded<ColdRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/fuse_cold_resistances.csv");
    read("fuse_cold_resistances.csv", text, |r: &Row<'_>| {
        Ok(ColdRow {
            kind: kind(r)?,
            rating_a: r.number("rating_a")?,
            ohm: r.number("resistance_mohm")? / 1000.0,
            source: r.source()?,
        })
    })
});

/// What holds for every fuse of this kind. None only without the table.
pub fn fuse_kind(kind: FuseKind) -> Option<&'static FuseKindRow> {
    rows(&KINDS).iter().find(|r| r.kind == kind)
}

/// The time gates of a kind, by growing current.
pub fn gates(kind: FuseKind) -> impl Iterator<Item = &'static GateRow> {
    rows(&GATES).iter().filter(move |r| r.kind == kind)
}

/// The ratings of a kind, by growing current.
pub fn ratings(kind: FuseKind) -> impl DoubleEndedIterator<Item = &'static RatingRow> {
    rows(&RATINGS).iter().filter(move |r| r.kind == kind)
}

/// The cold resistances known of a kind, by growing rating.
pub fn cold_resistances(kind: FuseKind) -> impl Iterator<Item = &'static ColdRow> {
    rows(&COLD).iter().filter(move |r| r.kind == kind)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    let kinds = KINDS.as_ref().err().or(GATES.as_ref().err());
    kinds.or(RATINGS.as_ref().err()).or(COLD.as_ref().err()).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_rows_in_order() {
        for kind in FuseKind::ALL {
            assert!(fuse_kind(kind).is_some());
            let gates: Vec<_> = gates(kind).collect();
            assert!(gates.len() >= 5);
            assert!(
                gates
                    .windows(2)
                    .all(|p| p[0].percent < p[1].percent && p[0].shortest_s > p[1].shortest_s)
            );
            assert!(gates.iter().all(|g| g.longest_s.is_none_or(|l| l > g.shortest_s)));
            let ratings: Vec<f64> = ratings(kind).map(|r| r.rating_a).collect();
            assert!(ratings.len() >= 5 && ratings.is_sorted());
        }
    }
}
