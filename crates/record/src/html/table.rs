//! Tables with heads that repeat on every printed page.

use chrono::{DateTime, Utc};
use crimpbook_workbook::model::{Id, Wire, WireColour};

use crate::{
    draw::swatch,
    markup::{Element, el},
    words,
};

/// A row of a table.
pub(super) struct Row {
    id: Option<String>,
    cells: Vec<Element>,
}

impl Row {
    /// A row that cannot be linked to.
    pub(super) fn new() -> Self {
        Self {
            id: None,
            cells: Vec::new(),
        }
    }

    /// A row that links lead to.
    pub(super) fn at<R>(kind: &str, id: Id<R>) -> Self {
        Self {
            id: Some(anchor(kind, id)),
            cells: Vec::new(),
        }
    }

    /// With a cell of text.
    pub(super) fn text(self, text: impl AsRef<str>) -> Self {
        self.cell(el("td").text(text))
    }

    /// With a cell of a figure or nothing.
    pub(super) fn figure(self, figure: Option<String>) -> Self {
        self.cell(el("td").child(together(figure.unwrap_or_default())))
    }

    /// With a cell of a moment.
    pub(super) fn moment(self, at: DateTime<Utc>) -> Self {
        self.text_parts(&[
            &at.format("%Y-%m-%d").to_string(),
            &at.format("%H:%M").to_string(),
        ])
    }

    /// With a cell of texts that are not broken but may stand below each other.
    pub(super) fn text_parts(self, texts: &[&str]) -> Self {
        let mut cell = el("td");
        for (at, text) in texts.iter().enumerate() {
            cell = cell.text(if at > 0 { " " } else { "" }).child(together(text));
        }
        self.cell(cell)
    }

    /// With a cell that names the row.
    pub(super) fn name(self, name: impl AsRef<str>) -> Self {
        self.cell(el("th").attr("scope", "row").child(together(name)))
    }

    /// With a cell.
    pub(super) fn cell(mut self, cell: Element) -> Self {
        self.cells.push(cell);
        self
    }

    fn element(self) -> Element {
        let tr = match self.id {
            Some(id) => el("tr").attr("id", id),
            None => el("tr"),
        };
        tr.children(self.cells)
    }
}

/// A table, or a sentence where it would have no rows.
pub(super) fn table(
    caption: &str,
    class: &'static str,
    heads: &[&str],
    rows: impl IntoIterator<Item = Row>,
) -> Element {
    let rows: Vec<Element> = rows.into_iter().map(Row::element).collect();
    if rows.is_empty() {
        return el("p").class("none").text(format!("{caption}: none recorded."));
    }
    let heads = heads.iter().map(|head| el("th").attr("scope", "col").text(head));
    el("table")
        .class(class)
        .child(el("caption").text(caption))
        .child(el("thead").child(el("tr").children(heads)))
        .child(el("tbody").children(rows))
}

/// Longest text that may stand unbroken without widening a page.
const UNBROKEN: usize = 16;

/// A short text that is not broken over lines; a long one is.
pub(super) fn together(text: impl AsRef<str>) -> Element {
    unbroken(el("span"), text.as_ref())
}

fn unbroken(element: Element, text: &str) -> Element {
    let element = if text.chars().count() <= UNBROKEN {
        element.class("together")
    } else {
        element
    };
    element.text(text)
}

/// A colour, drawn and in letters.
pub(super) fn coloured(colour: Option<WireColour>) -> Element {
    match colour {
        None => el("span"),
        Some(colour) => el("span")
            .class("together")
            .child(swatch(colour))
            .text(format!(" {colour}")),
    }
}

/// A wire's size with what is beside it on a line of its own.
pub(super) fn sized(wire: &Wire) -> Element {
    let (size, beside) = words::size(wire);
    el("span")
        .child(together(size))
        .child(el("br"))
        .child(el("span").class("small").child(together(beside)))
}

/// What a link to a record is called.
pub(super) fn anchor<R>(kind: &str, id: Id<R>) -> String {
    format!("{kind}-{id}")
}

/// A link to a record of this page.
pub(super) fn link<R>(kind: &str, id: Id<R>, text: impl AsRef<str>) -> Element {
    unbroken(
        el("a").attr("href", format!("#{}", anchor(kind, id))),
        text.as_ref(),
    )
}
