//! What lies over a screen: menus, a line or form being typed, the finder, the help.

use crimpbook_workbook::model::{Id, Wire};

use super::{Model, asking::Asking, find::Find, line::Line, preview::Preview};
use crate::screen::{action::Where, form::Form};

/// Something over the screen that takes the keys.
#[derive(Debug, Clone)]
pub enum Over {
    /// The menu of screens.
    Menu,
    /// The menu of decisions.
    Deciding,
    /// One line being typed.
    Line(Line),
    /// A form being filled in.
    Form(Form),
    /// Missing facts being answered.
    Asking(Asking),
    /// The finder.
    Find(Find),
    /// The keys of a place, and how far they are scrolled.
    Help {
        /// Whose keys.
        of: Where,
        /// First line shown.
        from: usize,
    },
    /// What happens if a wire fails, and the first line shown.
    Suppose {
        /// The wire.
        wire: Id<Wire>,
        /// First line shown.
        from: usize,
    },
    /// The calculators.
    Reckon,
    /// A fault is looked for: see [`super::hunt`].
    Hunt,
    /// What is tried, and the first line shown.
    Trying {
        /// First line shown.
        from: usize,
    },
    /// Another copy is merged: see [`super::merging`].
    Merging,
    /// Whether to lose what is typed beneath.
    Leaving,
    /// A pasted table before it is taken.
    Preview(Box<Preview>),
}

/// What is typed and not taken yet, each with what it was typed for.
pub fn unfinished(model: &Model) -> Vec<String> {
    let mut typed = Vec::new();
    for over in &model.over {
        match over {
            Over::Line(line) if line.typed() => typed.push((line.title.clone(), line.editor.text())),
            Over::Form(form) => {
                let fields = form.fields.iter().filter(|field| field.typed());
                typed.extend(fields.map(|f| (format!("{}, {}", form.title, f.label), f.editor.text())));
            }
            Over::Asking(asking) if asking.typed() => {
                typed.push(("missing facts".to_owned(), asking.editor.text()));
            }
            _ => {}
        }
    }
    typed
        .into_iter()
        .map(|(what, text)| format!("{what}: {text}"))
        .collect()
}

impl Over {
    /// Where a key is typed while this is on top.
    pub fn place(&self) -> Where {
        match self {
            Self::Menu => Where::Menu,
            Self::Deciding => Where::Deciding,
            Self::Line(_) => Where::Line,
            Self::Form(_) => Where::Form,
            Self::Asking(_) => Where::Asking,
            Self::Find(_) => Where::Find,
            Self::Help { .. } => Where::Help,
            Self::Suppose { .. } => Where::Suppose,
            Self::Reckon => Where::Reckon,
            Self::Hunt => Where::Hunt,
            Self::Trying { .. } => Where::Trying,
            Self::Merging => Where::Merging,
            Self::Leaving => Where::Leaving,
            Self::Preview(_) => Where::Preview,
        }
    }
}
