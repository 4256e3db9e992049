//! The finder: anything by number, name, colour or signal, entries of the log, screens, and actions by name.

mod rest;

use std::sync::Arc;

use crimpbook_core::tables::terminals::terminal;
use crimpbook_workbook::{
    Book,
    book::natural,
    model::{
        Cavity, Connector, Expression, Fuse, Junction, Key, Part, Rule, Setting, State, Switch, Terminal,
        TerminalNumber, Unit, Wire, WireColour,
    },
};

use super::Model;
use crate::screen::{
    action::{Available, Do, Where, in_place},
    editor::Editor,
};

/// How many matches are listed at most.
const MOST: usize = 60;

/// The finder.
#[derive(Debug, Clone, Default)]
pub struct Find {
    /// What is looked for.
    pub editor: Editor,
    /// The match chosen.
    pub at: usize,
    /// What is found.
    pub found: Vec<Match>,
}

/// What a match leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// A record.
    Record(Key),
    /// An action that is available now.
    Action(Do),
    /// A screen.
    Screen(Where),
    /// An entry of the log.
    Entry(u64),
}

/// Something found.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// Where it leads.
    pub target: Target,
    /// Its name.
    pub name: String,
    /// What it is.
    pub what: String,
    /// A wire's colour.
    pub colour: Option<WireColour>,
}

/// What `query` finds, best first: a label typed exactly, labels that begin so, then any words.
pub fn matches(model: &Model, query: &str) -> Vec<Match> {
    let query = query.trim().to_lowercase();
    if query.is_empty() {
        return Vec::new();
    }
    let exact = model.book.find(&query);
    let words: Vec<&str> = query.split_whitespace().collect();
    // They come in the order of their names, so that the first of each rank are the ones that are listed.
    let mut ranks: [Vec<&Known>; 3] = Default::default();
    let [one, begun, any] = &mut ranks;
    for known in known(model) {
        let rank = if exact == Some(known.key) {
            &mut *one
        } else if known.low.starts_with(&query) {
            &mut *begun
        } else if any.len() < MOST && words.iter().all(|word| known.said.contains(word)) {
            &mut *any
        } else {
            continue;
        };
        if rank.len() < MOST {
            rank.push(known);
        }
    }
    let listed = (0u8..).zip(ranks);
    let listed = listed.flat_map(|(rank, of)| of.into_iter().map(move |known| (rank, known.found())));
    let mut found: Vec<(u8, Match)> = listed.take(MOST).collect();
    let facts = model.facts();
    for action in in_place(model.place) {
        let hit = words.iter().all(|word| {
            action.label.contains(word) || action.name.contains(word) || action.help.contains(word)
        });
        if hit && movable(action.act) && (action.available)(&facts) == Available::Yes {
            let key = action.keys.first().map(ToString::to_string).unwrap_or_default();
            found.push((
                3,
                Match {
                    target: Target::Action(action.act),
                    name: key,
                    what: action.help.to_owned(),
                    colour: None,
                },
            ));
        }
    }
    found.extend(rest::screens(&words).map(|m| (3, m)));
    found.extend(rest::entries(model, &words).map(|m| (4, m)));
    found.sort_by_cached_key(|(rank, m)| (*rank, natural(&m.name)));
    found.truncate(MOST);
    found.into_iter().map(|(_, m)| m).collect()
}

/// A record as the finder knows it.
#[derive(Debug, Clone)]
pub struct Known {
    key: Key,
    name: String,
    /// Its name in lower case.
    low: String,
    what: String,
    /// All that it is found by, in lower case.
    said: String,
    colour: Option<WireColour>,
}

impl Known {
    fn found(&self) -> Match {
        Match {
            target: Target::Record(self.key),
            name: self.name.clone(),
            what: self.what.clone(),
            colour: self.colour,
        }
    }
}

/// Every record, in the order of names.
fn known(model: &Model) -> &[Known] {
    model.derived.known.get_or_init(|| {
        let mut all = Vec::new();
        each(&model.book, &mut |key, name, what, hidden| {
            all.push(Known {
                key,
                low: name.to_lowercase(),
                said: format!("{name} {what} {hidden}").to_lowercase(),
                name,
                what,
                colour: key
                    .as_id::<Wire>()
                    .and_then(|id| model.book.get(id))
                    .and_then(|wire| wire.colour),
            });
        });
        all.sort_by_cached_key(|known| natural(&known.name));
        Arc::new(all)
    })
}

/// Whether an action makes sense from the finder: not the cursor, not the finder itself.
fn movable(act: Do) -> bool {
    !matches!(
        act,
        Do::Up
            | Do::Down
            | Do::Left
            | Do::Right
            | Do::First
            | Do::Last
            | Do::PageUp
            | Do::PageDown
            | Do::Find
            | Do::GoToNumber
            | Do::Back
    )
}

/// Calls `see` with key, name, what it is, and words it is found by but that are not shown.
fn each(book: &Book, see: &mut dyn FnMut(Key, String, String, String)) {
    for wire in book.all::<Wire>().values() {
        let what = format!(
            "{} {} → {}",
            wire.signal,
            book.end_name(wire.from),
            book.end_name(wire.to)
        );
        let hidden = wire
            .colour
            .map(|c| format!("{c} {}", c.words()))
            .unwrap_or_default();
        see(
            Key::of(wire.id),
            wire.label.clone(),
            what.trim().to_owned(),
            hidden,
        );
    }
    for cavity in book.all::<Cavity>().values() {
        let what = format!("{} {}", cavity.name, cavity.decision.words());
        let hidden = cavity.kind.map(|k| k.words().to_owned()).unwrap_or_default();
        see(
            Key::of(cavity.id),
            book.cavity_name(cavity.id),
            what.trim().to_owned(),
            hidden,
        );
    }
    for connector in book.all::<Connector>().values() {
        let what = format!(
            "connector of {} {}",
            book.label_of(connector.unit),
            connector.name
        );
        see(
            Key::of(connector.id),
            connector.label.clone(),
            what.trim().to_owned(),
            String::new(),
        );
    }
    for unit in book.all::<Unit>().values() {
        see(
            Key::of(unit.id),
            unit.label.clone(),
            unit.name.clone(),
            String::new(),
        );
    }
    for junction in book.all::<Junction>().values() {
        see(
            Key::of(junction.id),
            junction.label.clone(),
            format!("splice or stud {}", junction.place),
            junction.note.clone(),
        );
    }
    terminal_numbers(book, see);
    rest::records(book, see);
    let mut of_states = |key: Key, name: &str, what: String| see(key, name.to_owned(), what, String::new());
    for rule in book.all::<Rule>().values() {
        of_states(Key::of(rule.id), &rule.label, format!("rule: {}", rule.words));
    }
    for one in book.all::<Expression>().values() {
        let what = format!("behaviour of {} {}", book.label_of(one.unit), one.note);
        of_states(Key::of(one.id), &one.label, what.trim().to_owned());
    }
    for switch in book.all::<Switch>().values() {
        let what = format!("{}: {}", switch.kind.words(), switch.positions.join(", "));
        of_states(Key::of(switch.id), &switch.label, what);
    }
    for state in book.all::<State>().values() {
        of_states(Key::of(state.id), &state.label, format!("state: {}", state.words));
    }
    for part in book.all::<Part>().values() {
        let what = format!("{} in {}", part.kind.words(), book.label_of(part.unit));
        of_states(Key::of(part.id), &part.label, what);
    }
    for setting in book.all::<Setting>().values() {
        see(
            Key::of(setting.id),
            setting.label.clone(),
            format!("setting of {}: {}", book.label_of(setting.unit), setting.shown()),
            setting.note.clone(),
        );
    }
    for fuse in book.all::<Fuse>().values() {
        see(
            Key::of(fuse.id),
            fuse.label.clone(),
            format!(
                "fuse {} A {}",
                super::super::figures::number(fuse.rating_a),
                fuse.feeds
            ),
            String::new(),
        );
    }
}

/// Places with a terminal number, found by it (`15`, `terminal 15`); they lead to the place.
fn terminal_numbers(book: &Book, see: &mut dyn FnMut(Key, String, String, String)) {
    for given in book.all::<TerminalNumber>().values() {
        let meaning = terminal(&given.number).map_or("", |row| row.meaning.as_ref());
        let key = match &given.at {
            Terminal::Cavity(id) => Key::of(*id),
            Terminal::Junction(id) => Key::of(*id),
            Terminal::Inner { unit, .. } => Key::of(*unit),
        };
        see(
            key,
            format!("{} at {}", given.number, book.terminal_name(&given.at)),
            format!("terminal {}: {meaning}", given.number),
            "DIN 72552".to_owned(),
        );
    }
}

/// The screen on which a record is shown, for the place the person is in now.
pub fn screen_of(key: Key, now: Where) -> Where {
    use crimpbook_workbook::model::Kind;
    match key.kind {
        Kind::Wire | Kind::Connector if now == Where::Build => Where::Build,
        Kind::Cavity if now == Where::Sources => Where::Sources,
        Kind::Wire | Kind::Fuse if now == Where::Protection => Where::Protection,
        Kind::Cavity | Kind::Connector if now == Where::States => Where::States,
        Kind::Cavity | Kind::Connector => Where::Face,
        Kind::Rule | Kind::Expression => Where::States,
        Kind::Switch | Kind::State if now != Where::Parts => Where::States,
        Kind::Part if now == Where::States => Where::States,
        Kind::Setting => Where::Settings,
        Kind::Trial => Where::Trials,
        _ => Where::Parts,
    }
}
