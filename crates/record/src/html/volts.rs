//! Volts to expect at every cavity in every state, and what was read.

use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    measure::{self, Standing, Windows, windows},
    model::{Cavity, Connector, Reading, TestKind},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    volts::{Expected, hundredths, is_joined},
    words,
};

/// States beside each other in one table.
const STATES: usize = 9;

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let see = input.snapshot;
    let mut elements = vec![el("p").text(
        "Computed, plugs on, in volts against the unit's own ground († against battery negative, where the unit has no \
         ground). \"floats\": nothing holds it, a meter shows whatever it makes of it. Under a figure stands from where to where \
         a reading is good, over the supply's range, with copper cold and warm and what a hand meter may be off; then the last reading, \
         ✓ where it was as expected when it was taken, \
         ▲ where what it tested was changed afterwards.",
    )];
    let unsolved = see.unsolved().iter().map(|(state, trouble)| {
        el("p")
            .child(el("b").text(input.book().label_of(*state)))
            .text(format!(
                " is not computed: {}.",
                words::trouble(input.book(), trouble)
            ))
    });
    elements.extend(unsolved);
    let unsteady = see
        .states()
        .iter()
        .flat_map(|s| s.operated.trouble.iter().map(move |trouble| (s.state, trouble)));
    elements.extend(unsteady.map(|(state, trouble)| {
        let why = words::trouble(input.book(), trouble);
        el("p")
            .child(el("b").text(input.book().label_of(state)))
            .text(format!(": {why}. Do not trust its figures."))
    }));
    if see.states().is_empty() {
        elements.push(el("p").class("none").text("No operating state is computed."));
    }
    let within: Vec<Result<Windows, String>> = see.states().iter().map(|s| windows(see, s.state)).collect();
    let states: Vec<Within<'_>> = see.states().iter().zip(&within).collect();
    for connector in by_label::<Connector>(input.book()) {
        let cavities = input.book().cavities_of(connector.id);
        let joined: Vec<&Cavity> = cavities.into_iter().filter(|c| is_joined(see, c)).collect();
        if !joined.is_empty() {
            let chunks = states.chunks(STATES);
            elements.extend(chunks.map(|states| sheet(see, connector, &joined, states)));
        }
    }
    elements
}

/// A state with its windows, or why it has none.
type Within<'s> = (&'s StateResult, &'s Result<Windows, String>);

fn sheet(see: &Snapshot, connector: &Connector, cavities: &[&Cavity], states: &[Within<'_>]) -> Element {
    let labels: Vec<String> = states.iter().map(|(s, _)| see.book().label_of(s.state)).collect();
    let heads: Vec<&str> = ["No.", "Function"]
        .into_iter()
        .chain(labels.iter().map(String::as_str))
        .collect();
    let rows = cavities.iter().map(|cavity| {
        let row = Row::new().name(&cavity.number).text(&cavity.name);
        states.iter().fold(row, |row, (state, within)| {
            let expected = Expected::at(see, state, cavity.id).words();
            let cell = el("td").text(expected).children(window(within, cavity));
            row.cell(cell.children(reading(see, state, cavity)))
        })
    });
    let caption = match (labels.as_slice(), see.states().len() > STATES) {
        ([first, .., last], true) => format!("Volts at {}, {first} to {last}", connector.label),
        ([only], true) => format!("Volts at {}, {only}", connector.label),
        _ => format!("Volts at {}", connector.label),
    };
    table(&caption, "volts", &heads, rows)
}

/// From where to where a reading is good.
fn window(within: &Result<Windows, String>, cavity: &Cavity) -> Option<Element> {
    let words = match within.as_ref().map(|all| all.get(&cavity.id)) {
        Ok(Some(measure::Expected::Within {
            least: Some(least),
            most: Some(most),
        })) => format!("good {} to {}", hundredths(*least), hundredths(*most)),
        Ok(Some(measure::Expected::CannotTell(why))) | Err(why) => format!("cannot tell: {why}"),
        Ok(_) => return None,
    };
    Some(el("p").child(small(words)))
}

/// The last reading; one that lapsed says so.
fn reading(see: &Snapshot, state: &StateResult, cavity: &Cavity) -> Option<Element> {
    let readings = see.book().all::<Reading>().values();
    let last = readings
        .filter(|r| {
            r.at_cavity == cavity.id
                && r.state == Some(state.state)
                && r.measure == "V"
                && matches!(r.test, None | Some(TestKind::PlugsOn))
        })
        .max_by_key(|r| (r.taken, r.id))?;
    let read = last.value.map_or_else(|| "open".to_owned(), hundredths);
    let right = match Standing::of(last) {
        Standing::Passed => " ✓",
        Standing::Failed => " ✗",
        Standing::Lapsed => " ▲ to be read again",
        Standing::Open | Standing::Told => "",
    };
    Some(el("p").child(small(format!("read {read}{right}"))))
}
