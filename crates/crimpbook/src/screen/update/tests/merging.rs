//! Another laptop's copy, brought in on the Log.

use super::*;
use crate::session::{Memory, Session, WholeLog};
use chrono::TimeDelta;
use crimpbook_workbook::{
    edit::{Change, Edit, Stamp},
    log::{Entry, EntryKind, link},
};

/// A copy with its log.
#[derive(Clone, Default)]
struct Laptop {
    book: Book,
    entries: Vec<Entry>,
}

impl Laptop {
    fn put(&mut self, who: &str, edit: Edit) {
        let n = self.entries.len();
        let stamp = Stamp {
            id: Id::from_bits(u128::from(who.as_bytes()[0]) * 1000 + n as u128),
            at: crate::screen::testkit::moment() + TimeDelta::minutes(n as i64),
            who: who.to_owned(),
        };
        let entry = self.book.prepare(edit, stamp).unwrap();
        self.book.apply(&entry).unwrap();
        self.entries.push(entry);
    }

    fn wire(&self, label: &str) -> Wire {
        let id = self.book.index().labelled::<Wire>(label).unwrap();
        self.book.get(id).unwrap().clone()
    }

    fn change(&mut self, who: &str, label: &str, why: &str, alter: impl FnOnce(&mut Wire)) {
        let before = self.wire(label);
        let mut after = before.clone();
        alter(&mut after);
        let edit = Edit::design(format!("{label} changed"), vec![Change::replace(before, after)]);
        self.put(who, edit.because(why));
    }

    fn log(&self) -> WholeLog {
        let entries: Vec<_> = self.entries.iter().map(|e| (e.clone(), e.canonical())).collect();
        let head = entries
            .iter()
            .fold(Default::default(), |head, (_, body)| link(head, body));
        WholeLog { entries, head }
    }
}

/// Two laptops that both gave W44 another size and length, and one of them more; the first one's screens, the second as `other`.
pub fn diverged() -> Bench {
    let mut mine = Laptop::default();
    let mut made = Vec::new();
    small::book().tables().each(&mut |record| {
        made.push(Change {
            before: None,
            after: Some(record),
        });
    });
    mine.put("A.", Edit::new(EntryKind::Creation, "made", made));
    let mut theirs = mine.clone();
    mine.change("A.", "W44", "runs warm behind F6", |w| {
        (w.area_mm2, w.length_m) = (Some(0.75), Some(2.9));
    });
    theirs.change("B.", "W44", "what is left on the drum", |w| {
        (w.area_mm2, w.length_m) = (Some(1.0), Some(3.1));
    });
    theirs.change("B.", "W45", "", |w| w.note = "clip it to the column".to_owned());
    let heads = (1..).zip(&mine.entries).map(|(seq, e)| e.head(seq)).collect();
    let keep = Box::new(Memory::with(mine.entries));
    let session = Session::new(keep, mine.book, heads, "A.", 11, crate::screen::testkit::moment);
    let mut bench = Bench::of(session);
    bench
        .copies
        .insert("other".to_owned(), (theirs.book.clone(), theirs.log()));
    bench
}

fn wire<'b>(bench: &'b Bench, label: &str) -> &'b Wire {
    bench
        .book()
        .get(bench.book().index().labelled::<Wire>(label).unwrap())
        .unwrap()
}

#[test]
fn each_conflict_is_chosen_by_a_key_and_nothing_is_written_before_all_are() {
    let mut bench = diverged();
    bench.press("glmother<Enter>");
    let screen = bench.screen(80, 24);
    for words in [
        "0 of 2 chosen",
        "wire W44",
        "mine   0.75 (A., ",
        "theirs 1.0 (B., ",
        "runs warm behind F6",
        "what is left on the drum",
        "clip it to the column",
    ] {
        assert!(screen.contains(words), "{words}: {screen}");
    }
    // The cursor goes on to the next one that is open.
    bench.press("<Enter>");
    assert!(bench.screen(80, 24).contains("something is not chosen yet"));
    bench.press("t<Enter>");
    assert!(bench.screen(80, 24).contains("1 of 2 chosen"));
    assert_eq!(bench.session.heads().len(), 2, "nothing is written");
    bench.press("m<Enter>yes<Enter>");
    bench.shows("type the word merge");
    assert_eq!(bench.session.heads().len(), 2, "nothing is written");
    bench.press("<Back><Back><Back>merge<Enter>");
    assert!(bench.model.over.is_empty() && bench.model.merging.is_none());
    let w44 = wire(&bench, "W44");
    assert_eq!((w44.area_mm2, w44.length_m), (Some(1.0), Some(2.9)));
    assert_eq!(wire(&bench, "W45").note, "clip it to the column");
    let head = bench.session.heads().last().unwrap();
    assert_eq!(
        (head.kind, head.title.as_str()),
        (EntryKind::Merge, "merged 2 changes by B.")
    );
    assert!(
        head.why.contains("wire.W44.area_mm2: 1.0, not 0.75"),
        "{}",
        head.why
    );
    // There is nothing left to bring in.
    bench.press("mother<Enter>");
    assert!(bench.screen(80, 24).contains("nothing that this one lacks"));
}

#[test]
fn leaving_writes_nothing_and_a_choice_is_taken_back() {
    let mut bench = diverged();
    bench.press("glmother<Enter>T");
    assert!(bench.screen(80, 24).contains("2 of 2 chosen"));
    bench.press("<Up><Up>o");
    assert!(bench.screen(80, 24).contains("1 of 2 chosen"));
    bench.press("<PgDn>m");
    assert!(
        bench
            .screen(80, 24)
            .contains("nothing is to be chosen in this row")
    );
    bench.press("<Esc>");
    assert!(bench.screen(80, 24).contains("neither copy was changed"));
    assert_eq!(bench.session.heads().len(), 2);
    assert!(bench.model.over.is_empty() && bench.model.merging.is_none());
}

#[test]
fn what_somebody_else_does_meanwhile_is_laid_out_anew_with_the_choices_kept() {
    let mut bench = diverged();
    bench.press("glmother<Enter>t");
    // Another program on the same file gives W45 the same note: it no longer comes in from the other copy.
    let before = wire(&bench, "W45").clone();
    let after = Wire {
        note: "clip it to the column".to_owned(),
        ..before.clone()
    };
    bench
        .session
        .edit(Edit::design("W45 changed", vec![Change::replace(before, after)]))
        .unwrap();
    let fresh = crate::session::Fresh {
        book: bench.session.book().clone(),
        heads: bench.session.heads().to_vec(),
    };
    bench.happen_outside(crate::screen::effect::Msg::Fresh(fresh));
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("1 of 2 chosen") && screen.contains("nothing else comes in"),
        "{screen}"
    );
}

#[test]
fn a_file_that_is_no_copy_is_told_and_the_line_stays() {
    let mut bench = diverged();
    bench
        .copies
        .insert("cart".to_owned(), (small::book(), WholeLog::default()));
    bench.press("glmcart<Enter>");
    bench.shows("is no copy of this workbook");
    bench.press("<Back><Back><Back><Back>nowhere<Enter>");
    bench.shows("nowhere is not there");
    assert!(bench.model.merging.is_none());
}
