//! A field: label, text, what may stand in it.

use crimpbook_core::rule::{Known, complete};

use crate::screen::editor::Editor;

/// What may stand in a field.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Choices {
    /// Any text.
    #[default]
    Free,
    /// Any text; these are offered.
    Offered(Vec<String>),
    /// One of these, or nothing.
    OneOf(Vec<String>),
    /// An expression over these names.
    Expression(Vec<Known>),
}

/// A field of a form.
#[derive(Debug, Clone)]
pub struct Field {
    /// Its name for the program.
    pub name: &'static str,
    /// Its name for people.
    pub label: &'static str,
    /// What is typed.
    pub editor: Editor,
    /// What it held when the form was opened.
    pub started: String,
    /// An example or a word of help.
    pub hint: &'static str,
    /// What may stand in it.
    pub choices: Choices,
    /// What is wrong with it, in a sentence.
    pub wrong: Option<String>,
    /// Characters before the place where it is wrong, if that is known.
    pub wrong_at: Option<usize>,
}

impl Field {
    /// A field that holds `text`.
    pub fn new(name: &'static str, label: &'static str, text: impl Into<String>, hint: &'static str) -> Self {
        let text = text.into();
        Self {
            name,
            label,
            editor: Editor::picked(text.clone()),
            started: text,
            hint,
            choices: Choices::Free,
            wrong: None,
            wrong_at: None,
        }
    }

    /// An expression over these names, completed word by word.
    #[must_use]
    pub fn expression(mut self, known: Vec<Known>) -> Self {
        self.choices = Choices::Expression(known);
        // Somebody who opens it mends it; typed over, all of it would be lost.
        self.editor = Editor::with(self.started.clone());
        self
    }

    /// Whether it holds an expression.
    pub fn is_expression(&self) -> bool {
        matches!(self.choices, Choices::Expression(_))
    }

    /// With what is offered.
    #[must_use]
    pub fn offered(mut self, choices: Vec<String>) -> Self {
        self.choices = Choices::Offered(choices);
        self
    }

    /// With what it has to be one of.
    #[must_use]
    pub fn one_of(mut self, choices: impl IntoIterator<Item = impl Into<String>>) -> Self {
        self.choices = Choices::OneOf(choices.into_iter().map(Into::into).collect());
        self
    }

    /// The cursor comes to it: what is typed next takes the place of what stood there when the form was opened, but of an
    /// expression; what somebody has typed is gone on with.
    pub fn enter(&mut self) {
        let text = self.editor.text();
        self.editor = match self.choices {
            Choices::Expression(_) => Editor::with(text),
            _ if self.typed() => Editor::with(text),
            _ => Editor::picked(text),
        };
    }

    /// Whether something was typed.
    pub fn typed(&self) -> bool {
        self.editor.text() != self.started
    }

    /// What is offered for what is typed so far, best first.
    pub fn matches(&self) -> Vec<String> {
        let all = match &self.choices {
            Choices::Offered(all) | Choices::OneOf(all) => all,
            Choices::Expression(known) => {
                let ways = complete(self.editor.before(), known).into_iter();
                return ways.map(|way| way.text).collect();
            }
            Choices::Free => return Vec::new(),
        };
        let typed = self.editor.text().trim().to_lowercase();
        let mut found: Vec<(u8, &String)> = all
            .iter()
            .filter_map(|choice| {
                let low = choice.to_lowercase();
                let rank = if low == typed {
                    0
                } else if low.starts_with(&typed) {
                    1
                } else if low.contains(&typed) {
                    2
                } else {
                    return None;
                };
                Some((rank, choice))
            })
            .collect();
        found.sort_by_key(|(rank, _)| *rank);
        found.into_iter().map(|(_, choice)| choice.clone()).collect()
    }

    /// What may be typed now, the present choice first: all of it while the field is picked, else what fits what is typed.
    pub fn offers(&self) -> Vec<String> {
        let mut offers = self.matches();
        if let (true, Choices::Offered(all) | Choices::OneOf(all)) = (self.editor.is_picked(), &self.choices)
        {
            let more: Vec<String> = all
                .iter()
                .filter(|choice| !offers.contains(choice))
                .cloned()
                .collect();
            offers.extend(more);
        }
        offers
    }

    /// Puts the best match in place of what is typed; false if there is none or nothing is typed.
    pub fn complete(&mut self) -> bool {
        if self.editor.is_empty() {
            return false;
        }
        if let Choices::Expression(known) = &self.choices {
            let typed = self.editor.text();
            // With a blank behind it, what can follow is offered at once.
            let Some(way) = complete(&typed, known).into_iter().next() else {
                return false;
            };
            let kept: String = typed.chars().take(way.keep).collect();
            self.editor = Editor::with(format!("{kept}{} ", way.text));
            return true;
        }
        let Some(best) = self.matches().into_iter().next() else {
            return false;
        };
        self.editor = Editor::with(best);
        true
    }

    /// Before the field is left: what must be one of a list is completed, or said to be wrong.
    pub fn settle(&mut self) -> bool {
        let Choices::OneOf(all) = self.choices.clone() else {
            return true;
        };
        if !self.editor.text().trim().is_empty() && !self.complete() {
            let some: Vec<&str> = all.iter().take(6).map(String::as_str).collect();
            let more = if all.len() > 6 { " …" } else { "" };
            self.wrong = Some(if all.is_empty() {
                format!(
                    "this workbook has no {} yet: leave it empty, and add one on Parts",
                    self.label
                )
            } else {
                format!("it is one of {}{more}, or empty", some.join(", "))
            });
            return false;
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_choice_is_completed_or_refused() {
        let mut field = Field::new("plug", "plug", "", "").one_of(["yes", "no"]);
        assert!(field.settle(), "nothing is fine");
        field.editor.insert("Y");
        assert!(field.settle());
        assert_eq!(field.editor.text(), "yes");
        field.editor.insert("x");
        assert!(!field.settle());
        assert_eq!(field.wrong.as_deref(), Some("it is one of yes, no, or empty"));
    }

    #[test]
    fn an_exact_match_goes_before_a_longer_one() {
        let mut field = Field::new("to", "to", "mc-a1", "").offered(vec!["MC-A16".into(), "MC-A1".into()]);
        assert_eq!(field.matches(), ["MC-A1", "MC-A16"]);
        assert!(field.complete());
    }
}
