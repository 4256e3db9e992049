use proptest::prelude::*;

use crate::{
    edit::{find_redo, find_undo},
    log::{EntryHead, EntryKind},
    model::Id,
};

fn head(seq: u64, who: &str, kind: EntryKind, of: Option<u64>) -> EntryHead {
    EntryHead {
        seq,
        id: Id::from_bits(seq.into()),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).unwrap(),
        who: who.to_owned(),
        kind,
        title: format!("entry {seq}"),
        why: String::new(),
        of: of.map(|of| Id::from_bits(of.into())),
        revision: None,
    }
}

/// A log of one-letter acts: `e` an edit, `u` undo, `r` redo, in upper case those of another person; `R` is a release, `m` a merge.
struct Log {
    heads: Vec<EntryHead>,
}

impl Log {
    fn of(acts: &str) -> Self {
        let mut log = Self {
            heads: vec![head(1, "A.", EntryKind::Creation, None)],
        };
        acts.chars().for_each(|act| {
            log.act(act);
        });
        log
    }

    /// Does it; false where it was refused.
    fn act(&mut self, act: char) -> bool {
        let seq = self.heads.len() as u64 + 1;
        let next = match act {
            'e' => head(seq, "A.", EntryKind::Design, None),
            't' => head(seq, "A.", EntryKind::Progress, None),
            'E' => head(seq, "B.", EntryKind::Design, None),
            'R' => head(seq, "B.", EntryKind::Release, None),
            'm' => head(seq, "A.", EntryKind::Merge, None),
            'u' | 'U' => {
                let who = if act == 'u' { "A." } else { "B." };
                match find_undo(&self.heads, who) {
                    Ok(undo) => head(seq, who, EntryKind::Undo, Some(undo.seq)),
                    Err(_) => return false,
                }
            }
            _ => match find_redo(&self.heads, "A.") {
                Ok(redo) => head(seq, "A.", EntryKind::Redo, Some(redo.seq)),
                Err(_) => return false,
            },
        };
        self.heads.push(next);
        true
    }

    fn undo(&self) -> Result<u64, String> {
        find_undo(&self.heads, "A.")
            .map(|u| u.seq)
            .map_err(|r| r.to_string())
    }

    fn redo(&self) -> Result<u64, String> {
        find_redo(&self.heads, "A.")
            .map(|u| u.seq)
            .map_err(|r| r.to_string())
    }
}

#[test]
fn undo_goes_back_over_ones_own_and_redo_forward_again() {
    assert_eq!(Log::of("").undo(), Err("nothing of yours to undo".to_owned()));
    assert_eq!(Log::of("ee").undo(), Ok(3));
    assert_eq!(Log::of("eeu").undo(), Ok(2));
    assert_eq!(Log::of("eeuu").undo(), Err("nothing of yours to undo".to_owned()));
    assert_eq!(Log::of("etEE").undo(), Ok(3), "what others did is theirs");
    assert_eq!(Log::of("eEU").undo(), Ok(2));
    assert_eq!(Log::of("ee").redo(), Err("nothing to redo".to_owned()));
    assert_eq!(Log::of("eeuu").redo(), Ok(5));
    assert_eq!(Log::of("eeuur").redo(), Ok(4));
    assert_eq!(Log::of("eeuurr").redo(), Err("nothing to redo".to_owned()));
    assert_eq!(
        Log::of("eeuEE").redo(),
        Ok(4),
        "what others did since is no matter"
    );
    assert_eq!(Log::of("eeue").redo(), Err("nothing to redo".to_owned()));
    assert_eq!(Log::of("eeue").undo(), Ok(5));
    // A redo stands for the entry it did again.
    assert_eq!(Log::of("eeur").undo(), Ok(5));
    assert_eq!(Log::of("eeuru").undo(), Ok(2));
    assert_eq!(Log::of("eeuru").redo(), Ok(6));
}

#[test]
fn neither_crosses_a_release_or_a_merge() {
    assert_eq!(
        Log::of("eR").undo(),
        Err("cannot undo past \"entry 3\"".to_owned())
    );
    assert_eq!(
        Log::of("em").undo(),
        Err("cannot undo past \"entry 3\"".to_owned())
    );
    assert_eq!(
        Log::of("euR").redo(),
        Err("cannot redo past \"entry 4\"".to_owned())
    );
    assert_eq!(Log::of("eRe").undo(), Ok(4));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Held against two stacks.
    #[test]
    fn the_log_answers_as_two_stacks_would(acts in "[etEurRm]{0,24}") {
        let mut log = Log::of("");
        // Each is the seq of the entry that undo (or redo) would name.
        let (mut done, mut undone): (Vec<u64>, Vec<u64>) = (Vec::new(), Vec::new());
        for act in acts.chars() {
            let accepted = log.act(act);
            let seq = log.heads.len() as u64;
            match act {
                'e' | 't' => {
                    done.push(seq);
                    undone.clear();
                }
                'u' => {
                    prop_assert_eq!(accepted, done.pop().is_some());
                    if accepted { undone.push(seq) }
                }
                'r' => {
                    prop_assert_eq!(accepted, undone.pop().is_some());
                    if accepted { done.push(seq) }
                }
                'R' | 'm' => {
                    done.clear();
                    undone.clear();
                }
                _ => {}
            }
            prop_assert_eq!(log.undo().ok(), done.last().copied());
            prop_assert_eq!(log.redo().ok(), undone.last().copied());
        }
    }
}
