//! Build: what is built, in which order, and which step is next.

mod items;
mod steps;

use crimpbook_workbook::{
    Book,
    log::EntryKind,
    model::{Built, Id, Key, Step, StepDone, Wire},
    plan::{self, Progress, StepOf},
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
    /// Whether it was said where the work was left.
    pub greeted: bool,
}

/// The order in which items come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// Cut and label all, crimp all, insert plug by plug, test: one key an item.
    #[default]
    Passes,
    /// Connector by connector in the order of hands, every wire step by step.
    Connector,
    /// Thin to thick, colour by colour: for cutting.
    Size,
    /// Bundle by bundle, long before short.
    Route,
    /// By number.
    Number,
}

impl Order {
    /// Every one.
    pub const ALL: [Self; 5] = [
        Self::Passes,
        Self::Connector,
        Self::Size,
        Self::Route,
        Self::Number,
    ];
    /// Every one in words.
    pub const WORDS: &'static [&'static str] = &[
        "in passes",
        "by connector",
        "by size and colour",
        "by route",
        "by number",
    ];

    /// The next one.
    pub fn next(self) -> Self {
        match self {
            Self::Passes => Self::Connector,
            Self::Connector => Self::Size,
            Self::Size => Self::Route,
            Self::Route => Self::Number,
            Self::Number => Self::Passes,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Passes => "in passes",
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
    /// Whether one key answers for all that is open of it; not while one of its steps is looked at.
    pub together: bool,
}

impl AtHand {
    /// The step looked at.
    pub fn step(&self) -> Option<&StepAt> {
        self.steps.get(self.at)
    }

    /// The steps that the next answer is for.
    pub fn answering(&self) -> Vec<StepAt> {
        if !self.together {
            return self.step().copied().into_iter().collect();
        }
        let open = self.steps.iter().filter(|s| s.standing.is_open());
        open.copied().collect()
    }
}

/// What is at hand; none where there is nothing to build.
pub fn at_hand(model: &Model) -> Option<AtHand> {
    let chosen = model.build.item.filter(|item| item.exists(&model.book));
    let (item, left) = match chosen {
        Some(item) => (item, None),
        None => resume(model)?,
    };
    let steps = steps(&model.book, item);
    let open = steps.iter().position(|s| s.standing.is_open());
    let left = left.and_then(|left| steps.iter().position(|s| s.step == left && s.standing.is_open()));
    let looked_at = model.build.step.or(left.filter(|at| Some(*at) != open));
    let at = looked_at
        .or(open)
        .unwrap_or_else(|| steps.len().saturating_sub(1))
        .min(steps.len().saturating_sub(1));
    let together = looked_at.is_none()
        && open.is_some()
        && matches!(item, Item::Piece(piece) if plan::together(&model.book, piece));
    Some(AtHand {
        item,
        steps,
        at,
        together,
    })
}

/// Title of the log entry that says where somebody paused.
pub const PAUSED: &str = "paused at ";

/// Where the work was left, with the step paused at: the item of the last pause or of the last step if something of it is
/// open, else what comes after it, else the first thing that is open.
fn resume(model: &Model) -> Option<(Item, Option<StepOf>)> {
    let list = items(model);
    let alone = |item: Option<Item>| item.map(|item| (item, None));
    match left_at(model) {
        Some((item, step)) if open(&model.book, item) => Some((item, step)),
        Some((item, _)) => alone(next_open(model, list, item).or(list.first().copied())),
        None => alone(
            list.iter()
                .copied()
                .find(|i| open(&model.book, *i))
                .or(list.first().copied()),
        ),
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

fn left_at(model: &Model) -> Option<(Item, Option<StepOf>)> {
    let step = super::overview::last_step(model);
    let pause = model
        .heads
        .iter()
        .rev()
        .take_while(|h| h.kind != EntryKind::Release)
        .find(|h| h.kind == EntryKind::Progress && h.title.starts_with(PAUSED));
    let paused_after = pause.filter(|h| step.is_none_or(|s| h.at >= s.at));
    if let Some(words) = paused_after.and_then(|h| h.title.strip_prefix(PAUSED))
        && let Some(found) = paused_at(model, words)
    {
        return Some(found);
    }
    step.map(|s| {
        let step = StepOf {
            of: s.of,
            step: s.step,
        };
        (item_of(model, step), None)
    })
}

/// The step that `W44 at MC-A16, crimp` names; the thing alone where its step is no longer planned.
fn paused_at(model: &Model, words: &str) -> Option<(Item, Option<StepOf>)> {
    let (place, word) = words.split_once(", ").unwrap_or((words, ""));
    let name = place.split(" at ").next().unwrap_or(place);
    let key = model.book.find(name.trim())?;
    let step = Step::ALL.iter().copied().find(|s| s.words() == word);
    let of_thing = things(key).into_iter();
    let found = step.and_then(|step| {
        of_thing
            .map(|of| StepOf { of, step })
            .find(|s| model.book.built_name(s.of) == place)
    });
    match found {
        Some(step) => Some((item_of(model, step), Some(step))),
        None => first_of(model, key).map(|item| (item, None)),
    }
}

/// What steps are done to, of a record.
fn things(key: Key) -> Vec<Built> {
    use crimpbook_workbook::model::WireEnd;
    if let Some(wire) = key.as_id() {
        let end = |end| Built::End { wire, end };
        return vec![Built::Wire(wire), end(WireEnd::From), end(WireEnd::To)];
    }
    let junction = key.as_id().map(Built::Junction);
    junction
        .or_else(|| key.as_id().map(Built::Connector))
        .into_iter()
        .collect()
}

/// The item to show of a record: in passes the first of its pieces with something open.
pub fn first_of(model: &Model, key: Key) -> Option<Item> {
    if model.build.order != Order::Passes {
        return Item::of(key);
    }
    let things = things(key);
    let mine = || {
        let all = items(model).iter().copied();
        all.filter(|item| matches!(item, Item::Piece(piece) if things.contains(&piece.of)))
    };
    mine()
        .find(|item| open(&model.book, *item))
        .or_else(|| mine().next_back())
        .or_else(|| Item::of(key))
}

/// The item that a step belongs to, in the order chosen.
pub fn item_of(model: &Model, step: StepOf) -> Item {
    let piece = plan::piece_of(&model.book, step);
    if model.build.order == Order::Passes || matches!(piece.pass, plan::Pass::Twist | plan::Pass::Shield) {
        return Item::Piece(piece);
    }
    match step.of {
        Built::Wire(wire) | Built::End { wire, .. } => Item::Wire(wire),
        Built::Connector(id) => Item::Connector(id),
        Built::Junction(id) => Item::Junction(id),
    }
}

/// How many wires are done, and how many there are: all their steps done or left out on purpose, none to be redone.
pub fn wires_done(model: &Model) -> (usize, usize) {
    *model.derived.wires_done.get_or_init(|| {
        let all = model.book.all::<Wire>();
        let done = all.keys().filter(|id| is_done(&model.book, **id)).count();
        (done, all.len())
    })
}

/// Whether nothing of a wire is open.
pub fn is_done(book: &Book, wire: Id<Wire>) -> bool {
    Progress::of_wire(book, wire).is_complete()
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
