//! What decides whether an action is available: a few plain facts, so that the table is tested without a screen.

/// Whether an action can be done now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Available {
    /// It can.
    Yes,
    /// It cannot, and why: a sentence without its full stop.
    No(&'static str),
}

impl Available {
    /// Available if `holds`, else not, because of `why`.
    pub fn when(holds: bool, why: &'static str) -> Self {
        if holds { Self::Yes } else { Self::No(why) }
    }
}

/// What can be done about a finding by a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mending {
    /// Nothing is known that would mend it.
    #[default]
    None,
    /// A person has to do it.
    Words,
    /// The checks run, so that what they said is of an older book.
    Running,
    /// Its mends are not tried out yet.
    Untried,
    /// An edit that was tried out.
    Ready,
}

impl Mending {
    /// Whether the key can make it, and if not why.
    pub fn available(self) -> Available {
        Available::No(match self {
            Self::Ready => return Available::Yes,
            Self::None => "no mend is known for this finding",
            Self::Words => {
                "this mend is a person's; the key makes only a lower rating or a thicker wire that brings no new stop"
            }
            Self::Running => "the checks are running; wait until they are through",
            Self::Untried => "mends are being tried out; wait a moment",
        })
    }
}

/// Facts of the moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Facts {
    /// There is something of one's own to undo.
    pub can_undo: bool,
    /// There is something to redo.
    pub can_redo: bool,
    /// There is at least one unit.
    pub has_unit: bool,
    /// There is at least one connector.
    pub has_connector: bool,
    /// The cursor of the Overview is on a finding.
    pub on_finding: bool,
    /// What can be done about that finding by a key.
    pub mend: Mending,
    /// The cursor is on something that both copies of a merge changed.
    pub on_conflict: bool,
    /// Every conflict of a merge has its choice.
    pub all_chosen: bool,
    /// The checks lack facts.
    pub has_questions: bool,
    /// The cursor of the Face is on a cavity.
    pub on_cavity: bool,
    /// That cavity has a wire.
    pub on_wire: bool,
    /// How many cavities are marked.
    pub marked: usize,
    /// A decision was made since the start, to repeat.
    pub has_last_decision: bool,
    /// There is at least one wire.
    pub has_wire: bool,
    /// The cursor of Sources is on an input or output.
    pub on_signal: bool,
    /// The cursor of Sources is on a candidate.
    pub on_candidate: bool,
    /// The cursor of Tests is on a test.
    pub on_test: bool,
    /// A temporary link stands.
    pub has_link: bool,
    /// A reading lapsed and is not taken again yet; asked on Tests only.
    pub has_lapsed: bool,
    /// Build has a step before it.
    pub has_step: bool,
    /// The cursor of Settings is on a setting.
    pub on_setting: bool,
    /// At least one trial is logged.
    pub has_trial: bool,
    /// The steps of the first run are shown.
    pub on_first_run: bool,
    /// Every step of the first run was gone through.
    pub first_run_done: bool,
    /// The cursor is at a unit, or at something of one.
    pub unit_here: bool,
    /// The cursor of Parts is on a record.
    pub on_record: bool,
    /// Records of the kind shown in Parts can be made here.
    pub can_add: bool,
    /// What is computed of the book as it is now is there.
    pub computed: bool,
    /// Edits are being tried.
    pub trying: bool,
    /// At least one is.
    pub tried: bool,
    /// The cursor is on a wire, or on a cavity that has one.
    pub wire_here: bool,
    /// The line being typed is a why.
    pub typing_why: bool,
    /// Colours are switched off from outside.
    pub no_colour: bool,
    /// A list is shown whose rows can be held to some words.
    pub has_list: bool,
    /// It has more than one order.
    pub has_orders: bool,
    /// One has been elsewhere before.
    pub leads_back: bool,
    /// One has gone back.
    pub leads_on: bool,
}
