//! Accepted findings: they stay visible, and lapse by themselves.

use chrono::{DateTime, Utc};

use super::{Finding, check_named};
use crate::{
    Book,
    model::{Acceptance, Id, Key, Record, Rest},
};

/// How much worse the figure may get before an acceptance lapses.
const WORSE_BY: f64 = 0.05;
/// Group under which an acceptance keeps the level it was given for.
const LEVEL: &str = "level";

/// Why a finding is accepted, and whether that still counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    /// The record.
    pub id: Id<Acceptance>,
    /// Why.
    pub why: String,
    /// Who.
    pub who: String,
    /// When.
    pub at: DateTime<Utc>,
    /// Why it no longer counts.
    pub lapsed: Option<String>,
}

/// What an acceptance of this finding rests on: its level, and the fields its check looks at. For [`Acceptance::rested_on`].
pub fn rests_of(book: &Book, finding: &Finding) -> Vec<Rest> {
    let mut rests: Vec<Rest> = finding
        .place()
        .map(|on| Rest {
            on,
            group: LEVEL.to_owned(),
            value: finding.level.words().to_owned(),
        })
        .into_iter()
        .collect();
    let fields = check_named(finding.check).map_or(&[][..], |c| c.rests_on);
    for place in &finding.places {
        for (_, names) in fields.iter().filter(|(kind, _)| *kind == place.kind) {
            rests.extend(names.iter().map(|name| Rest {
                on: *place,
                group: (*name).to_owned(),
                value: field(book, *place, name),
            }));
        }
    }
    rests
}

/// A field of a record as JSON text; empty where it is absent or at its default.
fn field(book: &Book, key: Key, name: &str) -> String {
    let inner = |record: &Record| {
        let value = serde_json::to_value(record).ok()?;
        let row = value.as_object()?.values().next()?;
        row.get(name).filter(|v| !v.is_null()).map(ToString::to_string)
    };
    book.tables()
        .get(key)
        .as_ref()
        .and_then(inner)
        .unwrap_or_default()
}

/// Marks what was accepted.
pub(super) fn mark(book: &Book, findings: &mut [Finding]) {
    let acceptances = book.all::<Acceptance>();
    for finding in findings.iter_mut() {
        // The newest acceptance of the same thing speaks.
        let accepted = acceptances
            .values()
            .filter(|a| a.check == finding.check && a.places.first().copied() == finding.place())
            .max_by_key(|a| (a.at, a.id));
        finding.accepted = accepted.map(|a| Accepted {
            id: a.id,
            why: a.why.clone(),
            who: a.who.clone(),
            at: a.at,
            lapsed: a.lapsed.clone().or_else(|| lapsed(book, a, finding)),
        });
    }
}

/// Why an acceptance no longer counts for what is found now.
fn lapsed(book: &Book, acceptance: &Acceptance, finding: &Finding) -> Option<String> {
    let beyond = |places: &[Key], known: &[Key]| places.iter().find(|place| !known.contains(place)).copied();
    if let Some(more) = beyond(&finding.places, &acceptance.places) {
        return Some(format!("{} belongs to it as well now", book.name_of(more)));
    }
    if let Some(less) = beyond(&acceptance.places, &finding.places) {
        return Some(format!("{} belongs to it no more", book.name_of(less)));
    }
    let level = acceptance.rested_on.iter().find(|rest| rest.group == LEVEL);
    if let Some(level) = level.filter(|level| level.value != finding.level.words()) {
        let (was, is) = (&level.value, finding.level.words());
        return Some(format!("it was a {was}, it is a {is}"));
    }
    if let Some(changed) = input_changed(book, acceptance) {
        return Some(changed);
    }
    let (then, now) = (acceptance.figure?, finding.figures.first()?);
    // Which way is worse: away from the limit on the side where the figure stands.
    let falling = now.limit.is_some_and(|limit| now.value < limit);
    let worse_by = if falling {
        then - now.value
    } else {
        now.value - then
    };
    (worse_by > WORSE_BY * then.abs()).then(|| {
        format!(
            "{} was {then:.3} {unit}, is {:.3} {unit}",
            now.name,
            now.value,
            unit = now.unit
        )
    })
}

/// The first input that an acceptance lists and that is not as it was, in words.
pub(crate) fn input_changed(book: &Book, acceptance: &Acceptance) -> Option<String> {
    let inputs = acceptance.rested_on.iter().filter(|rest| rest.group != LEVEL);
    inputs.into_iter().find_map(|rest| {
        let now = field(book, rest.on, &rest.group);
        (now != rest.value).then(|| {
            format!(
                "{}: {} was {}, is {}",
                book.name_of(rest.on),
                rest.group.replace('_', " "),
                shown(&rest.value),
                shown(&now)
            )
        })
    })
}

fn shown(value: &str) -> &str {
    if value.is_empty() { "not given" } else { value }
}

#[cfg(test)]
mod tests {
    use super::super::{Figure, Level};
    use super::*;
    use crate::model::{Cavity, Decision, IdMaker, Row};

    struct Bench {
        book: Book,
        cavity: Cavity,
        finding: Finding,
    }

    /// A book with one cavity and a made-up finding at it.
    fn bench() -> Bench {
        let mut bench = crate::testing::Bench::new();
        let cavity = bench.cavity("MC-A", "27");
        let finding = Finding::new("undecided-cavity", Level::Warning, cavity, "MC-A27 is undecided")
            .figure(Figure::against("drop", 1.0, 0.5, "V"));
        let book = bench.book();
        Bench {
            cavity: book.get(cavity).unwrap().clone(),
            book,
            finding,
        }
    }

    fn accept(bench: &mut Bench) {
        let acceptance = Acceptance {
            id: IdMaker::new(9).make(),
            check: bench.finding.check.to_owned(),
            places: bench.finding.places.clone(),
            why: "buzzer comes later".to_owned(),
            figure: bench.finding.figure_value(),
            at: DateTime::UNIX_EPOCH,
            who: "ann".to_owned(),
            rested_on: rests_of(&bench.book, &bench.finding),
            lapsed: None,
        };
        bench.book.change(|t| t.put(acceptance.into_record()));
    }

    fn verdict(bench: &Bench) -> Option<Option<String>> {
        let mut findings = vec![bench.finding.clone()];
        mark(&bench.book, &mut findings);
        findings.remove(0).accepted.map(|a| a.lapsed)
    }

    #[test]
    fn an_accepted_finding_stays_and_says_so() {
        let mut bench = bench();
        assert_eq!(verdict(&bench), None);
        accept(&mut bench);
        assert_eq!(verdict(&bench), Some(None));
    }

    #[test]
    fn it_lapses_when_a_listed_input_changes_and_says_which() {
        let mut bench = bench();
        accept(&mut bench);
        let changed = Cavity {
            decision: Decision::Blank,
            ..bench.cavity.clone()
        };
        bench.book.change(|t| t.put(changed.into_record()));
        let why = verdict(&bench).flatten().unwrap();
        assert!(why.contains("MC-A27") && why.contains("decision"), "{why}");
    }

    #[test]
    fn a_change_that_it_does_not_rest_on_leaves_it() {
        let mut bench = bench();
        accept(&mut bench);
        let changed = Cavity {
            note: "looked at twice".to_owned(),
            ..bench.cavity.clone()
        };
        bench.book.change(|t| t.put(changed.into_record()));
        assert_eq!(verdict(&bench), Some(None));
    }

    #[test]
    fn it_lapses_when_the_figure_worsens_by_more_than_a_twentieth() {
        let mut bench = bench();
        accept(&mut bench);
        bench.finding.figures[0].value = 1.04;
        assert_eq!(verdict(&bench), Some(None));
        bench.finding.figures[0].value = 0.2;
        assert!(
            verdict(&bench).flatten().is_some(),
            "below its limit, falling is worse"
        );
        bench.finding.figures[0].value = 1.06;
        assert!(verdict(&bench).flatten().unwrap().contains("1.060 V"));
    }

    #[test]
    fn it_lapses_when_level_or_places_change() {
        let mut bench = bench();
        accept(&mut bench);
        bench.finding.level = Level::Stop;
        assert!(verdict(&bench).flatten().unwrap().contains("was a warning"));
        bench.finding.level = Level::Warning;
        let more = bench.cavity.connector;
        bench.finding = bench.finding.with([more]);
        assert!(
            verdict(&bench)
                .flatten()
                .unwrap()
                .contains("connector MC-A belongs to it as well now")
        );
    }

    #[test]
    fn through_the_door_it_lapses_for_good_and_undo_does_not_bring_it_back() {
        let mut bench = bench();
        accept(&mut bench);
        let id = bench.book.all::<Acceptance>().values().next().unwrap().id;
        let stamp = |n| crate::edit::Stamp {
            id: Id::from_bits(n),
            at: DateTime::UNIX_EPOCH,
            who: "ann".to_owned(),
        };
        let decided = Cavity {
            decision: Decision::Blank,
            ..bench.cavity.clone()
        };
        let edit = crate::edit::Edit::design(
            "blank",
            vec![crate::edit::Change::replace(bench.cavity.clone(), decided)],
        );
        let entry = bench.book.prepare(edit, stamp(1)).unwrap();
        bench.book.apply(&entry).unwrap();
        let why = bench.book.get(id).unwrap().lapsed.clone().unwrap();
        assert!(why.contains("MC-A27") && why.contains("decision"), "{why}");
        let undo = bench.book.prepare(crate::edit::invert(&entry), stamp(2)).unwrap();
        bench.book.apply(&undo).unwrap();
        assert_eq!(bench.book.get(bench.cavity.id), Some(&bench.cavity));
        assert_eq!(verdict(&bench), Some(Some(why)), "by a person's key only");
    }

    #[test]
    fn fields_are_read_by_name() {
        let bench = bench();
        let key = Key::of(bench.cavity.id);
        assert_eq!(field(&bench.book, key, "number"), "\"27\"");
        assert_eq!(field(&bench.book, key, "contact"), "");
    }
}
