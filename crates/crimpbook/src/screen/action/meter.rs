//! What holds on Tests. Digits are a reading here, and nothing else.

use super::{Action, Available, Do, Facts, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Tests];

/// What a reading starts with.
pub(super) const FIGURES: &[Key] = &[
    Key::Char('0'),
    Key::Char('1'),
    Key::Char('2'),
    Key::Char('3'),
    Key::Char('4'),
    Key::Char('5'),
    Key::Char('6'),
    Key::Char('7'),
    Key::Char('8'),
    Key::Char('9'),
    Key::Char('.'),
    Key::Char(','),
    Key::Char('-'),
];

const fn on_test(action: Action) -> Action {
    Action {
        available: has_test,
        ..action
    }
}

fn has_test(facts: &Facts) -> Available {
    Available::when(facts.on_test, "this stage has no test; go to another stage")
}

pub(super) const ROWS: &[Action] = &[
    on_test(entry(
        HERE,
        Do::TypeReading,
        "type-reading",
        "reading",
        "A figure begins a reading: 0,12 and Enter keeps it and goes on.",
        FIGURES,
        0,
    )),
    on_test(entry(
        HERE,
        Do::EnterReading,
        "enter-reading",
        "read",
        "Type what the meter shows, also OL for an open circuit.",
        &[Key::Enter],
        1,
    )),
    on_test(entry(
        HERE,
        Do::ReadOpen,
        "read-open",
        "open",
        "The meter shows an open circuit here; goes on to the next.",
        &[Key::Char('o')],
        2,
    )),
    on_test(entry(
        HERE,
        Do::AllOpen,
        "all-open",
        "all open",
        "All of this sweep read open; what was typed as an exception stays.",
        &[Key::Char('a')],
        3,
    )),
    entry(
        HERE,
        Do::NextTest,
        "next-test",
        "next unread",
        "To the next test that is not read, is wrong, or is to be read again.",
        &[Key::Char('n')],
        4,
    ),
    Action {
        available: |f| Available::when(f.has_lapsed, "no reading is to be taken again"),
        ..entry(
            HERE,
            Do::NextLapsed,
            "next-lapsed",
            "again",
            "To the next reading that lapsed, in whatever stage it is.",
            &[Key::Char('A')],
            0,
        )
    },
    entry(
        HERE,
        Do::ChooseStage,
        "choose-stage",
        "stage",
        "Choose a stage by its name, such as DRIVE; the arrows go stage by stage.",
        &[Key::Char('s')],
        5,
    ),
    entry(
        HERE,
        Do::Leads,
        "leads",
        "leads",
        "The leads' own ohms, held together; taken off every reading in ohms.",
        &[Key::Char('z')],
        6,
    ),
    entry(
        HERE,
        Do::SupplyNow,
        "supply-now",
        "battery",
        "What the battery reads now; the windows of volts become as narrow.",
        &[Key::Char('b')],
        7,
    ),
    entry(
        HERE,
        Do::RoomNow,
        "room-now",
        "room",
        "How warm it is here now; the windows of sensors become as narrow.",
        &[Key::Char('r')],
        0,
    ),
    entry(
        HERE,
        Do::CurrentNow,
        "current-now",
        "current",
        "The known current sent through a wire to measure its contacts, 1 to 5 A.",
        &[Key::Char('i')],
        0,
    ),
    entry(
        HERE,
        Do::NameMeter,
        "name-meter",
        "meter",
        "Which meter is used; kept with each reading.",
        &[Key::Char('m')],
        0,
    ),
    entry(
        HERE,
        Do::AddLink,
        "add-link",
        "temporary link",
        "Put in a bridge, lamp or terminator for a test, with its why.",
        &[Key::Char('t')],
        8,
    ),
    Action {
        available: |f| Available::when(f.has_link, "no temporary link stands"),
        ..entry(
            HERE,
            Do::TakeLinkOut,
            "take-link-out",
            "link is out",
            "The temporary link put in last is out of the vehicle again.",
            &[Key::Char('T')],
            9,
        )
    },
    entry(
        HERE,
        Do::NextConnector,
        "next-tested",
        "next connector",
        "The next connector.",
        &[Key::Char(']')],
        0,
    ),
    entry(
        HERE,
        Do::PreviousConnector,
        "previous-tested",
        "connector before",
        "The connector before.",
        &[Key::Char('[')],
        0,
    ),
    on_test(entry(
        HERE,
        Do::ShowOnFace,
        "show-tested",
        "show on face",
        "Go to this cavity on the Face.",
        &[Key::Char('w')],
        0,
    )),
];
