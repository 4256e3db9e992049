//! `crimpbook suspects`: which single faults fit what the vehicle does and what a meter shows, and where to measure next.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_workbook::{
    analysis::{
        Snapshot,
        suspects::{
            CAUTIONS, Found, Inquiry, Item, Next, NotTyped, PRIOR_WORDS, RUINING_WORDS, Signatures, Suspect,
            in_all, next_places, reading, suspects, symptom,
        },
    },
    check::words::list,
    measure::battery_read,
};
use serde_json::{Value, json};

use super::{Outcome, read, say, volts, wrapped};
use crate::{cli::SuspectsArgs, report::Report, screen::text::count};

/// Lines of suspects that are told; the rest is counted.
const MOST_LINES: usize = 8;
/// Names told of the suspects on one line; the rest is counted.
const MOST_NAMES: usize = 5;
/// Places to measure next that are told.
const MOST_PLACES: usize = 3;

/// Prints who fits.
pub fn run(file: &Path, args: &SuspectsArgs) -> Outcome {
    let opened = read(file)?;
    let see = Snapshot::of(&opened.book);
    let of = volts::state_named(&see, &args.state)?;
    args.battery.map(battery_read).transpose().map_err(Report::user)?;
    let signatures = see
        .signatures(of, args.battery)
        .map_err(|why| Report::user(format!("cannot compute: {}", why.words(see.book()))))?;
    let (inquiry, elsewhere) = asked(&see, &signatures, args)?;
    let found = suspects(&signatures, &inquiry);
    let next = next_places(&signatures, &inquiry, &found, MOST_PLACES);
    let page = Page {
        see: &see,
        of: &signatures,
        found: &found,
        next: &next,
        elsewhere: &elsewhere,
    };
    let empty = inquiry.items().is_empty() && elsewhere.is_empty();
    let text = match (args.json, empty) {
        (true, _) => format!("{:#}", page.json()),
        (false, true) => page.watched(),
        (false, false) => page.whole(),
    };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// What was seen and read in the state, and what that of other states (`CHARGE: fault lamp off`) leaves of each fault; with what that
/// was in words, state by state.
fn asked(see: &Snapshot, of: &Signatures, args: &SuspectsArgs) -> Result<(Inquiry, Vec<Elsewhere>), Report> {
    let wrong = |wrong: NotTyped| Report::user(wrong.what).hint(wrong.hint);
    let mut inquiry = Inquiry::default();
    let mut others: Vec<(Arc<Signatures>, Inquiry)> = Vec::new();
    let symptoms = args.symptom.iter().map(|text| (text, false));
    for (text, reads) in symptoms.chain(args.reading.iter().map(|text| (text, true))) {
        // `brake lamps: off`, as it is shown, names no state.
        let named = text.split_once(':').filter(|_| symptom(of, text).is_err());
        let (state, text) = match named {
            None => (None, text.as_str()),
            Some((state, text)) => (Some(volts::state_named(see, state)?), text),
        };
        let (of, inquiry) = match state.filter(|state| state.state != of.state) {
            None => (of, &mut inquiry),
            Some(state) => {
                let at = match others.iter().position(|(of, _)| of.state == state.state) {
                    Some(at) => at,
                    None => {
                        let of = see.signatures(state, args.battery).map_err(|why| {
                            Report::user(format!("cannot compute: {}", why.words(see.book())))
                        })?;
                        others.push((of, Inquiry::default()));
                        others.len() - 1
                    }
                };
                let Some((of, inquiry)) = others.get_mut(at) else {
                    continue;
                };
                (&**of, inquiry)
            }
        };
        if reads {
            inquiry
                .readings
                .push(reading(see.book(), of, text).map_err(wrong)?);
        } else {
            inquiry.symptoms.push(symptom(of, text).map_err(wrong)?);
        }
    }
    if args.else_usual {
        of.else_usual(&mut inquiry);
    }
    let left = others
        .iter()
        .map(|(of, inquiry)| suspects(of, inquiry).likelihoods(of));
    inquiry.elsewhere = in_all(left);
    let words = |(of, inquiry): &(Arc<Signatures>, Inquiry)| Elsewhere {
        state: see.book().label_of(of.state),
        items: inquiry
            .items()
            .iter()
            .map(|item| of.item_words(see, item))
            .collect(),
    };
    Ok((inquiry, others.iter().map(words).collect()))
}

/// What was seen and read in another state, in words.
struct Elsewhere {
    state: String,
    items: Vec<String>,
}

struct Page<'a> {
    see: &'a Snapshot,
    of: &'a Signatures,
    found: &'a Found,
    next: &'a [Next],
    elsewhere: &'a [Elsewhere],
}

impl Page<'_> {
    /// What can be watched, where nothing was told yet.
    fn watched(&self) -> String {
        let mut lines = vec![format!(
            "{}: what can be seen, heard or read in a unit's own software, and what it does without a fault",
            self.see.book().label_of(self.of.state)
        )];
        for watched in &self.of.watched {
            let usual = watched
                .usual
                .map_or("nobody can say".to_owned(), |on| watched.words(on));
            lines.push(format!("  {usual}"));
        }
        lines.push(wrapped(
            "",
            "Tell what is otherwise with --symptom \"NAME on\" or \"NAME off\", volts with --reading CAVITY=VOLTS.",
        ));
        lines.push(self.untold());
        lines.join("\n")
    }

    fn whole(&self) -> String {
        let mut lines = vec![self.head()];
        lines.extend(self.items());
        lines.extend(self.suspects());
        lines.extend(self.places());
        lines.push(self.untold());
        lines.extend(CAUTIONS.iter().map(|caution| wrapped("caution: ", caution)));
        lines.join("\n")
    }

    fn head(&self) -> String {
        let supply = self.of.supply;
        let label = self.see.book().label_of(self.of.state);
        if supply.read {
            format!("{label}, battery at rest {:.1} V", supply.volts_v)
        } else {
            wrapped(
                "",
                &format!(
                    "{label}, battery not read: anything from {:.1} to {:.1} V is allowed for. Read it at rest and give it with \
                     --battery: then every reading tells more.",
                    supply.least_v, supply.most_v
                ),
            )
        }
    }

    fn items(&self) -> Vec<String> {
        let mut lines = vec!["Seen and read".to_owned()];
        let (mut as_usual, mut told) = (0, Vec::new());
        for item in &self.found.items {
            if matches!(item, Item::Seen(_)) && self.of.is_usual(item) {
                as_usual += 1;
            } else {
                told.push(format!("  {}", self.of.item_words(self.see, item)));
            }
        }
        lines.extend(told);
        if as_usual > 0 {
            lines.push(format!(
                "  {} as without a fault",
                count(as_usual, "thing", "things")
            ));
        }
        let elsewhere = self.elsewhere.iter();
        lines.extend(elsewhere.map(|at| wrapped("  ", &format!("in {}: {}", at.state, at.items.join("; ")))));
        lines
    }

    fn suspects(&self) -> Vec<String> {
        let found = self.found;
        let mut lines = Vec::new();
        if found.as_usual {
            lines.push(wrapped(
                "",
                "All of it is as without a fault in this state. What follows are faults that would not show there.",
            ));
        }
        if found.suspects.is_empty() {
            lines.extend(self.nothing_fits());
        } else {
            lines.push("Single faults that fit, the likeliest first".to_owned());
        }
        for (n, line) in found.lines.iter().take(MOST_LINES).enumerate() {
            let names: Vec<String> = line.suspects.iter().filter_map(|at| self.suspect(*at)).collect();
            let more = names.len().saturating_sub(MOST_NAMES);
            let mut text = names
                .into_iter()
                .take(MOST_NAMES)
                .collect::<Vec<_>>()
                .join("; or ");
            if more > 0 {
                text.push_str(&format!("; or {more} more"));
            }
            if let Some(alike) = line.alike_words() {
                text.push_str(&format!(" ({alike})"));
            }
            let first = line.suspects.first().and_then(|at| found.suspects.get(*at));
            let head = format!("  {:>2}  {:>3.0} %  ", n + 1, line.share * 100.0);
            if let Some(well) = first.and_then(Suspect::how_well) {
                text.push_str(&format!("; {well}"));
            }
            lines.push(wrapped(&head, &text));
        }
        let more = found.lines.len().saturating_sub(MOST_LINES);
        if more > 0 {
            lines.push(format!("      and {more} less likely"));
        }
        if !found.suspects.is_empty() {
            lines.push(wrapped("", PRIOR_WORDS));
        }
        if !found.unfit.is_empty() && !found.suspects.is_empty() {
            lines.push(format!(
                "Ruled out: {}",
                count(found.unfit.len(), "fault", "faults")
            ));
        }
        if !found.cannot.is_empty() {
            let names = found.cannot.iter().map(|at| self.of.fault_words(self.see, *at));
            let why = found
                .cannot
                .first()
                .and_then(|at| self.of.faults.get(*at)?.cannot.clone());
            lines.push(wrapped(
                "cannot compute, not ruled out: ",
                &format!(
                    "{} ({})",
                    list(&names.collect::<Vec<_>>()),
                    why.unwrap_or_default()
                ),
            ));
        }
        if !found.ruining.is_empty() {
            let names = self.of.ruining_words(self.see, &found.ruining);
            lines.push(wrapped("", &format!("{RUINING_WORDS}: {}", names.join("; "))));
        }
        lines
    }

    fn suspect(&self, at: usize) -> Option<String> {
        let suspect = self.found.suspects.get(at)?;
        Some(self.of.fault_words(self.see, suspect.fault))
    }

    fn nothing_fits(&self) -> Vec<String> {
        let found = self.found;
        let mut lines = vec!["No single fault shows all of this.".to_owned()];
        if found.states_apart {
            lines.push("In each state alone some would; none does in all of them.".to_owned());
        }
        for set in &found.contradicting {
            let items: Vec<String> = set
                .iter()
                .filter_map(|at| found.items.get(*at))
                .map(|item| self.of.item_words(self.see, item))
                .collect();
            lines.push(wrapped("  not together: ", &items.join("; ")));
        }
        lines.push(wrapped(
            "",
            "Look at those once more first: a lead that slips reads anything.",
        ));
        if found.states_apart {
            // Two faults are looked for within one state only.
        } else if found.pairs.is_empty() {
            lines.push("No two faults at once show it either.".to_owned());
        } else {
            lines.push("Two faults at once would, each showing its part (not computed together)".to_owned());
        }
        for pair in &found.pairs {
            let [one, other] = pair.faults.map(|at| self.of.fault_words(self.see, at));
            lines.push(wrapped("  ", &format!("{one}, and {other}")));
        }
        let nearest = found.unfit.first().filter(|_| found.pairs.is_empty());
        if let Some(unfit) = nearest {
            let items = unfit.against.iter().filter_map(|at| found.items.get(*at));
            let items: Vec<String> = items.map(|item| self.of.item_words(self.see, item)).collect();
            let words = self.of.fault_words(self.see, unfit.fault);
            lines.push(wrapped(
                "  nearest: ",
                &format!("{words}, against it {}", list(&items)),
            ));
        }
        lines
    }

    fn places(&self) -> Vec<String> {
        if self.found.suspects.is_empty() {
            return Vec::new();
        }
        if self.found.suspects.len() == 1 {
            return vec!["One single fault is left: look there.".to_owned()];
        }
        if self.next.is_empty() {
            return vec![wrapped(
                "",
                "No further voltage in this state tells the suspects apart. With the power off, plugs apart and the fuse out, \
                 resistances to chassis and end to end do.",
            )];
        }
        let mut lines = vec!["Measure next".to_owned()];
        for next in self.next {
            lines.push(wrapped("  ", &self.of.leads_words(self.see, next.place)));
            if let Some(usual) = next.usual {
                lines.push(format!("      without a fault {}", usual.words()));
            }
            for (words, who) in self.of.shows_words(self.see, next) {
                lines.push(wrapped("      ", &format!("{words}: {}", who.join("; "))));
            }
        }
        lines
    }

    fn untold(&self) -> String {
        let mut all = vec![
            "what units do rests on their expressions; a unit without one drives what the state has it drive"
                .to_owned(),
        ];
        if !self.of.assumed.is_empty() {
            all.push(format!("assumed in this state: {}", list(&self.of.assumed)));
        }
        if !self.of.unread.is_empty() {
            all.push(format!("cannot read: {}", self.of.unread.join("; ")));
        }
        all.extend(self.of.unweighed_words());
        wrapped("rests on: ", &all.join(". "))
    }

    fn json(&self) -> Value {
        let (see, of, found) = (self.see, self.of, self.found);
        let fault = |at: usize| of.faults.get(at).map(|f| f.failing.typed(see));
        let items: Vec<String> = found.items.iter().map(|i| of.item_words(see, i)).collect();
        let item = |at: &usize| items.get(*at).cloned();
        let lines = found.lines.iter().map(|line| {
            let all = line.suspects.iter().filter_map(|at| found.suspects.get(*at));
            let all = all.map(|s| {
                json!({"fault": fault(s.fault), "words": of.fault_words(see, s.fault), "share": s.share, "off": s.off})
            });
            json!({"share": line.share, "suspects": all.collect::<Vec<_>>()})
        });
        let next = self.next.iter().map(|next| {
            let shows = of.shows_words(see, next);
            let shows = shows
                .into_iter()
                .map(|(volts, who)| json!({"volts": volts, "suspects": who}));
            json!({
                "cavity": of.place_words(see, next.place),
                "against": of.places.get(next.place).map(|p| p.against_words(see)),
                "bits": next.bits,
                "usual_v": next.usual.map(|w| [w.least_v, w.most_v]),
                "shows": shows.collect::<Vec<_>>(),
            })
        });
        let cannot = found
            .cannot
            .iter()
            .map(|at| json!({"fault": fault(*at), "why": of.faults.get(*at).and_then(|f| f.cannot.clone())}));
        let ruining = found.ruining.iter().map(|at| {
            let why = of
                .faults
                .get(*at)
                .and_then(|f| f.ruins())
                .map(|ruin| ruin.words(see));
            json!({"fault": fault(*at), "why": why})
        });
        let unfit = found.unfit.iter().map(|u| {
            json!({"fault": fault(u.fault), "against": u.against.iter().filter_map(item).collect::<Vec<_>>()})
        });
        let watched = of
            .watched
            .iter()
            .map(|w| json!({"name": w.label, "on_without_fault": w.usual}));
        let elsewhere = self.elsewhere.iter();
        let elsewhere = elsewhere.map(|at| json!({"state": at.state, "seen_and_read": at.items}));
        json!({
            "state": see.book().label_of(of.state),
            "battery": {"volts_v": of.supply.volts_v, "least_v": of.supply.least_v, "most_v": of.supply.most_v, "read": of.supply.read},
            "seen_and_read": items,
            "seen_and_read_elsewhere": elsewhere.collect::<Vec<_>>(),
            "as_without_fault": found.as_usual,
            "lines": lines.collect::<Vec<_>>(),
            "ruled_out": unfit.collect::<Vec<_>>(),
            "cannot_compute": cannot.collect::<Vec<_>>(),
            "ruins_not_ruled_out": ruining.collect::<Vec<_>>(),
            "not_together": found.contradicting.iter().map(|set| set.iter().filter_map(item).collect::<Vec<_>>()).collect::<Vec<_>>(),
            "two_at_once": found.pairs.iter().map(|p| p.faults.map(fault)).collect::<Vec<_>>(),
            "measure_next": next.collect::<Vec<_>>(),
            "watched": watched.collect::<Vec<_>>(),
            "assumed": of.assumed,
            "cannot_read": of.unread,
            "burning_untold": of.unweighed,
            "prior": PRIOR_WORDS,
            "cautions": CAUTIONS,
        })
    }
}
