//! `crimpbook merge`: brings another copy's changes in.

use std::{path::Path, process::ExitCode};

use crimpbook_store::Store;
use crimpbook_workbook::{
    Book,
    edit::Edit,
    merge::{Choices, Conflict, Keeps, Outcome as Comes, merge},
};

use super::{Outcome, read, say, wrapped};
use crate::{
    cli::Common,
    report::Report,
    screen::text::count,
    session::{File, Session, read_copy, whole_log},
    who,
};

/// Merges, or lists what waits for a choice.
pub fn run(
    file: &Path,
    other: &Path,
    chosen: &[(Keeps, &Vec<String>)],
    dry_run: bool,
    common: &Common,
) -> Outcome {
    let choices = choices(chosen)?;
    let (their_book, their_log) = read_copy(other)?;
    let mine = if dry_run { read(file)? } else { Store::open(file)? };
    let my_log = whole_log(&mine.store)?;
    let (ours, theirs) = (my_log.side(&mine.book), their_log.side(&their_book));
    match merge(&ours, &theirs, &choices)? {
        Comes::Nothing => {
            say(&format!(
                "{} has no change that {} lacks",
                other.display(),
                file.display()
            ))?;
            Ok(ExitCode::SUCCESS)
        }
        Comes::Undecided(conflicts) => {
            say(&list(&conflicts, file, other))?;
            Ok(ExitCode::from(1))
        }
        Comes::Ready(edit) => {
            let told = told(&edit, &mine.book);
            if dry_run {
                mine.book
                    .prepare(
                        *edit,
                        crimpbook_workbook::edit::Stamp {
                            id: crimpbook_workbook::model::Id::from_bits(who::seed()?),
                            at: who::now(),
                            who: who::name(common.who.as_deref()),
                        },
                    )
                    .map_err(together)?;
                say(&format!("{told}\nNothing was written (--dry-run)."))?;
                return Ok(ExitCode::SUCCESS);
            }
            let mut session = Session::new(
                Box::new(File::new(mine.store)),
                mine.book,
                mine.heads,
                who::name(common.who.as_deref()),
                who::seed()?,
                who::now,
            );
            session.edit(*edit).map_err(|trouble| match trouble {
                crate::session::Trouble::Refused(refusal) => together(refusal),
                crate::session::Trouble::File(sentence) => Report::file(sentence),
            })?;
            say(&told)?;
            Ok(ExitCode::SUCCESS)
        }
    }
}

/// Each of the two holds; what the door refuses is what they come to together.
fn together(refusal: crimpbook_workbook::edit::Refusal) -> Report {
    Report::user(format!("together the two do not hold: {refusal}"))
        .hint("change it in one of the two, then merge again; nothing was written")
}

fn choices(chosen: &[(Keeps, &Vec<String>)]) -> Result<Choices, Report> {
    let mut choices = Choices::new();
    for (keeps, names) in chosen {
        for name in *names {
            let before = choices.insert(name.clone(), *keeps);
            if before.is_some_and(|before| before != *keeps) {
                return Err(Report::user(format!(
                    "{name} stands behind --mine and behind --theirs; choose one"
                )));
            }
        }
    }
    Ok(choices)
}

fn list(conflicts: &[Conflict], file: &Path, other: &Path) -> String {
    let mut page = vec![format!(
        "{} changed in both copies wait for a choice; nothing was written.",
        count(conflicts.len(), "thing that was", "things that were")
    )];
    for conflict in conflicts {
        page.push(wrapped(&format!("{}  ", conflict.name), &conflict.what));
        for (word, value, by) in [
            ("mine", &conflict.mine, &conflict.mine_by),
            ("theirs", &conflict.theirs, &conflict.theirs_by),
        ] {
            let by = if by.is_empty() {
                String::new()
            } else {
                format!(" ({by})")
            };
            page.push(wrapped(&format!("    {word:<8}"), &format!("{value}{by}")));
        }
    }
    let first = conflicts.first().map_or("all", |c| c.name.as_str());
    page.push(format!(
        "Choose with --mine NAME or --theirs NAME, or all for the rest; or on the screen, one by one:\n  crimpbook merge {0} {1} --mine {first} --theirs all\n  crimpbook merge {0} {1} --screen",
        super::typed(file),
        super::typed(other)
    ));
    page.join("\n")
}

fn told(edit: &Edit, before: &Book) -> String {
    let entries = edit.merged.as_ref().map_or(0, |merged| merged.entries.len());
    let mut page = vec![format!(
        "{}: {} brought in, {} here",
        edit.title,
        count(entries, "entry of the log is", "entries of the log are"),
        count(edit.changes.len(), "record changes", "records change")
    )];
    for change in &edit.changes {
        let Some(key) = change.key() else { continue };
        let label = change.after.as_ref().map_or("", |record| record.label());
        let name = match (&change.before, label.is_empty()) {
            (None, false) => format!("{} {label}", key.kind.title()),
            _ => before.name_of(key),
        };
        let what = match (&change.before, &change.after) {
            (None, _) => "comes in",
            (_, None) => "goes",
            _ => "changes",
        };
        // Ticks are counted, not named.
        if key.kind != crimpbook_workbook::model::Kind::StepDone {
            page.push(format!("  {name} {what}"));
        }
    }
    if !edit.why.is_empty() {
        page.push(wrapped("  chosen: ", &edit.why));
    }
    page.join("\n")
}
