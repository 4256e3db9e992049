//! What an edit leaves as it was: where no record differs in a field that currents, volts, warmth or fuses hang on, what
//! was computed of them still holds.
//!
//! A field counts unless it is named here as one that does not: a new field is safe by default.

use crate::{
    Book,
    model::{
        About, Bundle, Cavity, ChassisPath, Connector, ContactFamily, Expression, Fuse, Junction, Key, Part,
        Row, Rule, State, Switch, Unit, Wire, Zone,
    },
};

/// Whether two books are the same electrically.
pub(super) fn electrically(one: &Book, other: &Book) -> bool {
    changed(one, other).is_empty()
}

/// The records that differ in a field that counts, or that only one book has.
pub(crate) fn changed(one: &Book, other: &Book) -> Vec<Key> {
    let mut all = Vec::new();
    let see = &mut all;
    kind::<About>(see, one, other, |to, of| {
        to.vehicle.clone_from(&of.vehicle);
        to.purpose.clone_from(&of.purpose);
        to.colour_custom.clone_from(&of.colour_custom);
        to.service_note.clone_from(&of.service_note);
        to.service.clone_from(&of.service);
    });
    kind::<Zone>(see, one, other, |to, of| {
        to.wet = of.wet;
        to.plan = of.plan;
        to.note.clone_from(&of.note);
    });
    kind::<Bundle>(see, one, other, |to, of| {
        to.traction_m = of.traction_m;
        to.note.clone_from(&of.note);
    });
    kind::<ContactFamily>(see, one, other, |to, of| {
        to.seal_least_mm = of.seal_least_mm;
        to.seal_most_mm = of.seal_most_mm;
        to.plating = of.plating;
        to.most_a = of.most_a;
        to.strip_mm = of.strip_mm;
        to.note.clone_from(&of.note);
    });
    kind::<Unit>(see, one, other, |to, of| {
        to.name.clone_from(&of.name);
        to.manual.clone_from(&of.manual);
        to.serial.clone_from(&of.serial);
        to.firmware.clone_from(&of.firmware);
        to.supply_note.clone_from(&of.supply_note);
        to.note.clone_from(&of.note);
    });
    kind::<Connector>(see, one, other, |to, of| {
        to.name.clone_from(&of.name);
        to.sealed = of.sealed;
        to.face.clone_from(&of.face);
        to.pin_plating = of.pin_plating;
        to.keying.clone_from(&of.keying);
        to.single_steps = of.single_steps;
        to.note.clone_from(&of.note);
    });
    kind::<Cavity>(see, one, other, |to, of| {
        to.name.clone_from(&of.name);
        to.unit_number.clone_from(&of.unit_number);
        to.why.clone_from(&of.why);
        to.plug = of.plug;
        to.page.clone_from(&of.page);
        to.note.clone_from(&of.note);
    });
    kind::<Junction>(see, one, other, |to, of| {
        to.sleeve_least_mm2 = of.sleeve_least_mm2;
        to.sleeve_most_mm2 = of.sleeve_most_mm2;
        to.clear_m = of.clear_m;
        to.sealed = of.sealed;
        to.flexes = of.flexes;
        to.place.clone_from(&of.place);
        to.note.clone_from(&of.note);
    });
    kind::<ChassisPath>(see, one, other, |to, of| to.note.clone_from(&of.note));
    kind::<Fuse>(see, one, other, |to, of| {
        to.feeds.clone_from(&of.feeds);
        to.holder.clone_from(&of.holder);
        to.note.clone_from(&of.note);
    });
    kind::<Switch>(see, one, other, |to, of| to.note.clone_from(&of.note));
    kind::<Part>(see, one, other, |to, of| {
        to.drop_limit_v = of.drop_limit_v;
        to.note.clone_from(&of.note);
    });
    kind::<Wire>(see, one, other, |to, of| {
        to.signal.clone_from(&of.signal);
        to.colour = of.colour;
        to.pair.clone_from(&of.pair);
        to.note.clone_from(&of.note);
    });
    kind::<State>(see, one, other, |to, of| to.words.clone_from(&of.words));
    // What a unit does with what it reads may come to drive its outputs.
    kind::<Expression>(see, one, other, |_, _| {});
    kind::<Rule>(see, one, other, |_, _| {});
    all
}

/// Adds the records of a kind that are not the same once `put` has given the one the other's fields that do not count.
fn kind<R: Row>(all: &mut Vec<Key>, one: &Book, other: &Book, put: impl Fn(&mut R, &R)) {
    let differing = R::table(one.tables()).differing(R::table(other.tables()), |a, b| {
        let mut like = a.clone();
        put(&mut like, b);
        like == *b
    });
    all.extend(differing.into_iter().map(Key::of));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::Decision, testing::Bench};

    #[test]
    fn words_and_colours_leave_it_and_figures_do_not() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
        let cavity = bench.cavity("MC-A", "2");
        let before = bench.book();
        bench.edit(wire, |w: &mut Wire| {
            w.colour = "RD".parse().ok();
            w.note = "seen".to_owned();
        });
        bench.edit(cavity, |c: &mut Cavity| c.page = "4".to_owned());
        assert!(electrically(&before, &bench.book()));
        let before = bench.book();
        bench.edit(cavity, |c: &mut Cavity| c.decision = Decision::Blank);
        assert!(!electrically(&before, &bench.book()));
        let before = bench.book();
        bench.edit(wire, |w: &mut Wire| w.length_m = Some(2.0));
        assert!(!electrically(&before, &bench.book()));
        let before = bench.book();
        bench.wire("W2", "MC-A3", "SP1", 1.0, 1.0);
        assert!(!electrically(&before, &bench.book()));
    }
}
