//! Any keys in any order: nothing panics, nothing is shown that is not kept, and undo leads back.

use proptest::prelude::*;

use crate::screen::{
    keys::Key,
    testkit::{Bench, small},
};

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
