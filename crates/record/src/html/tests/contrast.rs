//! Every text of the record and of the sheet stands out from what is behind it: 4.5 to 1 at least, as WCAG 2.1 asks at
//! level AA (success criterion 1.4.3), by its own formula.

use roxmltree::Node;

use super::{complete::DEMONSTRATION, made, sheet_of, text, tree};
use crate::sample;
use crimpbook_workbook::check::Report;

const LEAST: f64 = 4.5;

/// `#rgb` or `#rrggbb`.
fn rgb(colour: &str) -> Option<[f64; 3]> {
    let digits = colour.trim().strip_prefix('#')?;
    let of = |at: usize, long: usize| {
        let part = digits.get(at * long..(at + 1) * long)?;
        let part = if long == 1 {
            part.repeat(2)
        } else {
            part.to_owned()
        };
        u8::from_str_radix(&part, 16).ok().map(f64::from)
    };
    let long = match digits.len() {
        3 => 1,
        6 => 2,
        _ => return None,
    };
    Some([of(0, long)?, of(1, long)?, of(2, long)?])
}

/// Relative luminance as WCAG 2.1 defines it.
fn luminance(colour: [f64; 3]) -> f64 {
    let linear = colour.map(|c| {
        let c = c / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

fn contrast(one: &str, other: &str) -> f64 {
    let of =
        |c: &str| luminance(rgb(c).unwrap_or_else(|| panic!("{c} is no colour that this test can read")));
    let (a, b) = (of(one), of(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_formula_gives_what_is_known() {
    assert!((contrast("#000", "#ffffff") - 21.0).abs() < 1e-9);
    // The lightest grey that passes on white, as is widely told.
    assert!(contrast("#767676", "#fff") >= LEAST && contrast("#777777", "#fff") < LEAST);
}

/// Values of the properties of a style sheet, with its own names for colours put in.
fn values(style: &str, is: impl Fn(&str) -> bool) -> Vec<&str> {
    let names: Vec<(&str, &str)> = style
        .split([';', '{', '}'])
        .filter_map(|line| line.split_once(':'))
        .map(|(name, value)| (name.trim(), value.trim()))
        .filter(|(name, _)| name.starts_with("--"))
        .collect();
    style
        .split([';', '{', '}'])
        .filter_map(|line| line.split_once(':'))
        .filter(|(name, _)| is(name.trim()))
        .map(|(_, value)| value.trim().trim_end_matches("!important").trim())
        .filter(|value| !matches!(*value, "inherit" | "none" | "transparent"))
        .map(
            |value| match value.strip_prefix("var(").and_then(|v| v.strip_suffix(')')) {
                Some(name) => names.iter().find(|(n, _)| *n == name).unwrap().1,
                None => value,
            },
        )
        .collect()
}

#[test]
fn every_colour_of_words_stands_out_from_every_background_of_the_style_sheets() {
    let (_, record) = &*DEMONSTRATION;
    let sheet = sheet_of(&sample::book());
    for page in [record, &sheet] {
        let tree = tree(page);
        let style = tree.descendants().find(|n| n.has_tag_name("style")).unwrap();
        let style = text(style);
        let words = values(&style, |name| name == "color");
        let behind = values(&style, |name| name == "background" || name == "background-color");
        assert!(!words.is_empty() && !behind.is_empty());
        for word in &words {
            for back in &behind {
                let ratio = contrast(word, back);
                assert!(ratio >= LEAST, "{word} on {back}: {ratio:.2}");
            }
        }
    }
}

/// What a drawn shape covers: left, top, right, bottom.
type Covered = (f64, f64, f64, f64);

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).and_then(|v| v.parse().ok()).unwrap_or(0.0)
}

fn covers(node: Node<'_, '_>) -> Option<Covered> {
    let of = |name| number(node, name);
    match node.tag_name().name() {
        "rect" => Some((of("x"), of("y"), of("x") + of("width"), of("y") + of("height"))),
        "circle" => Some((
            of("cx") - of("r"),
            of("cy") - of("r"),
            of("cx") + of("r"),
            of("cy") + of("r"),
        )),
        "path" | "polygon" => {
            let points: Vec<f64> = node
                .attribute("d")
                .or_else(|| node.attribute("points"))?
                .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
                .filter_map(|n| n.parse().ok())
                .collect();
            let of = |from: usize| points.iter().skip(from).step_by(2).copied();
            Some((
                of(0).fold(f64::MAX, f64::min),
                of(1).fold(f64::MAX, f64::min),
                of(0).fold(f64::MIN, f64::max),
                of(1).fold(f64::MIN, f64::max),
            ))
        }
        _ => None,
    }
}

/// How far an element is moved by the groups around it.
fn moved(node: Node<'_, '_>) -> (f64, f64) {
    node.ancestors()
        .filter_map(|n| n.attribute("transform"))
        .map(|t| {
            let inner = t
                .strip_prefix("translate(")
                .and_then(|t| t.strip_suffix(')'))
                .unwrap();
            let mut parts = inner.split_whitespace().map(|n| n.parse::<f64>().unwrap());
            (parts.next().unwrap(), parts.next().unwrap_or(0.0))
        })
        .fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1))
}

/// An attribute, its own or of what it stands in.
fn inherited<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    node.ancestors().find_map(|n| n.attribute(name))
}

/// The fill that is seen at a point when a text is drawn: that of the last shape before it.
fn behind<'a>(svg: Node<'a, '_>, word: Node<'a, '_>, (x, y): (f64, f64)) -> &'a str {
    svg.descendants()
        .filter(|n| n.range().start < word.range().start)
        .filter(|n| inherited(*n, "fill").is_some_and(|fill| fill.starts_with('#')))
        .filter(|n| {
            let (dx, dy) = moved(*n);
            covers(*n)
                .is_some_and(|(l, t, r, b)| (l + dx..=r + dx).contains(&x) && (t + dy..=b + dy).contains(&y))
        })
        .filter(|n| n.attribute("fill-opacity").is_none() && n.attribute("opacity").is_none())
        .filter_map(|n| inherited(n, "fill"))
        .next_back()
        .unwrap_or("#ffffff")
}

#[test]
fn every_word_in_the_drawings_stands_out_from_what_it_lies_on() {
    let (_, record) = &*DEMONSTRATION;
    let small = sample::book();
    let ways = [
        record.clone(),
        made(&small, &[], &Report::default()),
        sheet_of(&small),
    ];
    let mut seen = 0;
    for page in &ways {
        let tree = tree(page);
        for svg in tree.descendants().filter(|n| n.has_tag_name("svg")) {
            for word in svg.descendants().filter(|n| n.has_tag_name("text")) {
                let fill = inherited(word, "fill").unwrap_or("#000000");
                let size: f64 = inherited(word, "font-size")
                    .and_then(|s| s.parse().ok())
                    .unwrap_or(10.0);
                let (dx, dy) = moved(word);
                // In the middle of the letters' height.
                let at = (number(word, "x") + dx, number(word, "y") + dy - size / 3.0);
                let back = behind(svg, word, at);
                let ratio = contrast(fill, back);
                assert!(ratio >= LEAST, "{:?}: {fill} on {back}: {ratio:.2}", text(word));
                seen += 1;
            }
        }
    }
    assert!(seen > 500, "{seen} texts");
}
