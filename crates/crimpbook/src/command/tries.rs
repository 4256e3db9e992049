//! `crimpbook try`: what an edit would cost, field by field, before it is kept.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_store::Store;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check,
    edit::{Change, Edit, Stamp},
    json,
    model::{Cavity, Id, Key, Kind, Record},
    tried::{Cost, Judged},
};
use serde_json::Value;

use super::{Outcome, import::not_kept, read, say, wrapped};
use crate::{
    cli::{Common, TryArgs},
    report::Report,
    session::{File, Session},
    who,
};

/// Prints what it costs; keeps it where asked to.
pub fn run(file: &Path, args: &TryArgs, common: &Common) -> Outcome {
    let opened = read(file)?;
    let edit = edit(&opened.book, args)?;
    let before = Snapshot::of(&opened.book);
    let after = before.next(Arc::new(tried(&opened.book, edit.clone())?));
    if args.proofs {
        // Both sides, so that what comes of it can be compared.
        before.proof();
        after.proof();
    }
    let (old, new) = (
        check::run_without_mends(&before),
        check::run_without_mends(&after),
    );
    let cost = Cost::of(
        Judged {
            see: &before,
            report: &old,
        },
        Judged {
            see: &after,
            report: &new,
        },
    );
    say(&page(&edit, &cost))?;
    if args.keep {
        let opened = Store::open(file)?;
        opened.store.verify()?;
        let author = who::name(common.who.as_deref());
        let keep = Box::new(File::new(opened.store));
        let mut session = Session::new(keep, opened.book, opened.heads, author, who::seed()?, who::now);
        let why = args.why.clone().unwrap_or_default();
        let kept = session.edit(edit.because(why)).map_err(not_kept)?;
        say(&format!("kept as entry {}: {}", kept.head.seq, kept.head.title))?;
    } else {
        say("Tried only: nothing was changed. --keep keeps it, with its --why.")?;
    }
    Ok(ExitCode::SUCCESS)
}

fn page(edit: &Edit, cost: &Cost) -> String {
    let mut lines = vec![wrapped("Trying ", &edit.title)];
    for block in cost.blocks() {
        lines.push(block.heading);
        lines.extend(block.lines.iter().map(|line| wrapped("  ", line)));
    }
    let unmoved = cost.unmoved();
    if !unmoved.is_empty() {
        lines.push(wrapped("", &format!("Beside that {unmoved}.")));
    }
    lines.extend(
        cost.cautions()
            .iter()
            .map(|caution| wrapped("caution: ", caution)),
    );
    lines.push("A passed check is not an approval.".to_owned());
    lines.join("\n")
}

/// The book as it would be.
fn tried(book: &Book, edit: Edit) -> Result<Book, Report> {
    let stamp = Stamp {
        id: Id::from_bits(0),
        at: who::now(),
        who: String::new(),
    };
    // The why is asked for where it is kept.
    let entry = book
        .prepare(edit.because("tried"), stamp)
        .map_err(|refusal| Report::user(refusal.to_string()))?;
    let mut after = book.clone();
    after
        .apply(&entry)
        .map_err(|refusal| Report::user(refusal.to_string()))?;
    Ok(after)
}

fn edit(book: &Book, args: &TryArgs) -> Result<Edit, Report> {
    let mut changes: Vec<Change> = Vec::new();
    for text in &args.field {
        change(book, text, &mut changes)?;
    }
    for name in &args.remove {
        let before = record(book, name)?;
        changes.push(Change {
            before: Some(before),
            after: None,
        });
    }
    changes.retain(|change| change.before != change.after);
    if changes.is_empty() {
        return Err(Report::user("nothing to try: it is so already").hint(HINT));
    }
    let mut titles: Vec<String> = args.field.clone();
    titles.extend(args.remove.iter().map(|name| format!("{name} removed")));
    Ok(Edit::design(titles.join(", "), changes))
}

const HINT: &str = "name a field and its new value, or what goes: wire.W44.area_mm2=1.5, fuse.F4.rating_a=5, --remove wire.W44; \
                    `crimpbook schema` tells the fields";

/// Adds `wire.W44.area_mm2=1.5`; several fields of one record are one change.
fn change(book: &Book, text: &str, changes: &mut Vec<Change>) -> Result<(), Report> {
    let wrong = || Report::user(format!("\"{text}\" is no field with a value")).hint(HINT);
    let (path, value) = text.split_once('=').ok_or_else(wrong)?;
    let (name, field) = path.trim().rsplit_once('.').ok_or_else(wrong)?;
    let before = record(book, name)?;
    let key = before.key();
    let at = changes.iter().position(|c| c.key() == Some(key));
    let now = at
        .and_then(|at| changes.get(at)?.after.clone())
        .unwrap_or_else(|| before.clone());
    let internal = |e: serde_json::Error| Report::user(format!("{text}: {e}"));
    let mut json = serde_json::to_value(&now).map_err(internal)?;
    let fields = json.as_object_mut().and_then(|kinds| kinds.values_mut().next());
    let Some(slot) = fields.and_then(|fields| fields.get_mut(field)) else {
        return Err(Report::user(format!("{name} has no field {field}")).hint(HINT));
    };
    let value = value.trim();
    *slot = match serde_json::from_str::<Value>(value) {
        // A text that looks like a figure stays a text.
        Ok(_) if slot.is_string() => Value::String(value.trim_matches('"').to_owned()),
        Ok(value) => value,
        Err(_) => Value::String(value.to_owned()),
    };
    let after: Record = json::read_value(&json)
        .map_err(|e| Report::user(format!("{path} cannot be \"{value}\": {e}")).hint(HINT))?;
    if after.key() != key {
        return Err(Report::user("an id is never changed"));
    }
    match at.and_then(|at| changes.get_mut(at)) {
        Some(change) => change.after = Some(after),
        None => changes.push(Change {
            before: Some(before),
            after: Some(after),
        }),
    }
    Ok(())
}

/// The record called so: its kind's word, a point, its label (`wire.W44`, `cavity.MC-A14`).
fn record(book: &Book, name: &str) -> Result<Record, Report> {
    let missing = || Report::user(format!("there is nothing called \"{name}\"")).hint(HINT);
    let (word, label) = name.split_once('.').ok_or_else(missing)?;
    let named = |kind: &&Kind| {
        let word = word.to_lowercase();
        kind.name() == word || kind.title() == word || kind.name().trim_end_matches('s') == word
    };
    let kind = Kind::ALL
        .iter()
        .find(named)
        .ok_or_else(|| Report::user(format!("there is no kind of record called \"{word}\"")).hint(HINT))?;
    let key = match kind {
        Kind::Cavity => book.find_cavity(label).map(Key::of::<Cavity>),
        kind => book.index().key_labelled(*kind, label),
    };
    key.and_then(|key| book.tables().get(key)).ok_or_else(missing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::testkit::small;

    fn args(field: &[&str], remove: &[&str]) -> TryArgs {
        let owned = |of: &[&str]| of.iter().map(|s| (*s).to_owned()).collect();
        TryArgs {
            field: owned(field),
            remove: owned(remove),
            keep: false,
            why: None,
            proofs: false,
        }
    }

    #[test]
    fn fields_of_one_record_are_one_change_and_what_is_wrong_says_so() {
        let book = small::book();
        let made = edit(&book, &args(&["wire.w44.area_mm2=1.5", "wire.W44.signal=7"], &[])).unwrap();
        let [change] = &made.changes[..] else {
            panic!("{made:?}")
        };
        let Some(Record::Wire(wire)) = &change.after else {
            panic!("{change:?}")
        };
        assert_eq!((wire.area_mm2, wire.signal.as_str()), (Some(1.5), "7"));
        let said = |field: &str| edit(&book, &args(&[field], &[])).unwrap_err().to_string();
        assert!(said("wire.W44.area_mm2").contains("no field with a value"));
        assert!(said("wire.W44.girth=1").contains("has no field girth"));
        assert!(said("wyre.W44.area_mm2=1").contains("no kind of record"));
        assert!(said("wire.W999.area_mm2=1").contains("nothing called"));
        assert!(said("wire.W44.area_mm2=thick").contains("cannot be \"thick\""));
    }
}
