//! The words of a line, each with its place.

use super::FaceError;

/// Longest line that is read, in characters.
const LONGEST: usize = 6000;
/// Longest own number of a cavity.
const LONGEST_NUMBER: usize = 12;

/// A word or a comma.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Word {
    /// Character, from 1.
    at: usize,
    text: String,
}

/// Reads words one after the other.
#[derive(Debug)]
pub(super) struct Words {
    words: Vec<Word>,
    next: usize,
    end: usize,
}

impl Words {
    pub fn of(line: &str) -> Result<Self, FaceError> {
        let mut words: Vec<Word> = Vec::new();
        let mut open = false;
        let mut end = 1;
        for (place, c) in line.chars().enumerate() {
            let at = place + 1;
            end = at + 1;
            if at > LONGEST {
                return Err(FaceError {
                    at,
                    problem: format!("the line is longer than {LONGEST} characters"),
                });
            }
            if c == ',' || c == ';' {
                words.push(Word {
                    at,
                    text: ",".to_owned(),
                });
                open = false;
            } else if c.is_whitespace() {
                open = false;
            } else if let (true, Some(last)) = (open, words.last_mut()) {
                last.text.push(c);
            } else {
                words.push(Word {
                    at,
                    text: c.to_string(),
                });
                open = true;
            }
        }
        Ok(Self { words, next: 0, end })
    }

    /// The character at which the next word starts.
    pub fn at(&self) -> usize {
        self.words.get(self.next).map_or(self.end, |w| w.at)
    }

    fn peek(&self) -> Option<&str> {
        self.words.get(self.next).map(|w| w.text.as_str())
    }

    pub fn is_done(&self) -> bool {
        self.next >= self.words.len()
    }

    /// Takes the next word if it is this one, whatever its case.
    pub fn take(&mut self, word: &str) -> bool {
        let found = self.peek().is_some_and(|w| w.eq_ignore_ascii_case(word));
        self.next += usize::from(found);
        found
    }

    /// The place in `choices` of the next word; takes it.
    pub fn choose(&mut self, choices: &[&str]) -> Result<usize, FaceError> {
        match choices.iter().position(|c| self.take(c)) {
            Some(place) => Ok(place),
            None => Err(self.expected(&listed(choices))),
        }
    }

    /// A whole number from 1 to `most`, if the next word is digits.
    pub fn count(&mut self, what: &str, most: usize) -> Result<Option<usize>, FaceError> {
        let Some(digits) = self.peek().filter(|w| w.bytes().all(|b| b.is_ascii_digit())) else {
            return Ok(None);
        };
        match digits.parse::<usize>() {
            Ok(count) if (1..=most).contains(&count) => {
                self.next += 1;
                Ok(Some(count))
            }
            _ => Err(self.wrong(format!("{what} must be from 1 to {most}"))),
        }
    }

    /// One or more counts.
    pub fn counts(&mut self, what: &str, most: usize) -> Result<Vec<usize>, FaceError> {
        let mut counts = Vec::new();
        while let Some(count) = self.count(what, most)? {
            counts.push(count);
        }
        if counts.is_empty() {
            return Err(self.expected(&format!("{what} (a number)")));
        }
        Ok(counts)
    }

    /// A number of a cavity as moulded (`16`, `1A`).
    pub fn number(&mut self) -> Result<String, FaceError> {
        let fits = |w: &&str| {
            w.chars().count() <= LONGEST_NUMBER
                && w.chars().all(|c| c.is_alphanumeric() || "+-./_".contains(c))
        };
        match self.peek().filter(fits).map(str::to_owned) {
            Some(number) => {
                self.next += 1;
                Ok(number)
            }
            None => Err(self.expected(&format!(
                "a cavity's number, at most {LONGEST_NUMBER} letters and digits"
            ))),
        }
    }

    /// Numbers up to the next comma or the end.
    pub fn numbers(&mut self) -> Result<Vec<String>, FaceError> {
        let mut numbers = vec![self.number()?];
        while self.peek().is_some_and(|w| w != ",") {
            numbers.push(self.number()?);
        }
        Ok(numbers)
    }

    /// An error at the next word: what is there, and what was expected.
    pub fn expected(&self, what: &str) -> FaceError {
        let found = match self.peek() {
            None => "the line ends".to_owned(),
            Some(word) => format!("found `{}`", word.chars().take(20).collect::<String>()),
        };
        self.wrong(format!("{found}; expected {what}"))
    }

    /// An error at the next word.
    pub fn wrong(&self, problem: String) -> FaceError {
        FaceError {
            at: self.at(),
            problem,
        }
    }
}

fn listed(choices: &[&str]) -> String {
    let quoted: Vec<String> = choices.iter().map(|c| format!("`{c}`")).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}
