//! Words of fault finding, the same on the command line, the screen and in the record.

use super::{Found, Item, Line, Next, Signatures, Suspect, Window};
use crate::{
    analysis::{Snapshot, suppose::fixed},
    model::{Cavity, Connector, View},
};

/// To be shown wherever a person is sent to measure.
pub const CAUTIONS: &[&str] = &[
    "Measure control wiring up to 60 V DC only. Traction wiring, its insulation and what belongs to the mains are for people \
     licensed for it; orange cables stay untouched.",
    "Vehicle chocked or on stands, nobody in line, traction disconnected as its manual says before anything can move or a \
     contactor can close; hands and leads clear of fans, pumps and belts.",
    "Probe from the wire's side; a lead pushed into a contact spreads it, and one that slips joins two cavities.",
    "A suspect is no proof: look at the place, mend it, and measure again. The units' manuals win.",
];

impl Window {
    /// In words (`11.9 to 12.7 V`).
    pub fn words(&self) -> String {
        format!("{} to {} V", fixed(self.least_v, 1), fixed(self.most_v, 1))
    }
}

impl Line {
    /// What is to be said of a line with more than one suspect; none: it has one.
    pub fn alike_words(&self) -> Option<String> {
        let count = self.suspects.len();
        (count > 1).then(|| {
            format!("these {count} cannot be told apart by volts; resistance with the power off tells")
        })
    }
}

impl Suspect {
    /// How well the readings fit it, in words; none: nothing was read.
    pub fn how_well(&self) -> Option<&'static str> {
        Some(match self.off? {
            off if off < 0.35 => "readings fit well",
            off if off < 0.7 => "readings fit",
            _ => "readings fit barely",
        })
    }
}

impl Signatures {
    /// An item in words (`MC.ready: off`, `MC-A19 reads 4.90 V`).
    pub fn item_words(&self, see: &Snapshot, item: &Item) -> String {
        match item {
            Item::Seen(symptom) => self
                .watched
                .get(symptom.watched)
                .map_or_else(String::new, |w| w.words(symptom.on)),
            Item::Read(place, volts) => {
                format!("{} reads {} V", self.place_words(see, *place), fixed(*volts, 2))
            }
        }
    }

    /// The name of a place.
    pub fn place_words(&self, see: &Snapshot, place: usize) -> String {
        self.places
            .get(place)
            .map_or_else(String::new, |p| see.book().cavity_name(p.at))
    }

    /// What a fault is, in words.
    pub fn fault_words(&self, see: &Snapshot, fault: usize) -> String {
        self.faults
            .get(fault)
            .map_or_else(String::new, |f| f.failing.words(see))
    }

    /// The suspects on one line, the likeliest first, the rest beyond `most` counted (`W39 comes off or W40 comes off`).
    pub fn line_words(&self, see: &Snapshot, found: &Found, line: &Line, most: usize) -> String {
        let named = line.suspects.iter().take(most);
        let named = named.filter_map(|at| Some(self.fault_words(see, found.suspects.get(*at)?.fault)));
        let mut words = named.collect::<Vec<_>>().join(" or ");
        if line.suspects.len() > most {
            words.push_str(&format!(" or {} more", line.suspects.len() - most));
        }
        words
    }

    /// Where both leads go (`MC-A14 FORWARD, wire side: row 2, place 1 from the left; bar at 1; against MC-A4, the unit's own
    /// ground`).
    pub fn leads_words(&self, see: &Snapshot, place: usize) -> String {
        let Some(place) = self.places.get(place) else {
            return String::new();
        };
        let book = see.book();
        let cavity: Option<&Cavity> = book.get(place.at);
        let function = cavity.map_or("", |c| c.name.as_str());
        let mut words = format!("{} {function}", book.cavity_name(place.at))
            .trim_end()
            .to_owned();
        let connector: Option<&Connector> = cavity.and_then(|c| book.get(c.connector));
        if let Some((cavity, connector)) = cavity.zip(connector) {
            let whereabouts = book
                .face_of(connector.id)
                .whereabouts(&cavity.number, View::WireSide);
            if !whereabouts.is_empty() {
                words.push_str(&format!(", seen from the wire's side {whereabouts}"));
            }
        }
        words.push_str(&format!("; other lead on {}", place.against_words(see)));
        if place.against != crate::model::End::Free && place.is_own_ground(see) {
            words.push_str(", the unit's own ground");
        }
        words
    }

    /// What the likeliest suspects would show, those that show the same together: volts, and who.
    pub fn shows_words(&self, see: &Snapshot, next: &Next) -> Vec<(String, Vec<String>)> {
        let mut all: Vec<(Window, Vec<String>)> = Vec::new();
        let mut untold = Vec::new();
        for shows in &next.shows {
            let name = self.fault_words(see, shows.fault);
            for window in &shows.windows {
                let Some(window) = window else {
                    untold.push(name.clone());
                    continue;
                };
                let near = |(other, _): &&mut (Window, Vec<String>)| {
                    other.holds(window.middle()) && window.holds(other.middle())
                };
                match all.iter_mut().find(near) {
                    Some((_, who)) if who.contains(&name) => {}
                    Some((_, who)) => who.push(name.clone()),
                    None => all.push((*window, vec![name.clone()])),
                }
            }
        }
        let mut all: Vec<(String, Vec<String>)> = all.into_iter().map(|(w, who)| (w.words(), who)).collect();
        if !untold.is_empty() {
            all.push(("cannot be told".to_owned(), untold));
        }
        all
    }
}
