//! What comes of what was seen and read, line by line, and what can be typed next.

use std::{collections::HashMap, sync::Arc};

use crimpbook_workbook::{
    analysis::{
        Snapshot,
        suppose::Failing,
        suspects::{
            CAUTIONS, Found, Inquiry, Item, Line as Together, PRIOR_WORDS, RUINING_WORDS, Signatures,
            Suspect, in_all, next_places, suspects,
        },
    },
    model::{Cavity, Id, State},
};

use super::{Hunt, Said, signatures};
use crate::screen::{
    model::{
        Model,
        suppose::{Line, Look},
    },
    text::count,
};

/// Suspects told one by one; the rest is counted.
const MOST_LINES: usize = 8;
/// Names on one line.
const MOST_NAMES: usize = 4;

/// Lines that the log keeps of a session.
const MOST_KEPT: usize = 3;

/// What the page says.
#[derive(Debug, Default, PartialEq)]
pub struct Page {
    /// What it was made of.
    of: Of,
    /// Line by line.
    pub lines: Vec<Line>,
    /// What can be chosen instead of typed.
    pub choices: Vec<Choice>,
    /// The cavity to measure next.
    pub measure: Option<Id<Cavity>>,
    /// The likeliest suspects with their shares, line by line as they are shown.
    pub suspects: Vec<String>,
}

/// Something to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// In words.
    pub words: String,
    /// What it is without a fault, or where it is.
    pub beside: String,
    /// What it stands for, as it could be typed; it ends with a blank where a figure has to follow.
    pub put: String,
}

/// What a page was made of.
#[derive(Debug, Default, Clone, PartialEq)]
struct Of {
    generation: u64,
    /// Per state, whether all of it or a part is computed.
    known: Vec<Option<bool>>,
    said: Vec<Said>,
    battery_cv: Option<u32>,
    else_usual: Vec<Id<State>>,
    state: Option<Id<State>>,
}

/// Makes the page anew where something it was made of has changed.
pub fn renew(model: &mut Model) {
    let Some(hunt) = &model.hunt else { return };
    let known = |state: &Id<State>| Some(signatures(model, hunt, *state)?.is_ok_and(|(_, whole)| whole));
    let of = Of {
        generation: model.findings.generation,
        known: hunt.states().iter().map(known).collect(),
        said: hunt.said.clone(),
        battery_cv: hunt.battery_cv,
        else_usual: hunt.else_usual.clone(),
        state: Some(hunt.state),
    };
    if of == hunt.page.of {
        return;
    }
    let mut page = Page {
        of,
        ..Page::default()
    };
    page.tell(model, hunt);
    if let Some(hunt) = &mut model.hunt {
        hunt.page = Arc::new(page);
    }
}

impl Page {
    fn say(&mut self, look: Look, words: impl Into<String>) {
        let words = words.into();
        self.lines.push(Line {
            look,
            what: "",
            words,
        });
    }

    fn tell(&mut self, model: &Model, hunt: &Hunt) {
        let battery = hunt.battery_cv.map_or_else(
            || "battery not read, so that much is allowed for: type \"battery 12.6\"".to_owned(),
            |cv| format!("battery at rest {:.2} V", f64::from(cv) / 100.0),
        );
        self.say(Look::Quiet, battery);
        let Some(see) = model.findings.current() else {
            return self.say(Look::Quiet, "checking the book as it is now …");
        };
        let (of, whole) = match signatures(model, hunt, hunt.state) {
            None => return self.say(Look::Quiet, "computing what every single fault would show …"),
            Some(Err(why)) => return self.say(Look::Grave, format!("cannot compute: {why}")),
            Some(Ok(found)) => found,
        };
        let mut inquiry = hunt.inquiry(see.book(), of);
        if hunt.said.is_empty() {
            return self.choose(see, of, hunt, &[]);
        }
        let above = self.lines.len();
        inquiry.elsewhere = self.elsewhere(model, hunt, see);
        let elsewhere = self.lines.split_off(above);
        let found = suspects(of, &inquiry);
        self.items(see, of, &found);
        self.lines.extend(elsewhere);
        let mut next = Vec::new();
        if found.suspects.len() > 1 {
            self.likeliest(see, of, &found);
            next = self.places(see, of, &inquiry, &found);
        }
        self.fits(see, of, &found);
        if !whole {
            let words = "wires that touch chassis or supply are still being computed, and not ruled out";
            self.say(Look::Quiet, words);
        } else if !found.cannot.is_empty() {
            let names = found.cannot.iter().map(|at| of.fault_words(see, *at));
            let names: Vec<String> = names.collect();
            self.say(
                Look::Quiet,
                format!("cannot compute, not ruled out: {}", names.join(", ")),
            );
        }
        if whole && !found.ruining.is_empty() {
            let names = of.ruining_words(see, &found.ruining);
            let more = names.len().saturating_sub(MOST_NAMES);
            let mut words = names
                .iter()
                .take(MOST_NAMES)
                .cloned()
                .collect::<Vec<_>>()
                .join("; ");
            if more > 0 {
                words.push_str(&format!("; and {more} more"));
            }
            self.say(Look::Quiet, format!("{RUINING_WORDS}: {words}"));
        }
        self.choose(see, of, hunt, &next);
        // In the order of the lines above: those that no reading tells apart weigh together.
        let kept = found.lines.iter().take(MOST_KEPT).map(|line| {
            let names = of.line_words(see, &found, line, MOST_NAMES);
            format!("{names} {:.0} %", line.share * 100.0)
        });
        self.suspects = kept.collect();
        let mut rests = "Rests on what units' expressions say they do".to_owned();
        if !of.assumed.is_empty() {
            rests.push_str(&format!("; assumed in this state: {}", of.assumed.join(", ")));
        }
        if !of.unread.is_empty() {
            rests.push_str(&format!("; cannot read: {}", of.unread.join("; ")));
        }
        if let Some(unweighed) = of.unweighed_words() {
            rests.push_str(&format!("; {unweighed}"));
        }
        self.say(Look::Quiet, format!("{rests}. {PRIOR_WORDS}"));
        for caution in CAUTIONS {
            self.say(Look::Quiet, *caution);
        }
    }

    /// What was seen and read in other states leaves of each fault; none: nothing was.
    fn elsewhere(&mut self, model: &Model, hunt: &Hunt, see: &Snapshot) -> Option<HashMap<Failing, f64>> {
        let mut all = Vec::new();
        for state in hunt.states().into_iter().skip(1) {
            let label = see.book().label_of(state);
            let (of, _) = match signatures(model, hunt, state) {
                Some(Ok(found)) => found,
                Some(Err(why)) => {
                    self.say(
                        Look::Grave,
                        format!("{label} cannot be computed, not counted: {why}"),
                    );
                    continue;
                }
                None => {
                    self.say(
                        Look::Quiet,
                        format!("{label} is still being computed, not counted yet"),
                    );
                    continue;
                }
            };
            let found = suspects(of, &hunt.inquiry(see.book(), of));
            let told = found.items.iter().filter(|item| !of.is_usual(item));
            let told: Vec<String> = told.map(|item| of.item_words(see, item)).collect();
            self.say(Look::Words, format!("in {label}: {}", told.join("; ")));
            all.push(found.likelihoods(of));
        }
        in_all(all)
    }

    fn items(&mut self, see: &Snapshot, of: &Signatures, found: &Found) {
        self.say(Look::Heading, "Seen and read");
        let usual = |item: &&Item| matches!(item, Item::Seen(_)) && of.is_usual(item);
        for item in found.items.iter().filter(|item| !usual(item)) {
            self.say(Look::Words, of.item_words(see, item));
        }
        let as_usual = found.items.iter().filter(usual).count();
        if as_usual > 0 {
            let words = format!("{} as without a fault", count(as_usual, "thing", "things"));
            self.say(Look::Quiet, words);
        }
    }

    /// The first lines in a few words, above where to measure; all of them follow below.
    fn likeliest(&mut self, see: &Snapshot, of: &Signatures, found: &Found) {
        let line = |line: &Together| {
            let first = found.suspects.get(*line.suspects.first()?)?;
            Some(format!(
                "{} {:.0} %",
                of.fault_words(see, first.fault),
                line.share * 100.0
            ))
        };
        let words: Vec<String> = found.lines.iter().take(2).filter_map(line).collect();
        let count = count(found.suspects.len(), "fault fits", "faults fit");
        self.say(Look::Words, format!("{count}: {}; all below", words.join(", ")));
    }

    fn fits(&mut self, see: &Snapshot, of: &Signatures, found: &Found) {
        if found.as_usual {
            self.say(Look::Grave, "All of it is as without a fault in this state.");
        }
        if found.suspects.is_empty() {
            return self.nothing_fits(see, of, found);
        }
        self.say(Look::Heading, "Single faults that fit, the likeliest first");
        for line in found.lines.iter().take(MOST_LINES) {
            let first = line.suspects.first().and_then(|at| found.suspects.get(*at));
            let names = of.line_words(see, found, line, MOST_NAMES);
            let mut words = format!("{:>3.0} %  {names}", line.share * 100.0);
            if let Some(alike) = line.alike_words() {
                words.push_str(&format!(" ({alike})"));
            }
            if let Some(well) = first.and_then(Suspect::how_well) {
                words.push_str(&format!("; {well}"));
            }
            self.say(Look::Words, words);
        }
        let more = found.lines.len().saturating_sub(MOST_LINES);
        if more > 0 {
            self.say(Look::Quiet, format!("and {more} less likely"));
        }
        if found.suspects.len() == 1 {
            self.say(
                Look::Words,
                "One single fault is left: look there. Then type found and what it was: the log keeps it.",
            );
        }
    }

    fn nothing_fits(&mut self, see: &Snapshot, of: &Signatures, found: &Found) {
        self.say(Look::Grave, "No single fault shows all of this.");
        if found.states_apart {
            self.say(
                Look::Words,
                "In each state alone some would; none does in all of them. Look at what was seen in each once more.",
            );
        }
        for set in &found.contradicting {
            let items = set.iter().filter_map(|at| found.items.get(*at));
            let items: Vec<String> = items.map(|item| of.item_words(see, item)).collect();
            self.say(Look::Words, format!("not together: {}", items.join("; ")));
        }
        self.say(
            Look::Words,
            "Look at those once more first: a lead that slips reads anything.",
        );
        for pair in &found.pairs {
            let [one, other] = pair.faults.map(|at| of.fault_words(see, at));
            self.say(
                Look::Words,
                format!("two at once would, each its part (not computed together): {one}, and {other}"),
            );
        }
    }

    /// Where to measure next; gives the cavities.
    fn places(
        &mut self,
        see: &Snapshot,
        of: &Signatures,
        inquiry: &Inquiry,
        found: &Found,
    ) -> Vec<Id<Cavity>> {
        let next = next_places(of, inquiry, found, 2);
        let cavities: Vec<Id<Cavity>> = next
            .iter()
            .filter_map(|n| of.places.get(n.place).map(|p| p.at))
            .collect();
        self.measure = cavities.first().copied();
        if next.is_empty() {
            let words = "No further voltage in this state tells them apart. With the power off, plugs apart and the \
                         fuse out, resistances to chassis and end to end do.";
            self.say(Look::Words, words);
            return cavities;
        }
        self.say(
            Look::Heading,
            "Measure next (up to 60 V DC only, traction made safe; cautions below)",
        );
        for next in next {
            self.say(Look::States, of.leads_words(see, next.place));
            if let Some(usual) = next.usual {
                self.say(Look::Quiet, format!("without a fault {}", usual.words()));
            }
            for (volts, who) in of.shows_words(see, &next) {
                self.say(Look::Words, format!("{volts}: {}", who.join("; ")));
            }
        }
        cavities
    }

    /// What can be chosen: where to measure, the battery, then what is otherwise than without a fault.
    fn choose(&mut self, see: &Snapshot, of: &Signatures, hunt: &Hunt, next: &[Id<Cavity>]) {
        let mut all = Vec::new();
        for cavity in next {
            let name = see.book().cavity_name(*cavity);
            all.push(Choice {
                words: format!("measured at {name}"),
                beside: "choose it, then type the volts".to_owned(),
                put: format!("{name} "),
            });
        }
        if hunt.battery_cv.is_none() {
            all.push(Choice {
                words: "battery at rest".to_owned(),
                beside: "choose it, then type its volts".to_owned(),
                put: "battery ".to_owned(),
            });
        }
        let told = |label: &str| {
            let label = label.to_lowercase();
            let of_state = hunt.said.iter().filter(|said| said.state == of.state);
            of_state
                .into_iter()
                .any(|said| said.text.to_lowercase().starts_with(&label))
        };
        for watched in of.watched.iter().filter(|w| !told(&w.label)) {
            let others = match watched.usual {
                Some(on) => vec![!on],
                None => vec![true, false],
            };
            for on in others {
                let usual = watched.usual.map(|usual| watched.how(usual));
                all.push(Choice {
                    beside: usual.map_or("not told by the plan".to_owned(), |u| {
                        format!("without a fault {u}")
                    }),
                    put: format!("{} {}", watched.label, watched.how(on)),
                    words: watched.words(on),
                });
            }
        }
        self.choices = all;
    }
}
