//! Small workbooks for tests, built by names.

mod more;
mod vehicle;

use std::sync::Arc;

pub(crate) use vehicle::{DEMO, demo};

use crate::{Book, analysis::Snapshot, model::*};

/// Builds a small workbook; what is named and not there is made.
pub(crate) struct Bench {
    tables: Tables,
    ids: IdMaker,
}

impl Bench {
    /// Empty, but for the book's own page: 12.6 V nominal.
    pub fn new() -> Self {
        let mut bench = Self {
            tables: Tables::default(),
            ids: IdMaker::new(7),
        };
        let about = About {
            id: bench.ids.make(),
            vehicle: "test bench".to_owned(),
            purpose: String::new(),
            supply: Supply {
                least_v: 10.5,
                nominal_v: 12.6,
                most_v: 14.4,
            },
            reference: None,
            size_table: SizeTable::Iso6722,
            insulation_class_c: Some(105.0),
            insulation: "PVC".to_owned(),
            colour_custom: String::new(),
            service_note: String::new(),
            service: ServiceNotes::default(),
        };
        bench.put(about);
        bench
    }

    /// The book so far.
    pub fn book(&self) -> Book {
        Book::from_tables(self.tables.clone(), None)
    }

    /// A snapshot of the book so far.
    pub fn snapshot(&self) -> Snapshot {
        Snapshot::new(Arc::new(self.book()))
    }

    /// What a check says it misses, in its order.
    pub fn missing_for(&self, check: &str) -> Vec<String> {
        let report = crate::check::run_without_mends(&self.snapshot());
        let missing = report
            .cannot_check
            .into_iter()
            .filter(|c| c.checks.contains(&check));
        missing.map(|c| c.missing).collect()
    }

    /// Puts a record in.
    pub fn put<R: Row>(&mut self, row: R) -> Id<R> {
        let id = row.id();
        R::table_mut(&mut self.tables).insert(id, row);
        id
    }

    /// Changes a record.
    pub fn edit<R: Row>(&mut self, id: Id<R>, change: impl FnOnce(&mut R)) {
        change(
            R::table_mut(&mut self.tables)
                .get_mut(&id)
                .expect("a record of the bench"),
        );
    }

    /// The record of this label that is already there.
    pub fn named<R: Row>(&self, label: &str) -> Id<R> {
        let found = R::table(&self.tables).values().find(|r| r.label() == label);
        found.map(Row::id).expect("a record of the bench")
    }

    fn labelled<R: Row>(&mut self, label: &str, make: impl FnOnce(Id<R>, String) -> R) -> Id<R> {
        let found = R::table(&self.tables)
            .values()
            .find(|r| r.label() == label)
            .map(Row::id);
        found.unwrap_or_else(|| {
            let id = self.ids.make();
            self.put(make(id, label.to_owned()))
        })
    }

    /// A unit by label.
    pub fn unit(&mut self, label: &str) -> Id<Unit> {
        self.labelled(label, |id, label| Unit {
            id,
            name: label.clone(),
            label,
            zone: None,
            manual: None,
            serial: String::new(),
            firmware: String::new(),
            supply_note: String::new(),
            note: String::new(),
        })
    }

    /// A connector by label; its unit is the part before the hyphen.
    pub fn connector(&mut self, label: &str) -> Id<Connector> {
        let unit = self.unit(label.split('-').next().unwrap_or(label));
        self.labelled(label, |id, label| Connector {
            id,
            unit,
            label,
            name: String::new(),
            sealed: None,
            face: String::new(),
            pin_plating: None,
            keying: String::new(),
            couples_to: None,
            single_steps: false,
            note: String::new(),
        })
    }

    /// A cavity by its connector's label and its number.
    pub fn cavity(&mut self, connector: &str, number: &str) -> Id<Cavity> {
        let connector = self.connector(connector);
        let there = self
            .tables
            .cavities
            .values()
            .find(|c| c.connector == connector && c.number == number);
        if let Some(cavity) = there {
            return cavity.id;
        }
        let id = self.ids.make();
        self.put(Cavity {
            id,
            connector,
            number: number.to_owned(),
            unit_number: String::new(),
            name: String::new(),
            kind: None,
            limits: Limits::default(),
            contact: None,
            decision: Decision::Undecided,
            why: String::new(),
            plug: false,
            page: String::new(),
            note: String::new(),
        })
    }

    /// A cavity, splice or stud by name: `MC-A5` is a cavity, `SP3` a splice, `G2` a ground stud, anything else a stud.
    pub fn end(&mut self, name: &str) -> End {
        if name.contains('-') {
            let connector = name.trim_end_matches(|c: char| c.is_ascii_digit());
            return End::Cavity(self.cavity(connector, name.trim_start_matches(connector)));
        }
        let kind = match name.as_bytes() {
            [b'S', b'P', ..] => JunctionKind::Splice,
            [b'G', ..] => JunctionKind::GroundStud,
            _ => JunctionKind::Stud,
        };
        End::Junction(self.labelled(name, |id, label| Junction {
            id,
            label,
            kind,
            unit: None,
            zone: None,
            joint_ohm: None,
            sleeve_least_mm2: None,
            sleeve_most_mm2: None,
            clear_m: None,
            sealed: None,
            flexes: None,
            torque_nm: None,
            place: String::new(),
            note: String::new(),
        }))
    }

    /// As [`Bench::end`]; `PB case` is a node inside a unit.
    pub fn terminal(&mut self, name: &str) -> Terminal {
        match name.split_once(' ') {
            Some((unit, node)) => Terminal::Inner {
                unit: self.unit(unit),
                node: node.to_owned(),
            },
            None => match self.end(name) {
                End::Cavity(id) => Terminal::Cavity(id),
                End::Junction(id) => Terminal::Junction(id),
                End::Free => unreachable!("a name is never a free end"),
            },
        }
    }

    /// A wire; its cavities become wired.
    pub fn wire(&mut self, label: &str, from: &str, to: &str, area_mm2: f64, length_m: f64) -> Id<Wire> {
        let (from, to) = (self.end(from), self.end(to));
        for end in [from, to] {
            if let End::Cavity(id) = end {
                self.edit(id, |c: &mut Cavity| c.decision = Decision::Wired);
            }
        }
        self.labelled(label, |id, label| Wire {
            id,
            label,
            signal: String::new(),
            from,
            to,
            area_mm2: Some(area_mm2),
            size_written: String::new(),
            size_table: None,
            insulation_class_c: None,
            colour: None,
            length_m: Some(length_m),
            bundle: None,
            pair: String::new(),
            inline_fuse: None,
            fuse: None,
            nominal_v: None,
            typical_a: None,
            peak_a: None,
            drop_limit_v: None,
            note: String::new(),
        })
    }

    /// Chassis metal.
    pub fn chassis(&mut self, from: &str, to: &str, resistance_ohm: f64) -> Id<ChassisPath> {
        let (from, to, id) = (self.terminal(from), self.terminal(to), self.ids.make());
        self.put(ChassisPath {
            id,
            from,
            to,
            resistance_ohm,
            note: String::new(),
        })
    }

    /// A zone with its ambient.
    pub fn zone(&mut self, label: &str, ambient_c: f64) -> Id<Zone> {
        self.labelled(label, |id, label| Zone {
            id,
            label,
            ambient_c: Some(ambient_c),
            wet: false,
            plan: None,
            note: String::new(),
        })
    }

    /// A bundle with the builder's factor.
    pub fn bundle(&mut self, label: &str, factor: Option<f64>) -> Id<Bundle> {
        self.labelled(label, |id, label| Bundle {
            id,
            label,
            factor,
            traction_m: None,
            note: String::new(),
        })
    }

    /// A blade fuse.
    pub fn fuse(&mut self, label: &str, rating_a: f64) -> Id<Fuse> {
        self.labelled(label, |id, label| Fuse {
            id,
            label,
            rating_a,
            kind: FuseKind::Blade,
            feeds: String::new(),
            holder: String::new(),
            zone: None,
            melting_a2s: None,
            cold_ohm: None,
            rated_v: None,
            breaking_a: None,
            ambient_factor: None,
            note: String::new(),
        })
    }

    /// A contact family that takes wires from `least_mm2` to `most_mm2`.
    pub fn contact_family(&mut self, label: &str, least_mm2: f64, most_mm2: f64) -> Id<ContactFamily> {
        self.labelled(label, |id, label| ContactFamily {
            id,
            label,
            least_mm2: Some(least_mm2),
            most_mm2: Some(most_mm2),
            seal_least_mm: None,
            seal_most_mm: None,
            resistance_ohm: None,
            plating: None,
            most_a: None,
            strip_mm: None,
            note: String::new(),
        })
    }

    /// An operating state with nothing told.
    pub fn state(&mut self, label: &str) -> Id<State> {
        self.labelled(label, |id, label| State {
            id,
            label,
            order: 0,
            words: String::new(),
            supply_v: None,
            switches: Vec::new(),
            parts: Vec::new(),
        })
    }

    /// Puts a part into a position in a state.
    pub fn set(&mut self, state: Id<State>, part: Id<Part>, position: PartPosition) {
        self.edit(state, |s: &mut State| {
            s.parts.push(PartSetting {
                part,
                position,
                assumed: false,
            });
        });
    }

    /// A switch; the first position is at rest.
    pub fn switch(&mut self, label: &str, positions: &[&str]) -> Id<Switch> {
        self.labelled(label, |id, label| Switch {
            id,
            label,
            kind: SwitchKind::Switch,
            positions: positions.iter().map(|p| (*p).to_owned()).collect(),
            unit: None,
            note: String::new(),
        })
    }

    /// An inside part between terminals; it belongs to the unit of the first of them that has one.
    pub fn part(&mut self, label: &str, kind: PartKind, ends: &[&str]) -> Id<Part> {
        let ends: Vec<Terminal> = ends.iter().map(|end| self.terminal(end)).collect();
        let connectors = &self.tables.connectors;
        let unit = ends.iter().find_map(|end| match end {
            Terminal::Cavity(id) => connectors
                .get(&self.tables.cavities.get(id)?.connector)
                .map(|c| c.unit),
            Terminal::Inner { unit, .. } => Some(*unit),
            Terminal::Junction(_) => None,
        });
        let unit = unit.unwrap_or_else(|| self.unit("AB"));
        self.labelled(label, |id, label| Part {
            id,
            unit,
            label,
            kind,
            ends,
            drop_limit_v: None,
            note: String::new(),
        })
    }

    /// A source that follows the supply.
    pub fn battery(&mut self) -> Id<Part> {
        let source = PartKind::Source {
            volts_v: None,
            ohm: 0.011,
            limit_a: None,
            switched: false,
            when: String::new(),
        };
        self.part("battery", source, &["BP", "BN"])
    }

    /// A fuse in its way.
    pub fn fuse_way(&mut self, fuse: &str, rating_a: f64, supply: &str, load: &str) -> Id<Fuse> {
        let id = self.fuse(fuse, rating_a);
        self.part(
            &format!("{fuse} way"),
            PartKind::FuseWay { fuse: id },
            &[supply, load],
        );
        id
    }

    /// A resistor.
    pub fn resistor(&mut self, label: &str, ohm: f64, ends: &[&str]) -> Id<Part> {
        self.part(label, PartKind::Resistor { ohm }, ends)
    }

    /// A load of constant current above 8 V.
    pub fn load(&mut self, label: &str, current_a: f64, ends: &[&str]) -> Id<Part> {
        let load = PartKind::Load {
            mode: LoadMode::Current { current_a },
            least_v: Some(8.0),
            inrush_a: None,
            inrush_s: None,
            asleep_a: None,
        };
        self.part(label, load, ends)
    }

    /// A coil with a diode.
    pub fn coil(ohm: f64, pull_in_v: f64) -> PartKind {
        PartKind::Coil {
            ohm,
            pull_in_v: Some(pull_in_v),
            drop_out_v: Some(2.0),
            hold_a: None,
            pull_in_s: None,
            suppression: Some(Suppression::Diode),
            polarised: false,
        }
    }

    /// A contact of 10 mΩ.
    pub fn contact(form: ContactForm, driver: Driver) -> PartKind {
        PartKind::Contact {
            ohm: 0.01,
            form,
            driver,
            most_a: None,
            least_a: None,
        }
    }
}
