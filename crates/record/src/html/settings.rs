//! Settings of the units' own software as left, and test drives.

use crimpbook_workbook::{
    book::natural,
    model::{Setting, Trial},
};

use super::{
    RecordInput,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut settings = by_label::<Setting>(book);
    settings.sort_by_cached_key(|s| natural(&book.label_of(s.unit)));
    let settings = settings.into_iter().map(|setting| {
        let mut cavities = el("td");
        for (at, id) in setting.cavities.iter().enumerate() {
            cavities = cavities.text(if at > 0 { ", " } else { "" }).child(link(
                "cavity",
                *id,
                book.cavity_name(*id),
            ));
        }
        Row::new()
            .text(book.label_of(setting.unit))
            .name(&setting.label)
            .cell(el("td").text(format!("{} {}", setting.value, setting.measure).trim()))
            .cell(cavities)
            .text(&setting.note)
    });
    let mut trials: Vec<&Trial> = book.all::<Trial>().values().collect();
    trials.sort_by_key(|t| (t.at, t.id));
    let trials = trials.into_iter().map(|trial| {
        Row::new()
            .moment(trial.at)
            .text(&trial.who)
            .text(&trial.words)
            .text(&trial.changed)
            .text(&trial.felt)
            .text(&trial.next)
    });
    vec![
        table(
            "Settings as left",
            "settings",
            &["Unit", "Setting", "Value", "Cavities", "Note"],
            settings,
        ),
        table(
            "Trials",
            "trials",
            &[
                "When (UTC)",
                "Who",
                "Where and what",
                "Changed before it",
                "Felt",
                "Next",
            ],
            trials,
        ),
    ]
}
