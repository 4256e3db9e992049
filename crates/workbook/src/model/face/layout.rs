//! What a line says, before and after its cavities are laid out.

/// The line's statements about cavities.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plan {
    pub layout: Layout,
    pub numbering: Numbering,
    /// Numbers of big cavities, in the order of numbering.
    pub big: Vec<String>,
}

/// How the cavities lie.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Layout {
    Rows(Rows),
    Rings(Rings),
}

/// Rows from the top, centred under each other.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rows {
    /// Cavities of each row.
    pub counts: Vec<usize>,
    pub stagger: Option<Side>,
    /// Columns after which there is room, from the left, from 1.
    pub gaps_after: Vec<usize>,
    /// Rows below which there is room, from the top, from 1.
    pub gaps_below: Vec<usize>,
    pub from: Corner,
    pub by_column: bool,
    pub back_and_forth: bool,
}

/// Concentric rings.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rings {
    /// Cavities of each ring in the order of numbering: growing means inside first, shrinking outside first.
    pub counts: Vec<usize>,
    pub start: Start,
    pub anticlockwise: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Corner {
    pub lower: bool,
    pub right: bool,
}

/// Where the first cavity of a ring is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Start {
    Top,
    Right,
    Bottom,
    Left,
    /// Half a step away from the top or bottom.
    Beside(Corner),
}

/// How cavities get their numbers.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Numbering {
    /// Counted from here.
    From(usize),
    /// The row's name, then the place in the row.
    RowNames(Vec<String>),
    /// Each by its own name.
    Own(Vec<String>),
}

/// A cavity laid out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spot {
    pub number: String,
    /// From the left edge, in half pitches.
    pub x_half: i32,
    pub y_half: i32,
    /// From the left edge, in pitches.
    pub x_pitch: f64,
    pub y_pitch: f64,
    /// Row from the top (rows), or ring in the order listed.
    pub row: usize,
    /// Place in the row from the left, or in the ring.
    pub column: usize,
    pub big: bool,
}

impl Spot {
    /// A cavity without a number yet.
    pub fn at_half(x_half: i32, y_half: i32, row: usize, column: usize) -> Self {
        Self {
            number: String::new(),
            x_half,
            y_half,
            x_pitch: f64::from(x_half) / 2.0,
            y_pitch: f64::from(y_half) / 2.0,
            row,
            column,
            big: false,
        }
    }
}
