//! A comparison as plain lines and as a page.

use std::collections::BTreeMap;

use super::{Changed, Comparison};
use crate::{
    html::page::{STYLE, document},
    markup::{Element, el},
    text::shown,
};

impl Comparison {
    /// How many of each kind, in words (`3 cavities, 1 wire`).
    pub fn counts(&self) -> String {
        let mut counts: BTreeMap<_, usize> = BTreeMap::new();
        for changed in &self.changed {
            *counts.entry(changed.key.kind).or_default() += 1;
        }
        let words = counts.into_iter().map(|(kind, n)| match (n, kind.title()) {
            (1, title) => format!("1 {title}"),
            (n, "cavity") => format!("{n} cavities"),
            (n, "contact family") => format!("{n} contact families"),
            (n, "splice or stud") => format!("{n} splices or studs"),
            (n, "switch") => format!("{n} switches"),
            (n, title) => format!("{n} {title}s"),
        });
        let words: Vec<String> = words.collect();
        if words.is_empty() {
            "nothing".to_owned()
        } else {
            words.join(", ")
        }
    }

    /// Plain lines: a record, beneath it what changed and why.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for changed in &self.changed {
            let whole = changed
                .fields
                .iter()
                .find(|d| d.field.is_empty())
                .map(|d| format!(" {}", d.is));
            lines.push(format!("{}{}", shown(&changed.name), whole.unwrap_or_default()));
            lines.extend(changed.fields.iter().filter(|d| !d.field.is_empty()).map(|d| {
                let (was, is) = (one_line(&d.was), one_line(&d.is));
                if changed.is_new() {
                    format!("    {}: {is}", d.field)
                } else {
                    format!("    {}: {was} → {is}", d.field)
                }
            }));
            lines.extend(
                changed
                    .whys
                    .iter()
                    .map(|why| format!("    why: {}", one_line(why))),
            );
        }
        lines
    }

    /// One page to print beside the record: no script, nothing from elsewhere.
    pub fn html(&self, vehicle: &str) -> String {
        let title = format!("{vehicle}: from {} to {}", self.from, self.to);
        let mut main = el("main")
            .child(el("h1").text(&title))
            .child(el("p").text(format!("Changed: {}.", self.counts())));
        if !self.changed.is_empty() {
            let heads = ["What", "Field", "Was", "Is", "Why"];
            let rows = self.changed.iter().flat_map(rows);
            main = main.child(
                el("table")
                    .child(el("caption").text("Changes, kind by kind"))
                    .child(
                        el("thead")
                            .child(el("tr").children(heads.map(|h| el("th").attr("scope", "col").text(h)))),
                    )
                    .child(el("tbody").children(rows)),
            );
        }
        document(&title, STYLE, el("body").child(main))
    }
}

impl Changed {
    /// Whether the record is new.
    pub fn is_new(&self) -> bool {
        self.fields
            .first()
            .is_some_and(|d| d.field.is_empty() && d.was.is_empty())
    }
}

fn rows(changed: &Changed) -> Vec<Element> {
    let mut rows = Vec::new();
    for (at, d) in changed.fields.iter().enumerate() {
        let first = at == 0;
        let name = if first { changed.name.as_str() } else { "" };
        let why = if first {
            changed.whys.join("; ")
        } else {
            String::new()
        };
        rows.push(
            el("tr")
                .child(el("th").attr("scope", "row").text(name))
                .child(el("td").text(&d.field))
                .child(el("td").text(&d.was))
                .child(el("td").text(&d.is))
                .child(el("td").text(why)),
        );
    }
    rows
}

fn one_line(text: &str) -> String {
    match shown(text).replace(['\n', '\t'], " ").trim() {
        "" => "nothing".to_owned(),
        text => text.to_owned(),
    }
}
