//! `crimpbook new`: starts a workbook, empty or from interchange JSON.

use std::{
    collections::BTreeMap,
    fs,
    io::{self, IsTerminal, Read},
    path::Path,
    process::ExitCode,
};

use crimpbook_record::{bundle, json};
use crimpbook_store::Store;
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit},
    log::{Entry, EntryKind},
    model::{About, IdMaker, SizeTable, Supply},
};

use super::{Outcome, input, say, typed};
use crate::{cli::Common, report::Report, who};

/// Makes the file; with `from`, out of that document.
pub fn run(file: &Path, from: Option<&Path>, vehicle: Option<&str>, common: &Common) -> Outcome {
    named_well(file)?;
    let mut ids = IdMaker::new(who::seed()?);
    let author = who::name(common.who.as_deref());
    let entries = match from {
        Some(source) => read_document(source, &mut ids, &author)?,
        None => vec![creation(
            vehicle.unwrap_or_else(|| stem(file)),
            &mut ids,
            &author,
        )?],
    };
    let made = Store::create(file, &entries)?;
    let records = made.book.tables().len();
    made.store.close()?;
    say(&format!(
        "Made {} with {records} {}. Open it with: crimpbook {}",
        file.display(),
        if records == 1 { "record" } else { "records" },
        typed(file)
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// Makes an empty workbook for a vehicle.
pub fn make(file: &Path, vehicle: &str, common: &Common) -> Result<(), Report> {
    named_well(file)?;
    let mut ids = IdMaker::new(who::seed()?);
    let author = who::name(common.who.as_deref());
    let made = Store::create(file, &[creation(vehicle, &mut ids, &author)?])?;
    made.store.close()?;
    Ok(())
}

/// A workbook's name ends in `.crimpbook`, so that it is told apart in a folder.
pub fn named_well(file: &Path) -> Result<(), Report> {
    if file.extension().is_some_and(|e| e == "crimpbook") {
        return Ok(());
    }
    let better = file.with_extension("crimpbook");
    Err(Report::user(format!(
        "{}: a workbook's name ends in .crimpbook",
        file.display()
    ))
    .hint(format!("write {}", better.display())))
}

fn stem(file: &Path) -> &str {
    file.file_stem().and_then(|s| s.to_str()).unwrap_or("vehicle")
}

/// The first entry of a workbook with nothing in it but its own page.
fn creation(vehicle: &str, ids: &mut IdMaker, author: &str) -> Result<Entry, Report> {
    let about = About {
        id: ids.make(),
        vehicle: vehicle.to_owned(),
        purpose: String::new(),
        // What 12 V vehicle electrics live through while running; common practice, no source. Editable.
        supply: Supply {
            least_v: 9.0,
            nominal_v: 12.6,
            most_v: 15.5,
        },
        reference: None,
        size_table: SizeTable::default(),
        insulation_class_c: None,
        insulation: String::new(),
        colour_custom: String::new(),
        service_note: String::new(),
        service: crimpbook_workbook::model::ServiceNotes::default(),
    };
    let edit = Edit::new(
        EntryKind::Creation,
        format!("{vehicle}: workbook made"),
        vec![Change::make(about)],
    );
    Ok(Book::default().prepare(edit, who::stamp(ids, author))?)
}

fn read_document(source: &Path, ids: &mut IdMaker, author: &str) -> Result<Vec<Entry>, Report> {
    if source.is_dir() {
        return read_bundle(source, ids, author);
    }
    let (name, text) = if source == Path::new("-") {
        if io::stdin().is_terminal() {
            return Err(Report::user(
                "- reads the document from standard input, and nothing is piped in",
            ));
        }
        let mut bytes = Vec::new();
        let read = io::stdin().read_to_end(&mut bytes).map(|_| bytes);
        ("standard input".to_owned(), read)
    } else {
        (source.display().to_string(), fs::read(source))
    };
    let bytes = text.map_err(|e| input::unreadable(&name, &e, "nothing was made"))?;
    let text = String::from_utf8(bytes).map_err(|_| {
        Report::file(format!(
            "{name} is not UTF-8 text, as JSON must be; nothing was made"
        ))
    })?;
    json::read(&text)
        .map_err(|e| e.to_string())
        .and_then(|read| {
            read.into_entries(who::stamp(ids, author))
                .map_err(|e| e.to_string())
        })
        .map_err(|e| Report::file(format!("{name}: {e}; nothing was made")))
}

/// A folder of CSV that was exported as a bundle.
fn read_bundle(source: &Path, ids: &mut IdMaker, author: &str) -> Result<Vec<Entry>, Report> {
    let name = source.display();
    let unread =
        |e: io::Error| Report::file(format!("{name} cannot be read ({}); nothing was made", e.kind()));
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(source).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let file = path.file_name().and_then(|n| n.to_str());
        if let Some(file) = file.filter(|n| n.ends_with(".csv")) {
            files.insert(file.to_owned(), fs::read(&path).map_err(unread)?);
        }
    }
    bundle::read(&files)
        .map_err(|e| e.to_string())
        .and_then(|read| {
            read.into_entries(who::stamp(ids, author))
                .map_err(|e| e.to_string())
        })
        .map_err(|e| Report::file(format!("{name}: {e}; nothing was made")))
}
