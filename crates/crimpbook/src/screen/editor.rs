//! One line of text being typed: what stands before the cursor and what stands after it.

use unicode_segmentation::UnicodeSegmentation;

/// A line with a cursor.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Editor {
    before: String,
    after: String,
    /// What is typed next takes the place of the whole.
    picked: bool,
}

impl Editor {
    /// A line that holds `text`, cursor at its end.
    pub fn with(text: impl Into<String>) -> Self {
        Self {
            before: text.into(),
            after: String::new(),
            picked: false,
        }
    }

    /// A line that holds `text`, all of it picked: what is typed next takes its place, a move of the cursor keeps it.
    pub fn picked(text: impl Into<String>) -> Self {
        let mut line = Self::with(text);
        line.picked = !line.is_empty();
        line
    }

    /// Puts the cursor behind so many characters.
    pub fn go(&mut self, characters: usize) {
        let text = self.text();
        let at = text
            .char_indices()
            .nth(characters)
            .map_or(text.len(), |(at, _)| at);
        let (before, after) = text.split_at(at);
        (self.before, self.after) = (before.to_owned(), after.to_owned());
        self.picked = false;
    }

    /// Whether what is typed next takes the place of the whole.
    pub fn is_picked(&self) -> bool {
        self.picked
    }

    /// The whole text.
    pub fn text(&self) -> String {
        format!("{}{}", self.before, self.after)
    }

    /// The text before the cursor.
    pub fn before(&self) -> &str {
        &self.before
    }

    /// Whether nothing is typed.
    pub fn is_empty(&self) -> bool {
        self.before.is_empty() && self.after.is_empty()
    }

    /// Types `text` at the cursor.
    pub fn insert(&mut self, text: &str) {
        self.drop_picked();
        self.before.push_str(text);
    }

    /// Takes the grapheme before the cursor.
    pub fn backspace(&mut self) {
        if !self.drop_picked() {
            self.pop_before();
        }
    }

    /// Takes the grapheme after the cursor.
    pub fn delete(&mut self) {
        if !self.drop_picked() {
            self.pop_after();
        }
    }

    /// Takes all before the cursor.
    pub fn erase_line(&mut self) {
        if !self.drop_picked() {
            self.before.clear();
        }
    }

    /// Takes the word before the cursor, with the spaces behind it.
    pub fn erase_word(&mut self) {
        if !self.drop_picked() {
            let kept = self.before.trim_end();
            let word = kept.trim_end_matches(|c: char| !c.is_whitespace()).len();
            self.before.truncate(word);
        }
    }

    /// Takes all behind the cursor.
    pub fn erase_rest(&mut self) {
        if !self.drop_picked() {
            self.after.clear();
        }
    }

    /// One grapheme to the left.
    pub fn left(&mut self) {
        self.picked = false;
        let grapheme = self.pop_before();
        self.after.insert_str(0, &grapheme);
    }

    /// One grapheme to the right.
    pub fn right(&mut self) {
        self.picked = false;
        let grapheme = self.pop_after();
        self.before.push_str(&grapheme);
    }

    /// To the start.
    pub fn home(&mut self) {
        self.picked = false;
        self.after = self.text();
        self.before.clear();
    }

    /// To the end.
    pub fn end(&mut self) {
        self.picked = false;
        self.before = self.text();
        self.after.clear();
    }

    /// Empties a line that is picked; true where it was.
    fn drop_picked(&mut self) -> bool {
        let picked = self.picked;
        if picked {
            *self = Self::default();
        }
        picked
    }

    fn pop_before(&mut self) -> String {
        let last = self.before.graphemes(true).next_back().unwrap_or("").to_owned();
        self.before.truncate(self.before.len() - last.len());
        last
    }

    fn pop_after(&mut self) -> String {
        let first = self.after.graphemes(true).next().unwrap_or("").to_owned();
        self.after.drain(..first.len());
        first
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moves_and_edits_by_graphemes() {
        let mut line = Editor::with("ne\u{301}0.5²");
        line.left();
        line.backspace();
        assert_eq!(line.text(), "ne\u{301}0.²");
        line.home();
        line.right();
        line.delete();
        assert_eq!((line.text().as_str(), line.before()), ("n0.²", "n"));
        line.delete();
        line.end();
        line.insert("x");
        assert_eq!(line.text(), "n.²x");
        line.left();
        line.end();
        for _ in 0..9 {
            line.backspace();
        }
        assert!(line.is_empty());
    }

    #[test]
    fn words_and_ends_of_a_line_are_taken_at_once() {
        let mut line = Editor::with("brake lamps\u{a0}off ");
        line.erase_word();
        assert_eq!(line.text(), "brake lamps\u{a0}");
        line.erase_word();
        assert_eq!(line.text(), "brake ");
        line.left();
        line.left();
        line.erase_rest();
        assert_eq!(line.text(), "brak");
        line.left();
        line.erase_line();
        assert_eq!(line.text(), "k");
        let mut line = Editor::picked("0.35");
        line.erase_word();
        assert!(line.is_empty());
    }

    #[test]
    fn what_is_picked_is_typed_over_or_kept_by_a_move() {
        let mut line = Editor::picked("0.35 mm²");
        line.insert("0");
        line.insert(".5");
        assert_eq!(line.text(), "0.5");
        let mut line = Editor::picked("0.35");
        line.backspace();
        assert!(line.is_empty() && !Editor::picked("").is_picked());
        let mut line = Editor::picked("seat");
        line.end();
        line.insert(" 2");
        assert_eq!(line.text(), "seat 2");
    }
}
