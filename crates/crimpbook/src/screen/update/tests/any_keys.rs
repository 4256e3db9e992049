//! Any keys in any order: nothing panics, nothing is shown that is not kept, and undo leads back.

use proptest::prelude::*;

use crate::{
    screen::{
        keys::{Input, Key},
        testkit::{Bench, moment, small},
    },
    session::{File, Session},
};
use crimpbook_store::Store;

/// A key, letters that do something more often than others.
fn key() -> impl Strategy<Value = Key> {
    prop_oneof![
        6 => proptest::sample::select("abcdefghijklmnoprstuvwxyzADERU.[]/? ".chars().collect::<Vec<_>>())
            .prop_map(Key::Char),
        2 => proptest::sample::select("0145WMC-, ".chars().collect::<Vec<_>>()).prop_map(Key::Char),
        3 => proptest::sample::select(vec![Key::Enter, Key::Esc, Key::PageDown, Key::PageUp]),
        4 => proptest::sample::select(vec![
            Key::Up, Key::Down, Key::Left, Key::Right, Key::Tab, Key::BackTab, Key::Home, Key::End,
            Key::Backspace, Key::Delete,
        ]),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn any_keys_leave_a_book_that_is_kept(keys in proptest::collection::vec(key(), 1..60)) {
        let mut bench = Bench::over(small::book());
        for key in keys {
            bench.strike(key);
            prop_assert_eq!(bench.model.book.as_ref(), bench.book(), "what is shown is what is kept");
            prop_assert_eq!(bench.model.heads.len(), bench.session.heads().len());
        }
        bench.buffer(80, 24);
        bench.buffer(60, 18);
    }

    #[test]
    fn undoing_everything_leads_back(keys in proptest::collection::vec(key(), 1..40)) {
        let mut bench = Bench::over(small::book());
        for key in keys {
            bench.strike(key);
        }
        if bench.book().revision().is_none() {
            while bench.session.undo().is_ok() {}
            prop_assert_eq!(bench.book(), &small::book());
        }
    }
}

/// What happens at a terminal: mostly keys, now and then a paste, another size, the shell for a while.
fn input() -> impl Strategy<Value = Input> {
    prop_oneof![
        30 => key().prop_map(Input::Key),
        1 => Just(Input::Resize),
        1 => Just(Input::Suspend),
        1 => proptest::sample::select(vec![
            "Pin\tFunction\n1\tKEY\n2\tPUMP\n",
            "MC-A3",
            "0.5 mm²\u{7}\r\n",
            "漢字 e\u{301} 👩‍🔧",
            "\u{1b}[2J\0",
        ])
        .prop_map(|text| Input::Paste(text.to_owned())),
    ]
}

/// The small book in a file, as the program opens it.
fn in_a_file(path: &std::path::Path) -> Bench {
    let stamp = crimpbook_workbook::edit::Stamp {
        id: crimpbook_workbook::model::Id::from_bits(5),
        at: moment(),
        who: "Ann".to_owned(),
    };
    let json = crimpbook_record::json::write(&small::book(), &[]);
    let entries = crimpbook_record::json::read(&json).unwrap().into_entries(stamp);
    let opened = Store::create(path, &entries.unwrap()).unwrap();
    Bench::of(Session::new(
        Box::new(File::new(opened.store)),
        opened.book,
        opened.heads,
        "Ann",
        11,
        moment,
    ))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]

    /// The real loop over a real file: whatever was shown as kept is in the file that is opened afterwards, and nothing grows
    /// without end.
    #[test]
    fn whatever_happens_at_the_terminal_is_in_the_file(
        bursts in proptest::collection::vec(proptest::collection::vec(input(), 1..40), 1..6),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("van.crimpbook");
        let mut bench = in_a_file(&path);
        for burst in bursts {
            bench.happen(burst);
            let (back, ahead) = bench.model.trail.kept();
            prop_assert!(back <= 100 && ahead <= 100);
            prop_assert!(bench.model.over.len() <= 5, "{:?}", bench.model.over.len());
            prop_assert!(bench.model.note.as_ref().is_none_or(|note| note.words.len() < 4000));
        }
        let (book, heads) = (bench.model.book.clone(), bench.model.heads.len());
        drop(bench);
        let opened = Store::open(&path).unwrap();
        prop_assert_eq!(opened.heads.len(), heads, "every entry that was shown");
        prop_assert_eq!(&opened.book, book.as_ref());
        opened.store.verify().unwrap();
    }
}
