//! Whatever happens to a file, it is read or refused, never more.

use proptest::prelude::*;

use crate::{
    json::{ReadError, read, write},
    sample,
};

/// Pieces of text that tend to matter.
const PIECES: &[&str] = &[
    "", "{", "}", "[", "]", ",", ":", "\"", "null", "-1", "1e400", "\\u0000", "é", "\u{feff}", "{}",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_mangled_document_is_read_or_refused_with_its_place(
        at in 0.0..1.0f64, length in 0usize..40, piece in 0..PIECES.len(),
    ) {
        let (book, entries) = sample::logged();
        let chars: Vec<char> = write(&book, &entries).chars().collect();
        let from = (chars.len() as f64 * at) as usize;
        let to = (from + length).min(chars.len());
        let mangled: String = chars[..from].iter().copied().chain(PIECES[piece].chars()).chain(chars[to..].iter().copied()).collect();
        match read(&mangled) {
            // What reads well is still held against its log.
            Ok(interchange) => drop(interchange.into_entries(sample::stamp(50))),
            Err(ReadError::Misfit { line, problem, .. }) => {
                prop_assert!(line >= 1 && line <= mangled.lines().count() + 1);
                prop_assert!(!problem.is_empty());
            }
            Err(ReadError::Foreign | ReadError::Newer { .. }) => {}
        }
    }

    #[test]
    fn any_text_is_refused(text in any::<String>()) {
        prop_assert!(read(&text).is_err());
    }
}
