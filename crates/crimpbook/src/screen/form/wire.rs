//! A wire.

use crimpbook_core::quantity::{Kind as Quantity, Size};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, make},
    model::{Bundle, Drum, End, Fuse, Id, Key, SizeTable, Wire, WireColour},
    plan,
};

use super::{
    Field, Form, Start, Taken, Wrong, change,
    read::{ends, labels, shown},
};
use crate::screen::{
    action::Where,
    effect::Then,
    model::{Model, parts::WASTE},
};

pub fn fields(model: &Model, id: Option<Id<Wire>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let new_label = || next_wire(book);
    let text = |pick: fn(&Wire) -> &String| old.map(|w| pick(w).clone()).unwrap_or_default();
    let end = |pick: fn(&Wire) -> End, start: &str| match old.map(pick) {
        None => start.to_owned(),
        Some(End::Free) => String::new(),
        Some(end) => book.end_name(end),
    };
    let title = old.map_or_else(|| "New wire".to_owned(), |w| format!("Wire {}", w.label));
    let fields = vec![
        Field::new(
            "label",
            "number",
            old.map_or_else(new_label, |w| w.label.clone()),
            "W44",
        ),
        Field::new(
            "signal",
            "carries",
            old.map_or_else(|| start.signal.clone(), |w| w.signal.clone()),
            "brake lamps",
        ),
        Field::new(
            "from",
            "from",
            end(|w| w.from, &start.from),
            "PB-A11, SP7, G2, or free",
        )
        .offered(ends(book)),
        Field::new("to", "to", end(|w| w.to, &start.to), "MC-A16, SP7, G2, or free").offered(ends(book)),
        Field::new(
            "size",
            "size",
            old.map(size_shown).unwrap_or_default(),
            "0.5 or AWG 20",
        ),
        Field::new(
            "colour",
            "colour",
            old.and_then(|w| w.colour)
                .map(|c| c.to_string())
                .unwrap_or_default(),
            "GN/WH or green/white",
        )
        .offered(from_stock(model, old)),
        Field::new(
            "length",
            "length",
            shown(old.and_then(|w| w.length_m), "m"),
            "2.4 m or 8 ft",
        ),
        Field::new(
            "bundle",
            "bundle",
            old.and_then(|w| w.bundle)
                .map(|b| book.label_of(b))
                .unwrap_or_default(),
            "empty: alone in air",
        )
        .one_of(labels::<Bundle>(book)),
        Field::new("pair", "pair", text(|w| &w.pair), "name of a twisted pair"),
        Field::new(
            "fuse",
            "fuse meant",
            old.and_then(|w| w.fuse)
                .map(|f| book.label_of(f))
                .unwrap_or_default(),
            "compared with the one that is traced",
        )
        .one_of(labels::<Fuse>(book)),
        Field::new(
            "typical",
            "usual current",
            shown(old.and_then(|w| w.typical_a), "A"),
            "0.5 A",
        ),
        Field::new(
            "peak",
            "peak current",
            shown(old.and_then(|w| w.peak_a), "A"),
            "2 A",
        ),
        Field::new(
            "nominal",
            "usual voltage",
            shown(old.and_then(|w| w.nominal_v), "V"),
            "12 V",
        ),
        Field::new(
            "drop",
            "drop at most",
            shown(old.and_then(|w| w.drop_limit_v), "V"),
            "of this wire alone, 0.5 V",
        ),
        Field::new("note", "note", text(|w| &w.note), ""),
    ];
    (title, fields)
}

/// Colours in stock: those that the wire may get, the best first; all of them where it is not known yet what it needs.
fn from_stock(model: &Model, old: Option<&Wire>) -> Vec<String> {
    let book = &model.book;
    if book.all::<Drum>().is_empty() {
        return Vec::new();
    }
    let mut colours: Vec<WireColour> =
        match old.map(|wire| plan::colours_for(book, model.signals(), wire, WASTE)) {
            Some(Ok(fitting)) => fitting.into_iter().map(|(colour, _)| colour).collect(),
            _ => book.all::<Drum>().values().filter_map(|d| d.colour).collect(),
        };
    let mut seen = std::collections::BTreeSet::new();
    colours.retain(|colour| seen.insert(*colour));
    colours.iter().map(ToString::to_string).collect()
}

/// The number that the next wire gets.
pub fn next_wire(book: &Book) -> String {
    make::next_label::<Wire>(book, "W")
}

/// A wire of which only its number and its ends are known.
pub fn new_wire(id: Id<Wire>, label: &str, from: End, to: End) -> Wire {
    Wire {
        id,
        label: label.to_owned(),
        signal: String::new(),
        from,
        to,
        area_mm2: None,
        size_written: String::new(),
        size_table: None,
        insulation_class_c: None,
        colour: None,
        length_m: None,
        bundle: None,
        pair: String::new(),
        inline_fuse: None,
        fuse: None,
        nominal_v: None,
        typical_a: None,
        peak_a: None,
        drop_limit_v: None,
        note: String::new(),
    }
}

/// A wire's size as it was given.
pub fn size_shown(wire: &Wire) -> String {
    if wire.size_written.is_empty() {
        shown(wire.area_mm2, "mm²")
    } else {
        wire.size_written.clone()
    }
}

/// Size, how it was written, and its table.
pub type SizeRead = (Option<f64>, String, Option<SizeTable>);

/// Reads a size field.
pub fn read_size(form: &Form, name: &'static str) -> Result<SizeRead, Wrong> {
    let text = form.text(name);
    if text.is_empty() {
        return Ok((None, String::new(), None));
    }
    let size: Size = text
        .parse()
        .map_err(|e: crimpbook_core::quantity::QuantityError| Wrong::at(name, e.to_string()))?;
    Ok(match size {
        Size::Metric { area_mm2 } => (Some(area_mm2), String::new(), None),
        Size::Awg(_) => (Some(size.area_mm2()), size.to_string(), Some(SizeTable::Awg)),
        Size::Sae(_) => (Some(size.area_mm2()), size.to_string(), None),
    })
}

/// Reads a colour field.
pub fn read_colour(form: &Form, name: &'static str) -> Result<Option<WireColour>, Wrong> {
    let text = form.text(name);
    if text.is_empty() {
        return Ok(None);
    }
    text.parse()
        .map(Some)
        .map_err(|e: crimpbook_core::quantity::QuantityError| Wrong::at(name, e.to_string()))
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Wire>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let book = std::sync::Arc::clone(&model.book);
    let (area_mm2, size_written, size_table) = read_size(form, "size")?;
    let label = form.needed("label", "a number")?;
    let new = Wire {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: label.clone(),
        signal: form.text("signal"),
        from: form.end(&book, "from")?,
        to: form.end(&book, "to")?,
        area_mm2,
        // A size that is left as it was keeps the table it was read from.
        size_table: size_table.or_else(|| {
            old.as_ref()
                .filter(|o| o.area_mm2 == area_mm2)
                .and_then(|o| o.size_table)
        }),
        size_written,
        insulation_class_c: old.as_ref().and_then(|o| o.insulation_class_c),
        colour: read_colour(form, "colour")?,
        length_m: form.amount("length", Quantity::Length)?,
        bundle: form.record(&book, "bundle")?,
        pair: form.text("pair"),
        inline_fuse: old.as_ref().and_then(|o| o.inline_fuse),
        fuse: form.record(&book, "fuse")?,
        nominal_v: form.amount("nominal", Quantity::Voltage)?,
        typical_a: form.amount("typical", Quantity::Current)?,
        peak_a: form.amount("peak", Quantity::Current)?,
        drop_limit_v: form.amount("drop", Quantity::Voltage)?,
        note: form.text("note"),
    };
    let made = old.is_none();
    let title = if made {
        format!(
            "{label} from {} to {}",
            book.end_name(new.from),
            book.end_name(new.to)
        )
    } else {
        differences(&book, old.as_ref(), &new)
    };
    let (ends, id) = ([new.from, new.to], new.id);
    let left: Vec<End> = old
        .iter()
        .flat_map(|o| [o.from, o.to])
        .filter(|e| !ends.contains(e))
        .collect();
    let mut changes: Vec<Change> = change(old, new).into_iter().collect();
    if changes.is_empty() {
        return Err(Wrong::unchanged());
    }
    changes.extend(wired(&book, &ends));
    changes.extend(
        left.into_iter()
            .filter_map(|end| make::no_longer_wired(&book, end)),
    );
    // On the Face the next cavity is next.
    let on_face = model.place == Where::Face;
    let then = Then {
        close: true,
        go: (made && !on_face).then(|| Key::of(id)),
        advance: made && on_face,
    };
    Ok((Edit::design(title, changes), then))
}

/// Undecided cavities that get a wire are decided by that.
pub fn wired(book: &Book, ends: &[End]) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    for change in ends.iter().filter_map(|end| make::now_wired(book, *end)) {
        if !changes.contains(&change) {
            changes.push(change);
        }
    }
    changes
}

/// `W44: size 0.35 mm² → 0.5 mm²`.
fn differences(book: &Book, old: Option<&Wire>, new: &Wire) -> String {
    let Some(old) = old else { return new.label.clone() };
    let mut said = Vec::new();
    let mut say = |what: &str, was: String, is: String| {
        if was != is {
            let word = |text: String| if text.is_empty() { "none".to_owned() } else { text };
            said.push(format!("{what} {} → {}", word(was), word(is)));
        }
    };
    say("number", old.label.clone(), new.label.clone());
    say("from", book.end_name(old.from), book.end_name(new.from));
    say("to", book.end_name(old.to), book.end_name(new.to));
    say("size", size_shown(old), size_shown(new));
    let colour = |w: &Wire| w.colour.map(|c| c.to_string()).unwrap_or_default();
    say("colour", colour(old), colour(new));
    say("length", shown(old.length_m, "m"), shown(new.length_m, "m"));
    if said.is_empty() {
        format!("{} changed", new.label)
    } else {
        format!("{}: {}", new.label, said.join(", "))
    }
}
