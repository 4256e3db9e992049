//! `crimpbook export`: the whole workbook as JSON, its tables as CSV, or one state as a netlist.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_record::{bundle, csv, files::write_all, json, netlist};
use crimpbook_store::Opened;
use crimpbook_workbook::{analysis::Snapshot, check, log::Entry};

use super::{Outcome, read, say, volts};
use crate::{cli::ExportForm, report::Report};

/// Writes the export.
pub fn run(
    file: &Path,
    form: &ExportForm,
    state: Option<(&str, Option<&str>)>,
    out: Option<&Path>,
) -> Outcome {
    let opened = read(file)?;
    if form.json {
        one_file(file, &document(&opened)?, out)?;
    } else if form.netlist {
        let see = Snapshot::of(&opened.book);
        let (name, fault) = state.unwrap_or_default();
        let of = volts::state_named(&see, name)?;
        let supposed = fault.map(|fault| volts::supposed(&see, of, fault)).transpose()?;
        let of = supposed.as_ref().map_or(of, |supposed| &supposed.first.result);
        let hint = "crimpbook check names what is missing";
        let mut deck = netlist::write(&see, of).map_err(|why| Report::user(why).hint(hint))?;
        if let (Some(supposed), Some(end)) = (&supposed, deck.find('\n')) {
            // A deck's first line is its title.
            let happens = supposed.happens(&see);
            deck.insert_str(
                end + 1,
                &format!("* In the moment this fault happens: {happens}\n"),
            );
        }
        one_file(file, &deck, out)?;
    } else if form.bundle {
        let Some(folder) = out else {
            return Err(Report::user(
                "a bundle is one file a kind of record: name the folder to write them into",
            )
            .hint("add: -o DIR"));
        };
        let files = bundle::write(&opened.book, &entries(&opened)?);
        write_all(folder, &files)?;
        say(&format!("Wrote {} files into {}", files.len(), folder.display()))?;
    } else {
        let Some(folder) = out else {
            return Err(
                Report::user("CSV is one file a table: name the folder to write them into")
                    .hint("add: -o DIR"),
            );
        };
        let heads = super::heads(&opened)?;
        let snapshot = Snapshot::new(Arc::new(opened.book));
        let tables = csv::tables(&snapshot, &heads, &check::run_proven(&snapshot));
        write_all(folder, &tables)?;
        say(&format!(
            "Wrote {} tables into {}",
            tables.len(),
            folder.display()
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// An export never takes the place of a workbook, least of all of the one it comes from.
fn not_over_a_workbook(file: &Path, out: &Path) -> Result<(), Report> {
    let named = out.extension().is_some_and(|e| e == "crimpbook");
    let same = matches!((file.canonicalize(), out.canonicalize()), (Ok(a), Ok(b)) if a == b);
    if !named && !same {
        return Ok(());
    }
    Err(Report::user(format!(
        "{} is the name of a workbook; nothing was written",
        out.display()
    ))
    .hint(format!(
        "name the JSON, as in -o {}",
        out.with_extension("json").display()
    )))
}

/// Writes one file, or prints it.
pub(super) fn one_file(workbook: &Path, text: &str, out: Option<&Path>) -> Result<(), Report> {
    let Some(path) = out else {
        return say(text.trim_end());
    };
    not_over_a_workbook(workbook, path)?;
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let name = name.ok_or_else(|| Report::user(format!("{} names no file to write", path.display())))?;
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    write_all(folder, &[(name, text.as_bytes().to_vec())])?;
    say(&format!("Wrote {}", path.display()))
}

fn document(opened: &Opened) -> Result<String, Report> {
    Ok(json::write(&opened.book, &entries(opened)?))
}

fn entries(opened: &Opened) -> Result<Vec<Entry>, Report> {
    let seqs = opened.heads.iter().map(|head| head.seq);
    Ok(seqs
        .map(|seq| opened.store.entry(seq))
        .collect::<Result<Vec<Entry>, _>>()?)
}
