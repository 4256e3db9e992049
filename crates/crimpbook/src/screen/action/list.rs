//! The whole table as text, for `crimpbook keys`.

use super::{Where, in_place};
use crate::screen::text::pad;

/// Every key and what it does, place by place, as plain text.
pub fn keys_page() -> String {
    let mut page = String::new();
    for place in Where::ALL {
        page.push_str(place.words());
        page.push('\n');
        for action in in_place(*place) {
            page.push_str(&format!(
                "  {} {} {}\n",
                pad(&keys(action.keys), 18),
                pad(action.name, 18),
                action.help
            ));
        }
        page.push('\n');
    }
    page
}

/// The keys of an action side by side; a row of digits is written as one.
pub fn keys(keys: &[super::Key]) -> String {
    match keys {
        [first, .., last] if keys.len() == 10 => format!("{first} to {last}"),
        _ => keys.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
    }
}
