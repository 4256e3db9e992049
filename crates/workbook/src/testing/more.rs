//! What lies on the shelf, what is written down, what is set.

use super::Bench;
use crate::model::*;

impl Bench {
    /// A drum of wire.
    pub fn drum(&mut self, label: &str, area_mm2: f64, colour: &str, stock_m: f64) -> Id<Drum> {
        self.labelled(label, |id, label| Drum {
            id,
            label,
            area_mm2,
            size_written: String::new(),
            insulation_class_c: None,
            colour: colour.parse().ok(),
            stock_m,
            note: String::new(),
        })
    }

    /// A colour that the house keeps for one use.
    pub fn colour_use(&mut self, purpose: WireUse, colour: &str) -> Id<ColourUse> {
        let id = self.ids.make();
        self.put(ColourUse {
            id,
            purpose,
            colour: colour.parse().ok(),
            note: String::new(),
        })
    }

    /// A terminal number at a place.
    pub fn terminal_number(&mut self, place: &str, number: &str) -> Id<TerminalNumber> {
        let (id, at) = (self.ids.make(), self.terminal(place));
        self.put(TerminalNumber {
            id,
            at,
            number: number.to_owned(),
            note: String::new(),
        })
    }

    /// An expression of a unit's behaviour.
    pub fn expression(&mut self, unit: &str, label: &str, text: &str) -> Id<Expression> {
        let unit = self.unit(unit);
        self.labelled(label, |id, label| Expression {
            id,
            label,
            unit,
            text: text.to_owned(),
            note: String::new(),
        })
    }

    /// A rule that rests on the wiring.
    pub fn rule(&mut self, label: &str, text: &str) -> Id<Rule> {
        self.labelled(label, |id, label| Rule {
            id,
            label,
            words: String::new(),
            text: text.to_owned(),
            rests_on: Rests::Wiring,
            note: String::new(),
        })
    }

    /// A setting of a unit's software, linked to cavities by name.
    pub fn setting(
        &mut self,
        unit: &str,
        label: &str,
        value: &str,
        measure: &str,
        cavities: &[&str],
    ) -> Id<Setting> {
        let cavities = cavities
            .iter()
            .filter_map(|name| match self.end(name) {
                End::Cavity(id) => Some(id),
                _ => None,
            })
            .collect();
        let (unit, id) = (self.unit(unit), self.ids.make());
        self.put(Setting {
            id,
            unit,
            label: label.to_owned(),
            value: value.to_owned(),
            measure: measure.to_owned(),
            role: None,
            least: None,
            most: None,
            default_value: String::new(),
            page: String::new(),
            cavities,
            note: String::new(),
        })
    }

    /// A low-side output.
    pub fn low_side(ohm: f64) -> PartKind {
        PartKind::Output {
            side: OutputSide::LowSide,
            ohm,
            most_a: None,
            peak_a: None,
            peak_s: None,
            clamp: None,
            when: String::new(),
        }
    }
}
