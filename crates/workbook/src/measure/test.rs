//! A test: where the leads go and what the meter should show.

use crate::{
    Book,
    model::{Cavity, End, Id, State, SwitchPosition, TestKind, Wire},
};

use super::powered::Making;

/// Above this a meter's reading is an open circuit, Ω (common practice, no source).
pub const OPEN_OHM: f64 = 1e6;
/// A hand meter with its leads taken off is no better than this, Ω (common practice, no source).
pub const METER_OHM: f64 = 0.1;

/// What the builder knows while testing that no plan can know.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Known {
    /// Volts at the battery's posts now, V; none: anything from the workbook's least to its most.
    pub supply_v: Option<f64>,
    /// How warm it is where one measures, °C; none: any workshop's.
    pub room_c: Option<f64>,
    /// The current that is sent through a wire to measure its contacts, A.
    pub current_a: Option<f64>,
}

/// What the battery of control wiring may read, V (its most: what is computed at all; its least is our own).
const BATTERY_V: std::ops::RangeInclusive<f64> = 1.0..=60.0;

/// What somebody says that the battery reads.
///
/// # Errors
/// A sentence: no battery of control wiring reads that.
pub fn battery_read(volts_v: f64) -> Result<f64, String> {
    if BATTERY_V.contains(&volts_v) {
        return Ok(volts_v);
    }
    let (least, most) = (BATTERY_V.start(), BATTERY_V.end());
    Err(format!(
        "the battery of control wiring reads {least} to {most} V; type what it reads, as in 12.6"
    ))
}

/// What the meter should show.
#[derive(Debug, Clone, PartialEq)]
pub enum Expected {
    /// From least to most, in the test's measure; none: no bound on that side.
    Within {
        /// Least that is right.
        least: Option<f64>,
        /// Most that is right; none: an open circuit is right too.
        most: Option<f64>,
    },
    /// Nothing holds it: a meter's own 10 MΩ pull it to about 0 V.
    Floats,
    /// It cannot be told, and why (`missing …`).
    CannotTell(String),
}

/// A floating wire reads less than this on a meter of 10 MΩ, V. Our own bound.
const FLOATS_V: f64 = 0.5;

impl Expected {
    /// An open circuit.
    pub const OPEN: Self = Self::Within {
        least: Some(OPEN_OHM),
        most: None,
    };

    /// From `least` to `most`.
    pub fn within(least: f64, most: f64) -> Self {
        Self::Within {
            least: Some(least),
            most: Some(most),
        }
    }

    /// Least and most that are right.
    pub fn bounds(&self) -> (Option<f64>, Option<f64>) {
        match self {
            Self::Within { least, most } => (*least, *most),
            Self::Floats => (Some(-FLOATS_V), Some(FLOATS_V)),
            Self::CannotTell(_) => (None, None),
        }
    }

    /// Whether a value is as it should be; `None` as a value is an open circuit. None: that cannot be told.
    pub fn judge(&self, value: Option<f64>) -> Option<bool> {
        let (least, most) = self.bounds();
        judge(value, least, most)
    }

    /// Whether an open circuit is what is expected.
    pub fn is_open(&self) -> bool {
        *self == Self::OPEN
    }
}

/// Whether a value lies within bounds; no value is an open circuit, which no most allows. None: there are no bounds.
pub(super) fn judge(value: Option<f64>, least: Option<f64>, most: Option<f64>) -> Option<bool> {
    if least.is_none() && most.is_none() {
        return None;
    }
    Some(match value {
        None => most.is_none(),
        Some(value) => least.is_none_or(|v| value >= v) && most.is_none_or(|v| value <= v),
    })
}

/// One test.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// What kind.
    pub kind: TestKind,
    /// Where the first lead goes.
    pub at: Id<Cavity>,
    /// Where the second goes; free: on chassis.
    pub against: End,
    /// The state it holds in; none: power off.
    pub state: Option<Id<State>>,
    /// A switch that is held elsewhere than the state has it.
    pub held: Option<SwitchPosition>,
    /// What the meter should show, in [`Test::measure`].
    pub expected: Expected,
    /// The wires it tests.
    pub wires: Vec<Id<Wire>>,
    /// A word of help; may be empty.
    pub hint: String,
}

impl Test {
    /// A test in Ω, power off.
    pub(super) fn ohms(kind: TestKind, at: Id<Cavity>, against: End, expected: Expected) -> Self {
        Self {
            kind,
            at,
            against,
            state: None,
            held: None,
            expected,
            wires: Vec::new(),
            hint: String::new(),
        }
    }

    /// A test with power on, in a state.
    pub(super) fn live(
        making: Making<'_>,
        kind: TestKind,
        (at, against): (Id<Cavity>, End),
        state: Id<State>,
        expected: Expected,
    ) -> Self {
        let mut test = Self::ohms(kind, at, against, expected);
        test.state = Some(state);
        if making.windows {
            let nets = &making.see.signals().nets;
            let net = nets.at_cavity(at).and_then(|net| nets.get(net));
            test.wires = net.map(|net| net.wires.clone()).unwrap_or_default();
        }
        test
    }

    /// What it is measured in: `Ω`, `V`, `A` or `s`.
    pub fn measure(&self) -> &'static str {
        match self.kind {
            TestKind::Draw => "A",
            TestKind::Release | TestKind::Precharge => "s",
            _ if self.state.is_some() || self.kind == TestKind::Contact => "V",
            _ => "Ω",
        }
    }

    /// Whether it is the same measurement, whatever is expected of it.
    pub fn is_same(&self, other: &Self) -> bool {
        self.kind == other.kind
            && self.at == other.at
            && self.against == other.against
            && self.state == other.state
            && self.held == other.held
    }

    /// The switch that is held, in words (`stop pressed`).
    pub fn held_words(&self, book: &Book) -> Option<String> {
        self.held.as_ref().map(|held| held_words(book, held))
    }

    /// Where the second lead goes, in words.
    pub fn against_words(&self, book: &Book) -> String {
        match (self.against, self.state) {
            (End::Free, None) => "chassis".to_owned(),
            (End::Free, Some(_)) => "battery −".to_owned(),
            (end, _) => book.end_name(end),
        }
    }
}

/// A switch that is held, in words (`stop pressed`).
pub fn held_words(book: &Book, held: &SwitchPosition) -> String {
    format!("{} {}", book.label_of(held.switch), held.position)
}

/// The tests of a stage.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Listed {
    /// In working order: connector by connector.
    pub tests: Vec<Test>,
    /// What has no place for a lead, in a sentence each.
    pub untold: Vec<String>,
}
