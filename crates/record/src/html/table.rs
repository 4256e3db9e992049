//! Tables with heads that repeat on every printed page.

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
        self.cell(el("td").class("figure").text(figure.unwrap_or_default()))
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
        .child(el("span").class("together").text(size))
        .child(el("br"))
        .child(el("span").class("small together").text(beside))
}

/// What a link to a record is called.
pub(super) fn anchor<R>(kind: &str, id: Id<R>) -> String {
    format!("{kind}-{id}")
}

/// A link to a record of this page.
pub(super) fn link<R>(kind: &str, id: Id<R>, text: impl AsRef<str>) -> Element {
    el("a").attr("href", format!("#{}", anchor(kind, id))).text(text)
}
