//! Words, brackets and signs of a line.

use super::SyntaxError;

/// Words that join; as a name they stand in square brackets.
pub(super) const KEYWORDS: [&str; 5] = ["and", "or", "not", "is", "never"];

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Token {
    /// A keyword.
    Key(&'static str),
    /// A name, without its square brackets.
    Name(String),
    Open,
    Close,
    /// `:=`
    Becomes,
}

/// A token, where it begins and ends in characters, and as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placed {
    pub at: usize,
    pub end: usize,
    pub token: Token,
    pub written: String,
}

/// Whether a character can stand in a name without square brackets.
pub(super) fn is_plain(c: char) -> bool {
    c.is_alphanumeric() || "_-.+/@:#%°".contains(c)
}

/// The keyword that a word is.
pub(super) fn keyword(word: &str) -> Option<&'static str> {
    KEYWORDS.into_iter().find(|key| *key == word)
}

/// Takes a line apart.
pub(super) fn tokens(text: &str) -> Result<Vec<Placed>, SyntaxError> {
    let chars: Vec<char> = text.chars().collect();
    let mut all = Vec::new();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        let begin = at;
        let token = if c.is_whitespace() {
            at += 1;
            continue;
        } else if c == '(' || c == ')' {
            at += 1;
            if c == '(' { Token::Open } else { Token::Close }
        } else if c == ':' && chars.get(at + 1) == Some(&'=') {
            at += 2;
            Token::Becomes
        } else if c == '[' {
            at += 1;
            Token::Name(bracketed(&chars, begin, &mut at)?)
        } else if is_plain(c) {
            let mut word = String::new();
            while let Some(&c) = chars.get(at) {
                if !is_plain(c) || (c == ':' && chars.get(at + 1) == Some(&'=')) {
                    break;
                }
                word.push(c);
                at += 1;
            }
            keyword(&word).map_or(Token::Name(word), Token::Key)
        } else {
            return Err(SyntaxError {
                at,
                found: c.to_string(),
                expected:
                    "a name, a bracket or one of and, or, not, is; a name with other signs stands in [ ]"
                        .to_owned(),
            });
        };
        let written = chars.get(begin..at).unwrap_or_default().iter().collect();
        all.push(Placed {
            at: begin,
            end: at,
            token,
            written,
        });
    }
    Ok(all)
}

/// The name behind `[`, up to the bracket that closes it; `]]` is one `]` of the name.
fn bracketed(chars: &[char], begin: usize, at: &mut usize) -> Result<String, SyntaxError> {
    let mut name = String::new();
    loop {
        match (chars.get(*at), chars.get(*at + 1)) {
            (Some(']'), Some(']')) => {
                name.push(']');
                *at += 2;
            }
            (Some(']'), _) => {
                *at += 1;
                break;
            }
            (Some(c), _) => {
                name.push(*c);
                *at += 1;
            }
            (None, _) => {
                return Err(SyntaxError {
                    at: chars.len(),
                    found: String::new(),
                    expected: format!("] to close the [ at character {}", begin + 1),
                });
            }
        }
    }
    if name.trim().is_empty() {
        return Err(SyntaxError {
            at: begin,
            found: "[".to_owned(),
            expected: "a name between [ and ]".to_owned(),
        });
    }
    Ok(name)
}
