//! An operating state: where the switches stand, and how inside parts do that no switch tells.

use crimpbook_core::{
    quantity::Kind as Quantity,
    rule::{Expr, Known, Statement, SyntaxError, parse},
};
use crimpbook_workbook::{
    Book,
    book::natural,
    edit::make::{self, StateDraft},
    model::{Id, Key, Part, PartKind, PartPosition, PartSetting, State, Switch, SwitchPosition},
};

use super::{
    Field, Form, Taken, Wrong, made,
    read::{labels, shown},
};
use crate::screen::model::Model;

/// How an inside part can be said to stand; the last takes what was said back.
const STANDS: [(&str, Option<(PartPosition, bool)>); 6] = [
    ("on", Some((PartPosition::On, false))),
    ("off", Some((PartPosition::Off, false))),
    ("starting", Some((PartPosition::Starting, false))),
    ("assumed on", Some((PartPosition::On, true))),
    ("assumed off", Some((PartPosition::Off, true))),
    ("computed", None),
];

pub fn fields(model: &Model, id: Option<Id<State>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(
        || "New operating state".to_owned(),
        |s| format!("State {}", s.label),
    );
    let at = old
        .map(|s| positions_shown(book, &s.switches))
        .unwrap_or_default();
    let mut fields = vec![
        Field::new(
            "label",
            "name",
            old.map(|s| s.label.clone()).unwrap_or_default(),
            "DRIVE",
        ),
        Field::new(
            "words",
            "in words",
            old.map(|s| s.words.clone()).unwrap_or_default(),
            "forward, pedal half way",
        ),
        Field::new(
            "switches",
            "switches",
            at,
            "key is run and selector is forward; one that is not named rests",
        )
        .expression(switches(book)),
    ];
    if old.is_none() {
        fields.push(
            Field::new(
                "like",
                "parts as in",
                "",
                "state whose inside parts stand as here",
            )
            .one_of(labels::<State>(book)),
        );
    }
    fields.extend([
        Field::new(
            "parts",
            "set parts",
            "",
            "only what changes: [K1 coil] is on; computed takes it back",
        )
        .expression(parts(book)),
        Field::new(
            "supply",
            "supply",
            shown(old.and_then(|s| s.supply_v), "V"),
            "empty: the vehicle's usual",
        ),
        Field::new(
            "order",
            "place in list",
            old.map(|s| s.order.to_string()).unwrap_or_default(),
            "empty: the last",
        ),
    ]);
    (title, fields)
}

fn switches(book: &Book) -> Vec<Known> {
    let all = book.all::<Switch>().values().map(|s| Known {
        name: s.label.clone(),
        positions: s.positions.clone(),
    });
    sorted(all.collect())
}

fn parts(book: &Book) -> Vec<Known> {
    let moves = |part: &&Part| !matches!(part.kind, PartKind::Resistor { .. } | PartKind::FuseWay { .. });
    let all = book.all::<Part>().values().filter(moves).map(|p| Known {
        name: p.label.clone(),
        positions: STANDS.iter().map(|(words, _)| (*words).to_owned()).collect(),
    });
    sorted(all.collect())
}

fn sorted(mut all: Vec<Known>) -> Vec<Known> {
    all.sort_by_cached_key(|k| natural(&k.name));
    all
}

fn positions_shown(book: &Book, at: &[SwitchPosition]) -> String {
    let is = |at: &SwitchPosition| Expr::Is {
        name: book.label_of(at.switch),
        position: at.position.clone(),
    };
    let all: Vec<String> = at.iter().map(|at| is(at).to_string()).collect();
    all.join(" and ")
}

/// Names with their positions, joined by `and`, as they are typed in a field.
fn pairs(form: &Form, field: &'static str) -> Result<Vec<(String, String)>, Wrong> {
    let typed = form.as_typed(field);
    if typed.trim().is_empty() {
        return Ok(Vec::new());
    }
    let statement = parse(&typed).map_err(|e| Wrong::in_expression(field, &e))?;
    let Statement::Plain(expr) = statement else {
        return Err(Wrong::at(field, "names and positions only, joined by and"));
    };
    let all = match expr {
        Expr::And(all) => all,
        one => vec![one],
    };
    all.into_iter()
        .map(|one| match one {
            Expr::Is { name, position } => Ok((name, position)),
            other => Err(Wrong::at(
                field,
                format!("{other}: a name, is, and a position; several are joined by and"),
            )),
        })
        .collect()
}

/// Says that a word of a field is wrong, where it stands.
fn misplaced(form: &Form, field: &'static str, word: &str, expected: String) -> Wrong {
    let typed = form.as_typed(field);
    let before = typed.split(word).next().unwrap_or_default();
    Wrong::in_expression(
        field,
        &SyntaxError {
            at: before.chars().count(),
            found: word.to_owned(),
            expected,
        },
    )
}

/// Where the switches stand, as typed.
pub fn read_switches(book: &Book, form: &Form) -> Result<Vec<SwitchPosition>, Wrong> {
    let field = "switches";
    let mut all: Vec<SwitchPosition> = Vec::new();
    for (name, position) in pairs(form, field)? {
        let found = book.index().labelled::<Switch>(&name).and_then(|id| book.get(id));
        let switch = found.ok_or_else(|| misplaced(form, field, &name, "the name of a switch".to_owned()))?;
        if !switch.positions.contains(&position) {
            let expected = format!("a position of {}: {}", switch.label, switch.positions.join(", "));
            return Err(misplaced(form, field, &position, expected));
        }
        all.push(SwitchPosition {
            switch: switch.id,
            position,
        });
    }
    Ok(all)
}

/// How inside parts stand after what is typed.
pub fn read_parts(book: &Book, form: &Form, mut parts: Vec<PartSetting>) -> Result<Vec<PartSetting>, Wrong> {
    let field = "parts";
    for (name, position) in pairs(form, field)? {
        let part = book
            .index()
            .labelled::<Part>(&name)
            .ok_or_else(|| misplaced(form, field, &name, "the label of an inside part".to_owned()))?;
        let stands = match STANDS.iter().find(|(words, _)| *words == position) {
            Some((_, stands)) => *stands,
            None => Some((travel(form, field, &position)?, false)),
        };
        parts.retain(|at| at.part != part);
        parts.extend(stands.map(|(position, assumed)| PartSetting {
            part,
            position,
            assumed,
        }));
    }
    Ok(parts)
}

fn travel(form: &Form, field: &'static str, typed: &str) -> Result<PartPosition, Wrong> {
    match typed.parse::<f64>() {
        Ok(share) if (0.0..=1.0).contains(&share) => Ok(PartPosition::Travel(share)),
        _ => {
            let expected =
                "on, off, starting, [assumed on], [assumed off], computed, or its travel from 0 to 1";
            Err(misplaced(form, field, typed, expected.to_owned()))
        }
    }
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<State>>) -> Taken {
    let book = &model.book;
    let like = match id {
        Some(id) => Some(id),
        None => form.record::<State>(book, "like")?,
    };
    let like = like.and_then(|id| book.get(id)).map(|s| s.parts.clone());
    let order = form.text("order");
    let order = if order.is_empty() {
        None
    } else {
        Some(
            order
                .parse()
                .map_err(|_| Wrong::at("order", "expected a whole number, as in 3"))?,
        )
    };
    let draft = StateDraft {
        label: form.needed("label", "a name")?,
        order,
        words: form.text("words"),
        supply_v: form.amount("supply", Quantity::Voltage)?,
        switches: read_switches(book, form)?,
        parts: read_parts(book, form, like.unwrap_or_default())?,
    };
    let edit = match id {
        Some(id) => make::change_state(&model.book, id, draft),
        None => make::add_state(&model.book, &mut model.ids, draft),
    };
    made(id.map(Key::of), edit)
}
