//! Cards: all that is said of one record.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::{
    check::{Finding, Level},
    model::{Cavity, Decision, Id, Key, Terminal, Wire},
};

use crate::screen::{
    figures::{ago, number},
    form::size_shown,
    model::{
        Model,
        describe::said,
        findings::{self, mark},
        sources::{comes_from, feeds},
    },
    pen::Pen,
    theme::Look,
};

/// Writes lines one below the other.
struct Writer<'a, 'b> {
    pen: &'a mut Pen<'b>,
    look: Look,
    y: u16,
}

impl<'a, 'b> Writer<'a, 'b> {
    fn new(pen: &'a mut Pen<'b>) -> Self {
        let look = pen.look();
        Self { pen, look, y: 0 }
    }

    fn title(&mut self, words: &str) {
        self.y = self.pen.paragraph(0, self.y, words, self.look.strong());
    }

    fn line(&mut self, words: &str) {
        self.y = self.pen.paragraph(0, self.y, words, self.look.plain());
    }

    fn said(&mut self, what: &str, words: &str) {
        if !words.is_empty() {
            let x = self.pen.put(0, self.y, what, self.look.quiet());
            let x = if x == 0 { 0 } else { x + 1 };
            if words.chars().count() + usize::from(x) <= usize::from(self.pen.width()) {
                self.pen.put(x, self.y, words, self.look.plain());
                self.y += 1;
            } else {
                self.y = self.pen.paragraph(2, self.y + 1, words, self.look.plain());
            }
        }
    }

    fn gap(&mut self) {
        self.y += 1;
    }

    /// Lines, if there are any, and a gap below them.
    fn above(&mut self, lines: &[String]) {
        lines.iter().for_each(|words| self.line(words));
        if !lines.is_empty() {
            self.gap();
        }
    }

    /// A gap, and these lines below it, if there are any.
    fn below(&mut self, lines: &[String]) {
        if !lines.is_empty() {
            self.gap();
        }
        lines.iter().for_each(|words| self.line(words));
    }
}

/// Any record.
pub fn record(model: &Model, pen: &mut Pen<'_>, key: Key) {
    if let Some(id) = key.as_id::<Wire>() {
        let mut to = Writer::new(pen);
        to.above(&found(model, &[key], is_urgent));
        wire(model, &mut to, id);
        to.below(&found(model, &[key], |finding| !is_urgent(finding)));
        history(model, &mut to, &model.book.label_of(id));
        return;
    }
    let mut to = Writer::new(pen);
    to.title(&model.book.name_of(key));
    for (what, words) in said(model, key) {
        to.said(&what, &words);
    }
    to.below(&found(model, &[key], |_| true));
}

/// A cavity: what is wrong with it or its wires, function, levels, decision, wire, source, candidates, notes, history.
pub fn cavity(model: &Model, pen: &mut Pen<'_>, cavity: &Cavity) {
    let book = &model.book;
    let name = book.cavity_name(cavity.id);
    let mut to = Writer::new(pen);
    to.title(format!("{name}  {}", cavity.name).trim_end());
    // What a mark on the face stands for: first, since a low window has no room for all.
    let wires = book.index().wires_at_cavity.of(&cavity.id);
    let places: Vec<Key> = std::iter::once(Key::of(cavity.id))
        .chain(wires.iter().map(|(wire, _)| Key::of(*wire)))
        .collect();
    to.above(&found(model, &places, is_urgent));
    to.line(cavity.kind.map_or("kind not entered", |k| k.words()));
    let levels = levels(cavity);
    if !levels.is_empty() {
        to.said("levels", &levels);
    }
    let decision = match cavity.decision {
        Decision::Bridged { to } => format!("bridged to {}", book.cavity_name(to)),
        other => other.words().to_owned(),
    };
    if let Some(signals) = model.signals_known() {
        let at = Terminal::Cavity(cavity.id);
        let numbers = signals.nets.terminal_numbers(book, &at);
        to.said("terminal (DIN 72552)", &numbers.join(", "));
    }
    to.said("decision", &decision);
    to.said("why", &cavity.why);
    if cavity.plug {
        to.said("plug", "listed");
    }
    to.said("page", &cavity.page);
    for (id, _) in wires {
        to.gap();
        wire(model, &mut to, *id);
    }
    source(model, &mut to, cavity.id);
    to.said("volts to expect", &expected_volts(model, cavity.id));
    let candidates = book.index().candidates_of.get(&cavity.id).into_iter().flatten();
    for candidate in candidates.filter_map(|id| book.get(*id)) {
        let verdict = super::sources_words(candidate.verdict);
        to.said(
            &format!("weighed, {verdict}"),
            &format!("{} {}", candidate.words, candidate.why),
        );
    }
    to.said("note", &cavity.note);
    to.below(&found(model, &[Key::of(cavity.id)], |finding| {
        !is_urgent(finding)
    }));
    history(model, &mut to, &name);
}

/// Whether a title names a record: the name stands in it as a word.
fn names(title: &str, name: &str) -> bool {
    title
        .split(|c: char| c.is_whitespace() || matches!(c, ':' | ',' | ';'))
        .any(|word| word == name)
}

fn wire(model: &Model, to: &mut Writer<'_, '_>, id: Id<Wire>) {
    let Some(wire) = model.book.get(id) else { return };
    let style = to.look.strong();
    let x = to.pen.put(0, to.y, &wire.label, style) + 1;
    if let Some(colour) = wire.colour {
        let x = to.pen.wire_colour(x, to.y, colour, style) + 1;
        let quiet = to.look.quiet();
        to.pen.put(x, to.y, &colour.words(), quiet);
    }
    to.y += 1;
    let length = wire
        .length_m
        .map_or_else(|| "length open".to_owned(), |m| format!("{} m", number(m)));
    let size = if wire.area_mm2.is_none() {
        "size open".to_owned()
    } else {
        size_shown(wire)
    };
    to.line(&format!("{size}, {length}"));
    to.line(&format!(
        "{} → {}",
        model.book.end_name(wire.from),
        model.book.end_name(wire.to)
    ));
    to.said("carries", &wire.signal);
    to.said("pair", &wire.pair);
    if let Some(a) = wire.typical_a {
        to.said("usual current", &format!("{} A", number(a)));
    }
    for words in computed_of_wire(model, id) {
        to.line(&words);
    }
    to.said("note", &wire.note);
}

fn source(model: &Model, to: &mut Writer<'_, '_>, cavity: Id<Cavity>) {
    to.said("comes from", &comes_from(model, cavity).join(", "));
    to.said("feeds", &feeds(model, cavity).join(", "));
}

/// What was computed of a wire: the fuse that protects it, the most it carries, how warm it runs, what it drops.
pub fn computed_of_wire(model: &Model, id: Id<Wire>) -> Vec<String> {
    let Some(see) = model.findings.current() else {
        return Vec::new();
    };
    let Some(at) = see.wiring().wire_at(id) else {
        return Vec::new();
    };
    let mut said = Vec::new();
    let feed = see.protection().wires.get(at).copied().flatten();
    if let Some(feed) = feed {
        said.push(match feed.fuse.and_then(|f| model.book.get(f)) {
            Some(fuse) => format!(
                "protected by {}, {} A, as traced",
                fuse.label,
                number(fuse.rating_a)
            ),
            None => "no fuse protects it".to_owned(),
        });
    }
    let worst = see.worst().get(at).copied().unwrap_or_default();
    if let Some(current) = worst.current_a.filter(|w| w.value > 1e-6) {
        let state = see
            .states()
            .get(current.state)
            .map(|s| model.book.label_of(s.state));
        let warm = worst.conductor_c.map(|w| w.value).filter(|c| c.is_finite());
        let drop_v = see.wire_drop_v(at, current.value, warm.unwrap_or(20.0));
        said.push(format!(
            "carries up to {} in {}; drops {}",
            Quantity::Current.show(current.value),
            state.unwrap_or_default(),
            Quantity::Voltage.show(drop_v)
        ));
        if let Some(c) = warm {
            said.push(format!("runs at up to {} °C", number(c.round())));
        }
    }
    said
}

/// The volts to expect at a cavity in every state, against its unit's own ground.
pub fn expected_volts(model: &Model, id: Id<Cavity>) -> String {
    let Some(see) = model.findings.current() else {
        return String::new();
    };
    let said: Vec<String> = see
        .states()
        .iter()
        .filter_map(|state| {
            let volts = see.cavity_volts(state, id).own_ground_v?;
            Some(format!(
                "{} {}",
                model.book.label_of(state.state),
                number((volts * 100.0).round() / 100.0)
            ))
        })
        .collect();
    said.join(", ")
}

/// What a manual states of a cavity, in a line.
pub fn levels(cavity: &Cavity) -> String {
    let l = &cavity.limits;
    let mut said = Vec::new();
    let mut say = |what: &str, value: Option<f64>, unit: &str| {
        if let Some(value) = value {
            said.push(format!("{what} {} {unit}", number(value)));
        }
    };
    say("on above", l.on_above_v, "V");
    say("off below", l.off_below_v, "V");
    say("on below", l.on_below_v, "V");
    say("off above", l.off_above_v, "V");
    say("never above", l.most_v, "V");
    say("at most", l.most_a, "A");
    say("peak", l.peak_a, "A");
    say("at least", l.least_a, "A");
    say("rest", l.rest_v, "V");
    say("full", l.full_v, "V");
    say("stays on", l.release_s, "s");
    say("sensor", l.sensor_ohm, "Ω");
    if let Some(pull) = l.pull {
        use crimpbook_workbook::model::PullTo;
        let to = match pull.to {
            PullTo::Ground => "pulled to ground",
            PullTo::FiveVolts => "pulled to 5 V",
            PullTo::Supply => "pulled to supply",
            PullTo::Nothing => "no pull inside",
        };
        said.push(
            pull.ohm
                .map_or_else(|| to.to_owned(), |ohm| format!("{to} by {} Ω", number(ohm))),
        );
    }
    said.join(", ")
}

/// Whether a finding is to be seen before all else: an open stop or warning.
fn is_urgent(finding: &Finding) -> bool {
    finding.level != Level::Note && !finding.is_accepted()
}

/// What was found at any of these places, each once, with its mend.
fn found(model: &Model, places: &[Key], wanted: fn(&Finding) -> bool) -> Vec<String> {
    let Some(report) = model.findings.report() else {
        return Vec::new();
    };
    let mut told: Vec<&Finding> = Vec::new();
    for finding in places.iter().flat_map(|key| report.at(*key)) {
        if wanted(finding) && !told.contains(&finding) {
            told.push(finding);
        }
    }
    // The gravest first, as the Overview has them.
    told.sort_by_key(|finding| finding.level);
    let mut lines = Vec::new();
    for finding in told {
        lines.push(format!("{} {}", mark(finding.level), finding.sentence));
        let mend = findings::mend(model, finding);
        lines.extend(mend.map(|mend| format!("  mend: {}", mend.words)));
    }
    lines
}

fn history(model: &Model, to: &mut Writer<'_, '_>, name: &str) {
    let heads: Vec<_> = model
        .heads
        .iter()
        .rev()
        .filter(|head| names(&head.title, name))
        .take(4)
        .collect();
    if heads.is_empty() {
        return;
    }
    to.gap();
    for head in heads {
        let style = to.look.quiet();
        to.y = to.pen.paragraph(
            0,
            to.y,
            &format!("{}: {}", ago(head.at, model.now), head.title),
            style,
        );
    }
}
