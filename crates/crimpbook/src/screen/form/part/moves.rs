//! What moves a contact, and when an output or a source is on.

use crimpbook_core::rule::{Expr, Statement, SyntaxError, parse};
use crimpbook_workbook::{
    Book,
    edit::make,
    model::{Driver, Part, PartKind, Switch},
    rules,
};

use super::super::{Field, Form, Wrong};

const WHEN: &str = "over what the unit reads: MC.ready and MC.precharged";

pub fn fields(book: &Book, kind: &PartKind) -> Vec<Field> {
    match kind {
        PartKind::Contact { driver, .. } => vec![
            Field::new(
                "driver",
                "moved by",
                shown(book, driver),
                "[K1 coil], or key is run or key is start; empty: a state says",
            )
            .expression(rules::known(book)),
        ],
        PartKind::Source { when, .. } | PartKind::Output { when, .. } => {
            vec![Field::new("when", "on when", rules::shown(book, when), WHEN).expression(rules::known(book))]
        }
        _ => Vec::new(),
    }
}

/// A driver as an expression: a coil's name, or a switch in one of some positions.
fn shown(book: &Book, driver: &Driver) -> String {
    let is = |switch: &str, at: &String| Expr::Is {
        name: switch.to_owned(),
        position: at.clone(),
    };
    match driver {
        Driver::StateOnly => String::new(),
        Driver::Coil { part } => Expr::Name(book.label_of(*part)).to_string(),
        Driver::Switch { switch, operated_in } => {
            let switch = book.label_of(*switch);
            let all: Vec<String> = operated_in.iter().map(|at| is(&switch, at).to_string()).collect();
            all.join(" or ")
        }
    }
}

/// The condition or driver that is typed; an error points at its place.
pub fn read(book: &Book, form: &Form) -> Result<(), Wrong> {
    condition(book, form)?;
    driver(book, form).map(|_| ())
}

fn condition(book: &Book, form: &Form) -> Result<String, Wrong> {
    let typed = form.as_typed("when");
    if typed.trim().is_empty() {
        return Ok(String::new());
    }
    make::read_condition(book, "", &typed).map_err(|e| Wrong::in_expression("when", &e))
}

fn driver(book: &Book, form: &Form) -> Result<Driver, Wrong> {
    let typed = form.as_typed("driver");
    if typed.trim().is_empty() {
        return Ok(Driver::StateOnly);
    }
    let wrong = |found: &str, expected: &str| {
        let before = typed.split(found).next().unwrap_or_default();
        Wrong::in_expression(
            "driver",
            &SyntaxError {
                at: before.chars().count(),
                found: found.to_owned(),
                expected: expected.to_owned(),
            },
        )
    };
    let statement = parse(&typed).map_err(|e| Wrong::in_expression("driver", &e))?;
    let all = match statement {
        Statement::Plain(Expr::Or(all)) => all,
        Statement::Plain(one) => vec![one],
        _ => return Err(wrong("", "a coil, or a switch and a position")),
    };
    let mut by: Option<&Switch> = None;
    let mut operated_in = Vec::new();
    for one in &all {
        match one {
            Expr::Name(name) if all.len() == 1 => {
                let coil = book.index().labelled::<Part>(name).and_then(|id| book.get(id));
                return match coil {
                    Some(part) if matches!(part.kind, PartKind::Coil { .. }) => {
                        Ok(Driver::Coil { part: part.id })
                    }
                    _ => Err(wrong(name, "the name of a coil, or a switch, is, and a position")),
                };
            }
            Expr::Is { name, position } => {
                let found = book.index().labelled::<Switch>(name).and_then(|id| book.get(id));
                let switch = found.ok_or_else(|| wrong(name, "the name of a switch"))?;
                if by.is_some_and(|by| by.id != switch.id) {
                    return Err(wrong(name, "the same switch: one switch moves a contact"));
                }
                if !switch.positions.contains(position) {
                    let list = format!("a position of {name}: {}", switch.positions.join(", "));
                    return Err(wrong(position, &list));
                }
                by = Some(switch);
                operated_in.push(position.clone());
            }
            other => {
                let words = "a coil, or positions of one switch joined by or";
                return Err(wrong(&other.to_string(), words));
            }
        }
    }
    let switch = by
        .ok_or_else(|| wrong("", "a coil, or a switch and a position"))?
        .id;
    Ok(Driver::Switch { switch, operated_in })
}

/// The kind, moved as is typed.
pub fn taken(book: &Book, form: &Form, kind: PartKind) -> Result<PartKind, Wrong> {
    let mut kind = kind;
    match &mut kind {
        PartKind::Contact { driver: by, .. } => *by = driver(book, form)?,
        PartKind::Output { when, .. } => *when = condition(book, form)?,
        PartKind::Source { when, switched, .. } => {
            *when = condition(book, form)?;
            *switched |= !when.is_empty();
        }
        _ => {}
    }
    Ok(kind)
}
