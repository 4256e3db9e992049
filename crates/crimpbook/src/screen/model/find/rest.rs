//! What else the finder knows: contacts, places, the shelf, notes of files, trials, the log, the screens.

use crimpbook_workbook::{
    Book,
    model::{Bundle, ColourUse, ContactFamily, Drum, FileNote, Key, StockLine, Trial, Zone},
};

use super::{Match, Target};
use crate::screen::{
    action::{Do, Where, in_place},
    figures::number,
    form::drum_size,
    model::Model,
};

/// Calls `see` with key, name, what it is, and words it is found by but that are not shown.
pub fn records(book: &Book, see: &mut dyn FnMut(Key, String, String, String)) {
    let mut say = |key: Key, name: &str, what: String, note: &str| {
        see(key, name.to_owned(), what.trim().to_owned(), note.to_owned());
    };
    for contact in book.all::<ContactFamily>().values() {
        let mm2 = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), number);
        let what = format!(
            "contact for {} to {} mm²",
            mm2(contact.least_mm2),
            mm2(contact.most_mm2)
        );
        say(Key::of(contact.id), &contact.label, what, "");
    }
    for zone in book.all::<Zone>().values() {
        let what = format!("zone, {}", if zone.wet { "wet" } else { "dry" });
        say(Key::of(zone.id), &zone.label, what, &zone.note);
    }
    for bundle in book.all::<Bundle>().values() {
        say(
            Key::of(bundle.id),
            &bundle.label,
            "bundle".to_owned(),
            &bundle.note,
        );
    }
    for drum in book.all::<Drum>().values() {
        let colour = drum.colour.map(|c| format!("{c} {}", c.words()));
        let what = format!("drum of {} {}", drum_size(drum), colour.unwrap_or_default());
        say(Key::of(drum.id), &drum.label, what, "");
    }
    for line in book.all::<StockLine>().values() {
        say(Key::of(line.id), &line.label, "part in stock".to_owned(), "");
    }
    for kept in book.all::<ColourUse>().values() {
        let colour = kept
            .colour
            .map_or_else(String::new, |c| format!("{c} {}", c.words()));
        let what = format!("house colour {colour}");
        say(Key::of(kept.id), kept.purpose.words(), what, "");
    }
    for file in book.all::<FileNote>().values() {
        let of = file.of.map_or_else(String::new, |key| book.name_of(key));
        say(
            Key::of(file.id),
            &file.name,
            format!("photo or file {of}"),
            &file.note,
        );
    }
    for trial in book.all::<Trial>().values() {
        let name = trial.at.format("%Y-%m-%d").to_string();
        let hidden = format!("{} {} {} {}", trial.felt, trial.place, trial.why, trial.next);
        let what = format!("trial: {} {}", trial.words, trial.changed);
        say(Key::of(trial.id), &name, what, &hidden);
    }
}

/// Screens whose name begins with the one word typed.
pub fn screens(words: &[&str]) -> impl Iterator<Item = Match> {
    let word = match words {
        [word] if word.len() > 1 => (*word).to_owned(),
        _ => String::new(),
    };
    let named = move |place: &&Where| {
        place.is_screen() && !word.is_empty() && place.words().to_lowercase().starts_with(&word)
    };
    Where::ALL.iter().filter(named).map(|place| Match {
        target: Target::Screen(*place),
        name: "screen".to_owned(),
        what: format!("{}: {}", place.words(), about(*place)),
        colour: None,
    })
}

/// What the menu says of a screen.
fn about(place: Where) -> &'static str {
    let row = in_place(Where::Menu).find(|row| row.label == place.words() && row.act != Do::CloseMenu);
    row.map_or("", |row| row.help)
}

/// Entries of the log with all words in their title, their why or who made them, the newest first.
pub fn entries<'a>(model: &'a Model, words: &'a [&str]) -> impl Iterator<Item = Match> + 'a {
    let asks = words.iter().map(|word| word.len()).sum::<usize>() > 2;
    let heads = model.heads.iter().rev().filter(move |head| {
        let said = || format!("{} {} {}", head.title, head.why, head.who).to_lowercase();
        asks && {
            let said = said();
            words.iter().all(|word| said.contains(word))
        }
    });
    heads.take(MOST).map(|head| Match {
        target: Target::Entry(head.seq),
        name: format!("entry {}", head.seq),
        what: if head.why.is_empty() {
            head.title.clone()
        } else {
            format!("{}, because {}", head.title, head.why)
        },
        colour: None,
    })
}

/// So many entries are offered; the Log itself can be held to words.
const MOST: usize = 10;
