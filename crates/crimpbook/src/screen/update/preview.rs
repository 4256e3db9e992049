//! A table pasted: previewed, changed by keys, taken as one edit.

use crimpbook_workbook::model::Connector;

use crate::screen::{
    action::{Do, Where},
    effect::{Effect, Then},
    model::{Model, face::connector, line::Line, over::Over, preview::Preview},
};

/// Shows what a pasted table would come to. On the Face its cavities are of the connector shown; elsewhere it says itself
/// of which.
pub fn open(model: &mut Model, text: &str) {
    let connector = if model.place == Where::Face {
        connector(model).map(|c| c.id)
    } else {
        None
    };
    if model.book.all::<Connector>().is_empty() {
        model.complain("rows can be pasted once there is a connector");
        return;
    }
    let book = std::sync::Arc::clone(&model.book);
    match Preview::new(&book, &mut model.ids, text, connector) {
        Ok(preview) => model.over.push(Over::Preview(Box::new(preview))),
        Err(error) => model.complain(error.to_string()),
    }
}

/// Moves, changes, takes or leaves.
pub fn perform(model: &mut Model, act: Do) -> Vec<Effect> {
    let book = std::sync::Arc::clone(&model.book);
    let Some(Over::Preview(preview)) = model.over.last_mut() else {
        return Vec::new();
    };
    let last = preview.rows.len().saturating_sub(1);
    match act {
        Do::TableUp => preview.at = preview.at.saturating_sub(1),
        Do::TableDown => preview.at = (preview.at + 1).min(last),
        Do::TablePageUp => preview.at = preview.at.saturating_sub(10),
        Do::TablePageDown => preview.at = (preview.at + 10).min(last),
        Do::TableNext | Do::TablePrevious => {
            if let Err(error) = preview.turn(&book, &mut model.ids, act == Do::TableNext) {
                model.complain(error.to_string());
            }
        }
        Do::TableOf => {
            if let Err(error) = preview.other(&book, &mut model.ids) {
                model.complain(error.to_string());
            }
        }
        Do::TableClear => {
            if let Err(sentence) = preview.clear(&book, &mut model.ids) {
                model.complain(sentence);
            }
        }
        Do::LeaveTable => {
            model.over.pop();
            model.say("the table was not taken");
        }
        Do::TakeTable => take(model),
        _ => {}
    }
    Vec::new()
}

/// Asks for the why, then keeps the edit.
fn take(model: &mut Model) {
    let Some(Over::Preview(preview)) = model.over.last() else {
        return;
    };
    if !preview.plan.asks.is_empty() {
        model.complain("answer what is asked of the whole table first");
        return;
    }
    let Some(edit) = preview.plan.edit.clone() else {
        model.complain("nothing in what was pasted would change anything");
        return;
    };
    let title = format!("{}. Why?", edit.title);
    let then = Then {
        close: true,
        ..Then::default()
    };
    model.over.push(Over::Line(Line::why(title, edit, then)));
}
