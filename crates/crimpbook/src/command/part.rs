//! `crimpbook part`: units as files of their own.

use std::{path::Path, process::ExitCode};

use crimpbook_record::{
    import::MOST_BYTES,
    part_file::{self, PartFile},
    text::shown,
};
use crimpbook_store::Store;
use crimpbook_workbook::model::{IdMaker, Unit};

use super::{Outcome, export::one_file, import::not_kept, input, read, say, wrapped};
use crate::{
    cli::{Common, PartVerb},
    part_files,
    report::Report,
    session::{File, Session},
    who,
};

/// Lists, saves or uses.
pub fn run(verb: PartVerb, common: &Common) -> Outcome {
    match verb {
        PartVerb::List => list(),
        PartVerb::Save {
            file,
            unit,
            out,
            about,
        } => save(&file, &unit, out.as_deref(), &about),
        PartVerb::Use {
            file,
            part,
            label,
            why,
        } => adopt(&file, &part, label.as_deref(), why, common),
    }
}

fn list() -> Outcome {
    for part in part_file::generic() {
        let file = part_file::read(part.text).map_err(|e| Report::file(format!("{}: {e}", part.name)))?;
        say(&format!("{:<18} {}", part.name, file.title))?;
    }
    Ok(ExitCode::SUCCESS)
}

fn save(file: &Path, unit: &str, out: Option<&Path>, about: &str) -> Outcome {
    let book = read(file)?.book;
    let Some(id) = book.index().labelled::<Unit>(unit) else {
        let mut labels: Vec<&str> = book.all::<Unit>().values().map(|u| u.label.as_str()).collect();
        labels.sort_unstable();
        let hint = match labels.as_slice() {
            [] => "there is none yet: add it in Parts on the screen first".to_owned(),
            labels => format!("units: {}", labels.join(", ")),
        };
        return Err(Report::user(format!("no unit is called {unit}")).hint(hint));
    };
    let part = part_file::save(&book, id, about).map_err(|e| Report::user(e.to_string()))?;
    one_file(file, &part.text(), out)?;
    if out.is_some() {
        say_left_out(&part)?;
    }
    Ok(ExitCode::SUCCESS)
}

fn adopt(file: &Path, part: &Path, label: Option<&str>, why: Option<String>, common: &Common) -> Outcome {
    let part = part_of(part)?;
    let opened = Store::open(file)?;
    opened.store.verify()?;
    let mut ids = IdMaker::new(who::seed()?);
    let edit = part_file::adopt(&opened.book, &mut ids, &part, label)
        .map_err(|e| Report::user(format!("{e}; nothing was changed")).hint("name it with --label"))?;
    let author = who::name(common.who.as_deref());
    let keep = Box::new(File::new(opened.store));
    let mut session = Session::new(keep, opened.book, opened.heads, author, who::seed()?, who::now);
    let records = edit.changes.len();
    let kept = session
        .edit(edit.because(why.unwrap_or_default()))
        .map_err(not_kept)?;
    say(&format!(
        "taken as entry {}: {} ({records} records)",
        kept.head.seq, kept.head.title
    ))?;
    say_left_out(&part)?;
    Ok(ExitCode::SUCCESS)
}

/// What the unit had and the file has not.
fn say_left_out(part: &PartFile) -> Result<(), Report> {
    for sentence in &part.left_out {
        say(&wrapped("stays behind: ", &shown(sentence)))?;
    }
    Ok(())
}

/// The part file of this name, or the generic part.
fn part_of(part: &Path) -> Result<PartFile, Report> {
    let name = part.display().to_string();
    if let Some(generic) = part_file::generic().iter().find(|g| g.name == name) {
        return part_file::read(generic.text).map_err(|e| Report::file(format!("{name}: {e}")));
    }
    let (name, bytes) = input::bytes(part, MOST_BYTES)?;
    let text = part_files::text_of(&name, bytes);
    let text = text.map_err(|why| Report::file(format!("{why}; nothing was changed")))?;
    part_file::read(&text).map_err(|e| Report::file(format!("{name}: {e}; nothing was changed")))
}
