//! A trial: what was driven, where, with what changed, and what it felt like.

use chrono::{DateTime, NaiveDateTime, TimeZone as _, Utc};
use crimpbook_workbook::{
    edit::make,
    model::{Id, Key, Mark, Peak, TRAITS, Trial},
    tune::{Turned, as_driven, trials_in_order, turned},
};

use super::{Field, Form, Taken, Wrong};
use crate::screen::{
    effect::Then,
    figures::{moment, number},
    model::{Model, trials::two_at_once},
};

/// Fields of the traits, in their order.
const MARKS: [&str; 4] = ["mark0", "mark1", "mark2", "mark3"];

pub fn fields(model: &Model, id: Option<Id<Trial>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Trial) -> &String| old.map(|t| pick(t).clone()).unwrap_or_default();
    let last = trials_in_order(book).last().copied().filter(|_| old.is_none());
    let now = last.map_or_else(Vec::new, |last| turned(&last.settings, &as_driven(book)));
    let title = old.map_or_else(
        || "New trial: it keeps every setting as it is now".to_owned(),
        |t| format!("Trial of {}", moment(t.at, model.offset)),
    );
    let changed = match (old, now.as_slice()) {
        (Some(t), _) => t.changed.clone(),
        (None, all) => all.iter().map(|t| t.words()).collect::<Vec<_>>().join("; "),
    };
    let mut fields = vec![
        Field::new(
            "at",
            "when",
            moment(old.map_or(model.now, |t| t.at), model.offset),
            "2026-05-04 14:30",
        ),
        Field::new("who", "who drove", old.map_or(&model.who, |t| &t.who).clone(), ""),
        Field::new(
            "place",
            "place",
            old.or(last).map(|t| t.place.clone()).unwrap_or_default(),
            "closed off and level for the first ones",
        ),
        Field::new(
            "conditions",
            "conditions",
            text(|t| &t.conditions),
            "dry, 6 °C, two people, pack at 80 %",
        ),
        Field::new("words", "tried", text(|t| &t.words), "what was tried"),
        Field::new(
            "changed",
            "changed",
            changed,
            "the one thing that was changed before it",
        ),
        Field::new(
            "why",
            "why",
            old.map_or_else(|| whys(model, &now), |t| t.why.clone()),
            "why that was changed",
        ),
    ];
    let hints = "from 1, bad, to 5, right; nothing: not felt for";
    for (name, of) in MARKS.into_iter().zip(TRAITS) {
        let mark = old
            .and_then(|t| t.mark(of))
            .map_or_else(String::new, |m| m.to_string());
        fields.push(Field::new(name, of, mark, hints).one_of(["1", "2", "3", "4", "5"]));
    }
    let more: Vec<String> = old.map_or_else(Vec::new, |t| {
        let own = t
            .marks
            .iter()
            .filter(|m| !TRAITS.iter().any(|of| m.name.eq_ignore_ascii_case(of)));
        own.map(|m| format!("{} {}", m.name, m.mark)).collect()
    });
    let peaks: Vec<String> = old.map_or_else(Vec::new, |t| {
        t.peaks
            .iter()
            .map(|p| {
                format!("{} {} {}", p.name, number(p.value), p.measure)
                    .trim()
                    .to_owned()
            })
            .collect()
    });
    fields.extend([
        Field::new("more", "other traits", more.join(", "), "hill hold 4, noise 2"),
        Field::new("felt", "felt", text(|t| &t.felt), "in words"),
        Field::new(
            "peaks",
            "peaks",
            peaks.join(", "),
            "motor 212 A, battery 96 A, lowest cell 3.2 V, motor 61 °C",
        ),
        Field::new("faults", "faults", text(|t| &t.faults), "that the units told"),
        Field::new("next", "next idea", text(|t| &t.next), "one thing at a time"),
    ]);
    (title, fields)
}

/// The whys that the log has of what was turned, each once.
fn whys(model: &Model, turned: &[Turned]) -> String {
    let mut whys: Vec<&str> = Vec::new();
    for one in turned {
        let moments = model.settings.past.of(one.setting).iter();
        let why = moments.rev().find(|m| m.turned).map_or("", |m| m.why.as_str());
        if !why.is_empty() && !whys.contains(&why) {
            whys.push(why);
        }
    }
    whys.join("; ")
}

/// What is said from the start where more than one setting was turned since the last trial.
pub fn warning(model: &Model, id: Option<Id<Trial>>) -> Option<String> {
    let last = trials_in_order(&model.book)
        .last()
        .copied()
        .filter(|_| id.is_none())?;
    two_at_once(&turned(&last.settings, &as_driven(&model.book)))
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Trial>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let at = when(model, form, old.as_ref())?;
    let who = form.needed("who", "who drove")?;
    let new = id.unwrap_or_else(|| model.ids.make());
    let mut trial = Trial::new(new, at, who);
    trial.place = form.text("place");
    trial.conditions = form.text("conditions");
    trial.words = form.text("words");
    trial.changed = form.text("changed");
    trial.why = form.text("why");
    trial.felt = form.text("felt");
    trial.faults = form.text("faults");
    trial.next = form.text("next");
    trial.marks = marks(form)?;
    trial.peaks = peaks(form)?;
    let edit = match old {
        None => make::log_trial(&model.book, trial),
        Some(_) => make::change_trial(&model.book, trial),
    };
    let edit = edit.map_err(|_| Wrong::unchanged())?;
    let then = Then {
        close: true,
        go: id.is_none().then(|| Key::of(new)),
        advance: false,
    };
    Ok((edit, then))
}

/// The moment as the person's clock shows it; one that was not touched keeps its seconds.
fn when(model: &Model, form: &Form, old: Option<&Trial>) -> Result<DateTime<Utc>, Wrong> {
    let text = form.text("at");
    if let Some(old) = old.filter(|t| moment(t.at, model.offset) == text) {
        return Ok(old.at);
    }
    NaiveDateTime::parse_from_str(&text, "%Y-%m-%d %H:%M")
        .ok()
        .and_then(|local| model.offset.from_local_datetime(&local).single())
        .map(|at| at.with_timezone(&Utc))
        .ok_or_else(|| Wrong::at("at", "write date and time as in 2026-05-04 14:30"))
}

fn marks(form: &Form) -> Result<Vec<Mark>, Wrong> {
    let mut marks = Vec::new();
    for (field, of) in MARKS.into_iter().zip(TRAITS) {
        if let Ok(mark) = form.text(field).parse() {
            marks.push(Mark {
                name: (*of).to_owned(),
                mark,
            });
        }
    }
    let text = form.text("more");
    for part in parts(&text) {
        let read = part.rsplit_once(' ').and_then(|(name, mark)| {
            let mark = mark.parse().ok().filter(|m| (1..=5).contains(m))?;
            Some(Mark {
                name: name.trim().to_owned(),
                mark,
            })
        });
        marks.push(read.ok_or_else(|| {
            Wrong::at(
                "more",
                format!("{part:?} is no trait with its mark from 1 to 5; write as in noise 2, hill hold 4"),
            )
        })?);
    }
    Ok(marks)
}

fn peaks(form: &Form) -> Result<Vec<Peak>, Wrong> {
    let text = form.text("peaks");
    parts(&text)
        .map(|part| {
            peak(part).ok_or_else(|| {
                Wrong::at(
                    "peaks",
                    format!(
                        "{part:?} is no name with a figure and its unit; write as in motor 212 A, motor 61 °C"
                    ),
                )
            })
        })
        .collect()
}

fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
}

/// A name, a figure and its unit: the figure is the last word that reads as one, with a unit run on or after it.
fn peak(part: &str) -> Option<Peak> {
    let words: Vec<&str> = part.split_whitespace().collect();
    (1..words.len()).rev().find_map(|at| {
        let word = words.get(at)?;
        let digits = word
            .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '-'))
            .unwrap_or(word.len());
        let (figure, run_on) = word.split_at_checked(digits)?;
        let value: f64 = figure.parse().ok()?;
        let mut measure = run_on.to_owned();
        for more in words.get(at + 1..)? {
            measure = format!("{measure} {more}").trim().to_owned();
        }
        Some(Peak {
            name: words.get(..at)?.join(" "),
            value,
            measure,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peaks_are_read_with_their_units() {
        let read = |text| peak(text).map(|p| (p.name, p.value, p.measure));
        let of = |name: &str, value, measure: &str| Some((name.to_owned(), value, measure.to_owned()));
        assert_eq!(read("motor 212 A"), of("motor", 212.0, "A"));
        assert_eq!(read("lowest cell 3.21V"), of("lowest cell", 3.21, "V"));
        assert_eq!(read("motor 2 61 °C"), of("motor 2", 61.0, "°C"));
        assert_eq!(read("battery -96 A"), of("battery", -96.0, "A"));
        assert_eq!(read("score 7"), of("score", 7.0, ""));
        assert_eq!(read("212 A"), None);
        assert_eq!(read("motor"), None);
    }
}
