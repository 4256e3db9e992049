//! The page around the sections.

use std::fmt::Write as _;

use super::{RecordInput, SECTIONS, cover};
use crate::{
    markup::{Element, el},
    text::shown,
};

pub(crate) const STYLE: &str = include_str!("style.css");

/// Nothing may be loaded or run, whatever a text in the workbook tries.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

pub(super) fn page(input: &RecordInput<'_>) -> String {
    let vehicle = cover::vehicle(input.book());
    let entries = SECTIONS.iter().map(|section| {
        el("li").child(
            el("a")
                .attr("href", format!("#{}", section.anchor))
                .text(section.heading),
        )
    });
    let contents = el("nav")
        .attr("aria-label", "Contents")
        .child(el("h2").text("Contents"))
        .child(el("ol").children(entries));
    let sections = SECTIONS.iter().map(|section| {
        el("section")
            .attr("id", section.anchor)
            .child(el("h2").text(section.heading))
            .children((section.body)(input))
    });
    let body = el("body")
        .child(
            el("a")
                .class("skip")
                .attr("href", "#findings")
                .text("Past the cover"),
        )
        .child(cover::cover(input).child(contents))
        .child(el("main").children(sections));
    let style = format!("{STYLE}{}", running_foot(input, &vehicle));
    document(&format!("{vehicle}: build record"), &style, body)
}

/// A whole page that may load and run nothing.
pub(crate) fn document(title: &str, style: &str, body: Element) -> String {
    let head = el("head")
        .child(el("meta").attr("charset", "utf-8"))
        .child(
            el("meta")
                .attr("http-equiv", "Content-Security-Policy")
                .attr("content", POLICY),
        )
        .child(
            el("meta")
                .attr("name", "viewport")
                .attr("content", "width=device-width, initial-scale=1"),
        )
        .child(el("title").text(title))
        .child(el("style").text(style));
    let html = el("html").attr("lang", "en").child(head).child(body);
    format!("<!DOCTYPE html>\n{}\n", html.render())
}

/// Vehicle, revision, code and page number on every printed page.
pub(super) fn running_foot(input: &RecordInput<'_>, vehicle: &str) -> String {
    let code: String = input.head.to_string().chars().take(8).collect();
    let foot = format!("{vehicle} · {} · {code}", cover::revision(input.book()));
    format!(
        "@page {{ @bottom-left {{ content: \"{}\"; }} }}\n",
        css_text(&foot)
    )
}

/// A text within quotes of a style sheet: everything but letters and digits as its code.
fn css_text(text: &str) -> String {
    let mut out = String::new();
    for c in shown(text).chars().take(120) {
        if c.is_ascii_alphanumeric() || c == ' ' {
            out.push(c);
        } else {
            let _ = write!(out, "\\{:06x}", u32::from(c));
        }
    }
    out
}

/// A text of several lines.
pub(super) fn lines(text: &str) -> Element {
    el("p").class("lines").text(text)
}

/// A remark in smaller type.
pub(super) fn small(text: impl AsRef<str>) -> Element {
    el("span").class("small").text(text)
}

#[cfg(test)]
mod tests {
    use super::css_text;

    #[test]
    fn no_text_leaves_the_quotes_of_the_style_sheet() {
        assert_eq!(
            css_text("a\"}</style>\n"),
            "a\\000022\\00007d\\00003c\\00002fstyle\\00003e\\00000a"
        );
    }
}
