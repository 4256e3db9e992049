//! Build: what is built, in which order, and which step is next.

mod items;
mod steps;

use crimpbook_workbook::{
    log::EntryKind,
    model::{Built, Id, Key, StepDone, Wire},
    plan::Progress,
};

use super::Model;
pub use items::{Item, items, label, open};
pub use steps::{StepAt, mark, steps};

/// State of the Build screen.
#[derive(Debug, Clone, Default)]
pub struct Build {
    /// The item at hand; where the work was left if none was chosen.
    pub item: Option<Item>,
    /// The step looked at; the first open one if none was chosen.
    pub step: Option<usize>,
    /// The order of items.
    pub order: Order,
    /// Only items with these words.
    pub filter: String,
    /// Whether the face is shown from the mating side.
    pub flipped: bool,
    /// Whether a step done rings the bell.
    pub bell: bool,
}

/// The order in which items come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// Connector by connector, in the order of cavities.
    #[default]
    Connector,
    /// Thin to thick, colour by colour: for cutting.
    Size,
    /// Bundle by bundle, long before short.
    Route,
    /// By number.
    Number,
}

impl Order {
    /// The next one.
    pub fn next(self) -> Self {
        match self {
            Self::Connector => Self::Size,
            Self::Size => Self::Route,
            Self::Route => Self::Number,
            Self::Number => Self::Connector,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Connector => "by connector",
            Self::Size => "by size and colour",
            Self::Route => "by route",
            Self::Number => "by number",
        }
    }
}

/// The item at hand and its steps.
#[derive(Debug, Clone)]
pub struct AtHand {
    /// The item.
    pub item: Item,
    /// Its steps in working order.
    pub steps: Vec<StepAt>,
    /// The step looked at.
    pub at: usize,
}

impl AtHand {
    /// The step looked at.
    pub fn step(&self) -> Option<&StepAt> {
        self.steps.get(self.at)
    }
}

/// What is at hand; none where there is nothing to build.
pub fn at_hand(model: &Model) -> Option<AtHand> {
    let chosen = model.build.item.filter(|item| item.exists(&model.book));
    let item = chosen.or_else(|| resume(model))?;
    let steps = steps(&model.book, item);
    let open = steps.iter().position(|s| s.standing.is_open());
    let at = model
        .build
        .step
        .or(open)
        .unwrap_or_else(|| steps.len().saturating_sub(1))
        .min(steps.len().saturating_sub(1));
    Some(AtHand { item, steps, at })
}

/// Title of the log entry that says where somebody paused.
pub const PAUSED: &str = "paused at ";

/// Where the work was left: the wire of the last pause or of the last step if something of it is open, else what
/// comes after it, else the first thing that is open.
fn resume(model: &Model) -> Option<Item> {
    let left = left_at(model);
    let list = items(model);
    match left {
        Some(item) if open(&model.book, item) => Some(item),
        Some(item) => next_open(model, list, item).or(list.first().copied()),
        None => list
            .iter()
            .copied()
            .find(|i| open(&model.book, *i))
            .or(list.first().copied()),
    }
}

/// The next item after `item` in the list that has an open step, round the end.
pub fn next_open(model: &Model, list: &[Item], item: Item) -> Option<Item> {
    let at = list.iter().position(|i| *i == item).map_or(0, |at| at + 1);
    let (before, after) = list.split_at(at.min(list.len()));
    after
        .iter()
        .chain(before)
        .copied()
        .find(|i| open(&model.book, *i))
}

fn left_at(model: &Model) -> Option<Item> {
    let step = super::overview::last_step(model);
    let pause = model
        .heads
        .iter()
        .rev()
        .take_while(|h| h.kind != EntryKind::Release)
        .find(|h| h.kind == EntryKind::Progress && h.title.starts_with(PAUSED));
    let paused_after = pause.filter(|h| step.is_none_or(|s| h.at >= s.at));
    if let Some(name) = paused_after
        .and_then(|h| h.title.strip_prefix(PAUSED))
        .and_then(|rest| rest.split(',').next())
        && let Some(item) = model.book.find(name.trim()).and_then(Item::of)
    {
        return Some(item);
    }
    step.map(|s| item_of(s.of))
}

/// The item that something built belongs to.
pub fn item_of(of: Built) -> Item {
    match of {
        Built::Wire(wire) | Built::End { wire, .. } => Item::Wire(wire),
        Built::Connector(id) => Item::Connector(id),
        Built::Junction(id) => Item::Junction(id),
    }
}

/// How many wires are done, and how many there are: all their steps done or left out on purpose, none to be redone.
pub fn wires_done(model: &Model) -> (usize, usize) {
    *model.derived.wires_done.get_or_init(|| {
        let all = model.book.all::<Wire>();
        let done = all
            .keys()
            .filter(|id| Progress::of_wire(&model.book, **id).is_complete())
            .count();
        (done, all.len())
    })
}

/// The record of an answer for a step, if there is one.
pub fn answer(model: &Model, id: Id<StepDone>) -> Option<&StepDone> {
    model.book.get(id)
}

impl Item {
    /// The item that a record is.
    pub fn of(key: Key) -> Option<Self> {
        key.as_id()
            .map(Self::Wire)
            .or_else(|| key.as_id().map(Self::Connector))
            .or_else(|| key.as_id().map(Self::Junction))
    }
}
