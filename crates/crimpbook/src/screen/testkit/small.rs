//! A small fixed book: a controller with a 12-way plug, a panel, a splice, a stud, five wires.

use super::*;

/// Makes records by names.
#[derive(Debug)]
pub struct Maker {
    tables: Tables,
    ids: IdMaker,
}

impl Maker {
    /// With the vehicle's page.
    pub fn new() -> Self {
        let mut maker = Self {
            tables: Tables::default(),
            ids: IdMaker::new(3),
        };
        let id = maker.ids.make();
        maker.put(About {
            id,
            vehicle: "Bench Cart".to_owned(),
            purpose: "a cart on the bench".to_owned(),
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
            service: crimpbook_workbook::model::ServiceNotes::default(),
        });
        maker
    }

    /// Puts a record in.
    pub fn put<R: Row>(&mut self, row: R) -> Id<R> {
        let id = row.id();
        self.tables.put(row.into_record());
        id
    }

    /// The book.
    pub fn book(self) -> Book {
        Book::from_tables(self.tables, None)
    }

    /// A unit.
    pub fn unit(&mut self, label: &str, name: &str) -> Id<Unit> {
        let id = self.ids.make();
        self.put(Unit {
            id,
            label: label.to_owned(),
            name: name.to_owned(),
            zone: None,
            manual: None,
            serial: String::new(),
            firmware: String::new(),
            supply_note: String::new(),
            note: String::new(),
        })
    }

    /// A connector with cavities 1 to `count`.
    pub fn connector(&mut self, unit: Id<Unit>, label: &str, face: &str, count: usize) -> Vec<Id<Cavity>> {
        let connector = self.ids.make();
        self.put(Connector {
            id: connector,
            unit,
            label: label.to_owned(),
            name: String::new(),
            sealed: Some(true),
            face: face.to_owned(),
            pin_plating: None,
            keying: String::new(),
            couples_to: None,
            single_steps: false,
            note: String::new(),
        });
        (1..=count)
            .map(|number| {
                let id = self.ids.make();
                self.put(Cavity {
                    id,
                    connector,
                    number: number.to_string(),
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
            })
            .collect()
    }

    /// Changes a record.
    pub fn edit<R: Row>(&mut self, id: Id<R>, change: impl FnOnce(&mut R)) {
        change(R::table_mut(&mut self.tables).get_mut(&id).unwrap());
    }

    /// Describes a cavity.
    pub fn cavity(&mut self, id: Id<Cavity>, name: &str, kind: SignalKind, decision: Decision, why: &str) {
        self.edit(id, |cavity| {
            cavity.name = name.to_owned();
            cavity.kind = Some(kind);
            cavity.decision = decision;
            cavity.why = why.to_owned();
        });
    }

    /// A splice or stud.
    pub fn junction(&mut self, label: &str, kind: JunctionKind) -> Id<Junction> {
        let id = self.ids.make();
        self.put(Junction {
            id,
            label: label.to_owned(),
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
        })
    }

    /// A wire.
    pub fn wire(
        &mut self,
        label: &str,
        signal: &str,
        from: End,
        to: End,
        colour: &str,
        area_mm2: f64,
    ) -> Id<Wire> {
        let id = self.ids.make();
        self.put(Wire {
            id,
            label: label.to_owned(),
            signal: signal.to_owned(),
            from,
            to,
            area_mm2: Some(area_mm2),
            size_written: String::new(),
            size_table: None,
            insulation_class_c: None,
            colour: Some(colour.parse().unwrap()),
            length_m: Some(1.5),
            bundle: None,
            pair: String::new(),
            inline_fuse: None,
            fuse: None,
            nominal_v: Some(12.0),
            typical_a: Some(0.5),
            peak_a: None,
            drop_limit_v: None,
            note: String::new(),
        })
    }

    /// A fuse.
    pub fn fuse(&mut self, label: &str, rating_a: f64, feeds: &str) -> Id<Fuse> {
        let id = self.ids.make();
        self.put(Fuse {
            id,
            label: label.to_owned(),
            rating_a,
            kind: FuseKind::Blade,
            feeds: feeds.to_owned(),
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

    /// A build step done.
    pub fn step(&mut self, of: Built, step: Step, hours_ago: i64) {
        let id = self.ids.make();
        self.put(StepDone {
            id,
            of,
            step,
            outcome: Outcome::Done,
            at: moment() - TimeDelta::hours(hours_ago),
            who: "A.".to_owned(),
            note: String::new(),
            rested_on: Vec::new(),
            redo: None,
        });
    }
}

/// The small book.
pub fn book() -> Book {
    let mut m = Maker::new();
    let mc = m.unit("MC", "motor controller");
    let di = m.unit("DI", "dash panel");
    let a = m.connector(
        mc,
        "MC-A",
        "rows 6 6 staggered, from lower left, mark at 1, seen from mating side",
        12,
    );
    let d = m.connector(di, "DI-A", "", 4);
    use Decision as D;
    use SignalKind as K;
    m.cavity(a[0], "KEEP ALIVE", K::LogicSupply, D::Wired, "memory and clock");
    m.cavity(a[1], "KEY", K::LogicSupply, D::Wired, "");
    m.cavity(a[2], "GND", K::Ground, D::Wired, "");
    m.cavity(a[3], "FORWARD", K::DigitalInHigh, D::Wired, "");
    m.cavity(a[4], "REVERSE", K::DigitalInHigh, D::Undecided, "");
    m.cavity(
        a[5],
        "ECONOMY",
        K::DigitalInBare,
        D::Bridged { to: a[2] },
        "a defined level",
    );
    m.cavity(a[6], "SPARE", K::NotConnected, D::Blank, "nothing inside");
    m.cavity(
        a[7],
        "BRAKE PRESSURE",
        K::AnalogueIn,
        D::Reserved,
        "sensor comes later",
    );
    m.cavity(a[8], "LOCK", K::Motor, D::NotOurs, "donor loom");
    m.cavity(d[0], "key feed", K::SwitchFeed, D::Wired, "");
    m.cavity(d[1], "RUN", K::SwitchContact, D::Wired, "");
    m.cavity(d[2], "forward", K::SwitchContact, D::Wired, "");
    let splice = m.junction("SP1", JunctionKind::Splice);
    let ground = m.junction("G1", JunctionKind::GroundStud);
    m.fuse("F1", 5.0, "controller keep-alive");
    let end = |at: usize| End::Cavity(a[at]);
    let dash = |at: usize| End::Cavity(d[at]);
    let w1 = m.wire("W1", "keep-alive", End::Junction(splice), end(0), "RD/WH", 0.5);
    m.wire("W2", "key", dash(1), end(1), "YE", 0.5);
    m.wire("W3", "ground", end(2), End::Junction(ground), "BK", 1.5);
    m.wire("W44", "forward", dash(2), end(3), "WH/GN", 0.35);
    m.wire("W45", "key feed", End::Junction(splice), dash(0), "RD", 0.75);
    m.step(Built::Wire(w1), Step::Cut, 80);
    for end in [WireEnd::From, WireEnd::To] {
        m.step(Built::End { wire: w1, end }, Step::Insert, 73);
    }
    m.book()
}
