//! Protection.

use crimpbook_workbook::model::{Key, Kind};

use super::everywhere::{move_cursor, show as show_record};
use crate::screen::{
    action::Do,
    effect::Effect,
    model::{
        Model,
        protection::{Shows, at, far_rows, here, key, rows},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    if model.protection.shows == Shows::FarEnds {
        let count = far_rows(model).map_or(0, |rows| rows.len());
        if move_cursor(&mut model.protection.far_at, count, act) {
            return Some(Vec::new());
        }
    } else {
        let mut place = at(model);
        let count = rows(model).map_or(0, <[_]>::len);
        if move_cursor(&mut place, count, act) {
            set(model, place);
            return Some(Vec::new());
        }
    }
    match act {
        Do::Picture => turn(model, Shows::Picture),
        Do::FarEnds => turn(model, Shows::FarEnds),
        Do::Back if model.protection.shows != Shows::Tree => model.protection.shows = Shows::Tree,
        Do::Left | Do::Right => next_fuse(model, act == Do::Right),
        Do::Open => {
            let key = here(model)?;
            model.protection.on = Some(key);
            show_there(model, key);
        }
        _ => return None,
    }
    Some(Vec::new())
}

/// A fuse or wire on the screen that edits it.
fn show_there(model: &mut Model, key: Key) {
    super::everywhere::go_to(model, crate::screen::action::Where::Parts);
    show_record(model, key);
}

fn turn(model: &mut Model, to: Shows) {
    model.protection.shows = if model.protection.shows == to {
        Shows::Tree
    } else {
        to
    };
}

pub fn set(model: &mut Model, place: usize) {
    let twig = rows(model).and_then(|rows| rows.get(place)).map(|row| row.twig);
    model.protection.on = twig.and_then(|twig| key(model, twig));
}

/// To the next fuse of the tree, or the one before.
fn next_fuse(model: &mut Model, forward: bool) {
    let place = at(model);
    let Some(rows) = rows(model) else { return };
    let is_fuse = |n: &usize| {
        let twig = rows.get(*n).map(|row| row.twig);
        matches!(twig, Some(crimpbook_workbook::analysis::protect::Twig::Fuse(_)))
    };
    let found = if forward {
        (place + 1..rows.len()).find(is_fuse)
    } else {
        (0..place).rev().find(is_fuse)
    };
    if let Some(place) = found {
        set(model, place);
    }
}

/// Puts the cursor on a wire or fuse, if it stands in the tree.
pub fn show(model: &mut Model, record: Key) {
    if matches!(record.kind, Kind::Wire | Kind::Fuse) {
        model.protection.shows = Shows::Tree;
        model.protection.on = Some(record);
        let stands =
            rows(model).is_some_and(|rows| rows.iter().any(|row| key(model, row.twig) == Some(record)));
        if !stands {
            model.protection.on = None;
            super::everywhere::go_to(model, crate::screen::action::Where::Parts);
            super::parts::show(model, record);
            let name = model.book.name_of(record);
            model.complain(format!(
                "{name} is not in the supply tree: it is a return, or behind a load; it is shown here"
            ));
        }
    }
}
