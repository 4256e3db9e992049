//! What can come next while one types.

use super::Expr;
use super::token::{KEYWORDS, Token, tokens};

/// A name that can be typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// The name.
    pub name: String,
    /// Positions it can be compared with; none: it stands by itself.
    pub positions: Vec<String>,
}

/// One way to go on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Completion {
    /// Characters of the text that stay.
    pub keep: usize,
    /// What then follows, as it is to be typed.
    pub text: String,
}

/// Ways to go on behind `text`, those that begin as its last word does.
#[must_use]
pub fn complete(text: &str, known: &[Known]) -> Vec<Completion> {
    let (before, begun) = split(text);
    let keep = before.chars().count();
    let Ok(tokens) = tokens(&before) else {
        return Vec::new();
    };
    let last = tokens.last().map(|p| &p.token);
    let beyond = tokens
        .len()
        .checked_sub(2)
        .and_then(|at| tokens.get(at))
        .map(|p| &p.token);
    let named = |name: &str| known.iter().find(|k| k.name.eq_ignore_ascii_case(name));
    let written = |name: &String| Expr::Name(name.clone()).to_string();
    let ways: Vec<String> = match (last, beyond) {
        (Some(Token::Key("is")), Some(Token::Name(name))) => named(name)
            .into_iter()
            .flat_map(|k| k.positions.iter().map(written))
            .collect(),
        (Some(Token::Key("is")), _) => Vec::new(),
        (Some(Token::Name(name)), beyond) => {
            let is =
                named(name).is_some_and(|k| !k.positions.is_empty()) && beyond != Some(&Token::Key("is"));
            let joins = if is { vec!["is"] } else { vec!["and", "or"] };
            joins.into_iter().map(str::to_owned).collect()
        }
        (Some(Token::Close), _) => vec!["and".to_owned(), "or".to_owned()],
        _ => {
            let words = KEYWORDS
                .iter()
                .filter(|key| **key == "not" || (**key == "never" && last.is_none()));
            known
                .iter()
                .map(|k| written(&k.name))
                .chain(words.map(|key| (*key).to_owned()))
                .collect()
        }
    };
    let begun = begun.trim_start_matches('[').to_lowercase();
    ways.into_iter()
        .filter(|way| way.trim_start_matches('[').to_lowercase().starts_with(&begun))
        .map(|text| Completion { keep, text })
        .collect()
}

/// The text before the word that is being typed, and that word.
fn split(text: &str) -> (String, String) {
    let chars: Vec<char> = text.chars().collect();
    // Inside square brackets blanks belong to the name.
    let mut open = None;
    for (at, c) in chars.iter().enumerate() {
        match c {
            '[' if open.is_none() => open = Some(at),
            ']' => open = None,
            _ => {}
        }
    }
    let starts = |c: &char| c.is_whitespace() || "()]=".contains(*c);
    let begin = open.unwrap_or_else(|| chars.iter().rposition(starts).map_or(0, |at| at + 1));
    let (before, begun) = chars.split_at(begin.min(chars.len()));
    (before.iter().collect(), begun.iter().collect())
}
