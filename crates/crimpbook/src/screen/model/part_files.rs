//! The unit at hand, to be saved as a part file.

use crimpbook_workbook::model::{Cavity, Connector, Id, Part, Unit};

use super::{Model, face, parts, sources};
use crate::screen::action::Where;

/// The unit that the cursor is at: the one whose connector, cavity or inside part is shown.
pub fn unit_here(model: &Model) -> Option<Id<Unit>> {
    let book = &model.book;
    let of_connector = |id: Id<Connector>| book.get(id).map(|c| c.unit);
    match model.place {
        Where::Face => face::connector(model).map(|c| c.unit),
        Where::Sources => sources::cavity(model).and_then(|c: &Cavity| of_connector(c.connector)),
        Where::Parts => {
            let key = parts::record(model)?;
            let part = || book.get(key.as_id::<Part>()?).map(|p| p.unit);
            key.as_id::<Unit>()
                .or_else(|| of_connector(key.as_id()?))
                .or_else(part)
        }
        _ => None,
    }
}
