//! Words of fault finding, the same on the command line, the screen and in the record.

use super::{Item, Signatures, Volt, Window};
use crate::analysis::{Snapshot, suppose::fixed};

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

impl Signatures {
    /// An item in words (`MC.ready is off`, `MC-A19 reads 4.90 V`).
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

    /// What a place shows with a look, about, in words.
    pub fn about_words(&self, look: Option<usize>, fault: usize, place: usize) -> String {
        let look = look.and_then(|at| self.faults.get(fault)?.looks.get(at));
        let volt = look.map_or_else(|| self.usual.get(place).copied(), |l| l.volt(place, &self.usual));
        match volt {
            _ if self.places.get(place).is_none_or(|p| p.untold) => "not told".to_owned(),
            Some(Volt::At(v)) => format!("{} V", fixed(f64::from(v), 1)),
            Some(Volt::Between(a, b)) => {
                format!("{} to {} V", fixed(f64::from(a), 1), fixed(f64::from(b), 1))
            }
            Some(Volt::Floats) => "floats, about 0 V".to_owned(),
            None => "not told".to_owned(),
        }
    }
}
