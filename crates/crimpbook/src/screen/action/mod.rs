//! The one table of actions: dispatch, help, bottom line, finder and `crimpbook keys` are read from it.
//!
//! Nothing else in the program names a key. To add an action: a variant of [`Do`], a row in the file of its place,
//! an arm in that place's update.

mod asking;
mod build;
mod dialog;
mod everywhere;
mod face;
mod facts;
mod hunt;
mod list;
mod lists;
mod log;
mod merging;
mod meter;
mod overview;
mod part_files;
mod parts;
mod place;
mod preview;
mod protection;
mod reckon;
mod settings;
mod sources;
mod states;
mod trials;
mod trying;

use super::keys::Key;
pub use facts::{Available, Facts, Mending};
pub use list::{keys, keys_page};
pub use place::Where;

/// The screens.
const PLACES: &[Where] = &[
    Where::Overview,
    Where::Face,
    Where::Sources,
    Where::Build,
    Where::Protection,
    Where::States,
    Where::Tests,
    Where::Settings,
    Where::Trials,
    Where::Log,
    Where::Parts,
];

/// Everything a key can do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Do {
    // Everywhere
    Menu,
    NextPlace,
    PreviousPlace,
    Find,
    GoToNumber,
    Help,
    GoBack,
    GoForward,
    Undo,
    Redo,
    Contrast,
    Mouse,
    Quit,
    Back,
    Up,
    Down,
    Left,
    Right,
    First,
    Last,
    PageUp,
    PageDown,
    Open,
    // Lists
    ListOrder,
    TurnOrder,
    OnlyWith,
    // The menu of screens
    GoOverview,
    GoFace,
    GoSources,
    GoBuild,
    GoProtection,
    GoStates,
    GoTests,
    GoSettings,
    GoTrials,
    GoLog,
    GoParts,
    CloseMenu,
    // Typing
    Accept,
    Cancel,
    EraseBefore,
    EraseAfter,
    EraseLine,
    EraseWord,
    EraseRest,
    TextLeft,
    TextRight,
    TextStart,
    TextEnd,
    EarlierText,
    LaterText,
    NextField,
    PreviousField,
    TakeForm,
    NextMatch,
    PreviousMatch,
    TakeMatch,
    HelpUp,
    HelpStart,
    HelpEnd,
    HelpDown,
    CloseHelp,
    LoseText,
    KeepText,
    // A pasted table
    TakeTable,
    LeaveTable,
    TableUp,
    TableDown,
    TablePageUp,
    TablePageDown,
    TableNext,
    /// Takes the rows of a pasted table for wires, or for cavities.
    TableOf,
    /// Lets empty cells of a column clear, or change nothing.
    TableClear,
    TablePrevious,
    // Overview
    AcceptFinding,
    Mend,
    ShowNotes,
    BriefFindings,
    AskFacts,
    // Missing facts
    Answer,
    SkipQuestion,
    QuestionBefore,
    ShowPlace,
    // Face
    Flip,
    Mark,
    MarkRun,
    Decide,
    DecideWired,
    DecideBlank,
    DecideReserved,
    DecideNotOurs,
    DecideUndecided,
    SameAgain,
    Bridge,
    WireFromHere,
    LikeLastWire,
    PairFromHere,
    EditCavity,
    Describe,
    EditWire,
    EditConnector,
    AddConnector,
    NextConnector,
    PreviousConnector,
    // Sources
    OnlyOpen,
    Weigh,
    Choose,
    Refuse,
    ShowOnFace,
    // Build
    StepDone,
    StepFailed,
    StepSkipped,
    Pause,
    NextItem,
    Order,
    Filter,
    Bell,
    // Tests
    TypeReading,
    EnterReading,
    ReadOpen,
    AllOpen,
    NextTest,
    NextLapsed,
    ChooseStage,
    Leads,
    SupplyNow,
    RoomNow,
    CurrentNow,
    NameMeter,
    AddLink,
    TakeLinkOut,
    // Settings
    Turn,
    EditSetting,
    AddSetting,
    SettingPast,
    AsLeft,
    RemoveSetting,
    // Trials
    AddTrial,
    EditTrial,
    TrialDetail,
    Plot,
    FirstRun,
    GoneThrough,
    RemoveTrial,
    // Log
    ShowTicks,
    Compare,
    /// Compare with another workbook.
    CompareWith,
    Release,
    // Protection
    Picture,
    FarEnds,
    Suppose,
    // States
    Rules,
    Written,
    // Trying edits
    Try,
    KeepTried,
    DropTried,
    // Merging another copy
    Merge,
    KeepMine,
    KeepTheirs,
    ChooseLater,
    RestMine,
    RestTheirs,
    BringIn,
    LeaveMerge,
    MergeUp,
    MergeDown,
    MergePageUp,
    MergePageDown,
    // Finding a fault
    FindFault,
    TakeSeen,
    ElseUsual,
    TakeBack,
    ChoiceDown,
    ChoiceUp,
    SuspectsDown,
    SuspectsUp,
    // Part files
    UsePart,
    SavePart,
    // Parts
    Add,
    Edit,
    Remove,
    // Calculators
    Reckon,
    TypeFigure,
    EnterFigure,
    ClearFigure,
    AsKnown,
    InputUp,
    InputDown,
    NextSubject,
    PreviousSubject,
    NextSum,
    PreviousSum,
    Curve,
    HelpReckon,
    CloseReckon,
}

/// A row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Action {
    /// What it does.
    pub act: Do,
    /// Stable name, kebab-case.
    pub name: &'static str,
    /// In a word or two, for the bottom line.
    pub label: &'static str,
    /// One line of help.
    pub help: &'static str,
    /// Where it holds.
    pub holds: &'static [Where],
    /// Its keys; the first is the one shown.
    pub keys: &'static [Key],
    /// Its place in the bottom line; 0: not shown there.
    pub hint: u8,
    /// Whether it can be done now, and if not why.
    pub available: fn(&Facts) -> Available,
}

/// Every action, in the order of the help.
pub fn all() -> impl Iterator<Item = &'static Action> {
    [
        overview::ROWS,
        face::ROWS,
        sources::ROWS,
        build::ROWS,
        protection::ROWS,
        states::ROWS,
        meter::ROWS,
        settings::ROWS,
        trials::ROWS,
        log::ROWS,
        parts::ROWS,
        part_files::ROWS,
        reckon::ROWS,
        lists::ROWS,
        everywhere::ROWS,
        hunt::ROWS,
        trying::ROWS,
        merging::ROWS,
        asking::ROWS,
        dialog::ROWS,
        preview::ROWS,
    ]
    .into_iter()
    .flatten()
}

/// The actions that hold in a place, in the order of the help.
pub fn in_place(place: Where) -> impl Iterator<Item = &'static Action> {
    all().filter(move |action| action.holds.contains(&place))
}

/// What a key does in a place.
pub fn resolve(place: Where, key: Key) -> Option<&'static Action> {
    in_place(place).find(|action| action.keys.contains(&key))
}

/// The row of an action in a place.
pub fn row(act: Do, place: Where) -> Option<&'static Action> {
    in_place(place).find(|action| action.act == act)
}

/// The key shown for an action, wherever it holds; empty if it has none.
pub fn key_of(act: Do) -> String {
    all()
        .find(|action| action.act == act)
        .and_then(|action| action.keys.first())
        .map(Key::to_string)
        .unwrap_or_default()
}

/// Always available.
/// A row that is always available in its places.
const fn entry(
    holds: &'static [Where],
    act: Do,
    name: &'static str,
    label: &'static str,
    help: &'static str,
    keys: &'static [Key],
    hint: u8,
) -> Action {
    Action {
        act,
        name,
        label,
        help,
        holds,
        keys,
        hint,
        available: always,
    }
}

impl Action {
    /// The row, where it is available at times only.
    const fn when(self, available: fn(&Facts) -> Available) -> Self {
        Self { available, ..self }
    }
}

fn always(_: &Facts) -> Available {
    Available::Yes
}

#[cfg(test)]
mod tests;
