//! Both wires of a twisted or shielded pair at once.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::{
    edit::{Change, Edit, make},
    model::{Bundle, End, Wire},
};

use super::{
    Field, Form, Start, Taken, Wrong,
    read::{ends, labels, next_label},
    wire::{new_wire, read_colour, read_size, wired},
};
use crate::screen::{effect::Then, model::Model};

pub fn fields(model: &Model, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let pair = next_label(book.all::<Wire>().values().map(|w| w.pair.as_str()), "P");
    let mut numbers = make::next_labels::<Wire>(book, "W", 2).into_iter();
    let (first, second) = (
        numbers.next().unwrap_or_default(),
        numbers.next().unwrap_or_default(),
    );
    let next_end = |name: &str| {
        let all = ends(book);
        let at = all.iter().position(|e| e == name);
        at.and_then(|at| all.get(at + 1).cloned()).unwrap_or_default()
    };
    let fields = vec![
        Field::new("pair", "pair", pair, "its name"),
        Field::new("signal", "carries", start.signal.clone(), "CAN"),
        Field::new("label1", "first wire", first, "W61"),
        Field::new("from1", "from", start.from.clone(), "CH-A3").offered(ends(book)),
        Field::new("to1", "to", start.to.clone(), "MC-A28").offered(ends(book)),
        Field::new("colour1", "colour", "", "YE"),
        Field::new("label2", "second wire", second, "W62"),
        Field::new("from2", "from", next_end(&start.from), "CH-A4").offered(ends(book)),
        Field::new("to2", "to", next_end(&start.to), "MC-A29").offered(ends(book)),
        Field::new("colour2", "colour", "", "GN"),
        Field::new("size", "size of both", "", "0.5 or AWG 20"),
        Field::new("length", "length of both", "", "2.4 m or 8 ft"),
        Field::new("bundle", "bundle", "", "empty: alone in air").one_of(labels::<Bundle>(book)),
    ];
    ("New pair of wires".to_owned(), fields)
}

pub fn take(model: &mut Model, form: &Form) -> Taken {
    let book = std::sync::Arc::clone(&model.book);
    let pair = form.needed("pair", "the pair's name")?;
    let (area_mm2, size_written, size_table) = read_size(form, "size")?;
    let length_m = form.amount("length", Quantity::Length)?;
    let bundle = form.record(&book, "bundle")?;
    let mut changes = Vec::new();
    let mut places: Vec<End> = Vec::new();
    for [label, from, to, colour] in [
        ["label1", "from1", "to1", "colour1"],
        ["label2", "from2", "to2", "colour2"],
    ] {
        let id = model.ids.make();
        let number = form.needed(label, "a number")?;
        let (from, to) = (form.end(&book, from)?, form.end(&book, to)?);
        let wire = Wire {
            signal: form.text("signal"),
            area_mm2,
            size_written: size_written.clone(),
            size_table,
            colour: read_colour(form, colour)?,
            length_m,
            bundle,
            pair: pair.clone(),
            ..new_wire(id, &number, from, to)
        };
        places.extend([wire.from, wire.to]);
        changes.push(Change::make(wire));
    }
    if form.text("label1").eq_ignore_ascii_case(&form.text("label2")) {
        return Err(Wrong::at("label2", "the two wires need two numbers"));
    }
    changes.extend(wired(&book, &places));
    let title = format!("pair {pair}: {} and {}", form.text("label1"), form.text("label2"));
    let then = Then {
        close: true,
        go: None,
        advance: true,
    };
    Ok((Edit::design(title, changes), then))
}
