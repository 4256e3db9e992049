//! The table: every field of every kind of record but its id, with its columns.

use crimpbook_workbook::model::Kind;

use super::shape::{Field, Form, List, Part, Shape, flag, json, list, nested, part, plain};

/// The fields of a kind of record, without `id`.
pub(super) fn fields(kind: Kind) -> &'static [Field] {
    match kind {
        Kind::About => ABOUT,
        Kind::Zone => ZONE,
        Kind::Bundle => BUNDLE,
        Kind::ContactFamily => CONTACT_FAMILY,
        Kind::Unit => UNIT,
        Kind::Connector => CONNECTOR,
        Kind::Cavity => CAVITY,
        Kind::Junction => JUNCTION,
        Kind::ChassisPath => CHASSIS_PATH,
        Kind::Fuse => FUSE,
        Kind::Switch => SWITCH,
        Kind::Part => PART,
        Kind::Wire => WIRE,
        Kind::State => STATE,
        Kind::Expression => EXPRESSION,
        Kind::Rule => RULE,
        Kind::Setting => SETTING,
        Kind::Trial => TRIAL,
        Kind::FirstRun => FIRST_RUN,
        Kind::Candidate => CANDIDATE,
        Kind::StepDone => STEP_DONE,
        Kind::Reading => READING,
        Kind::Acceptance => ACCEPTANCE,
        Kind::TemporaryLink => TEMPORARY_LINK,
        Kind::FileNote => FILE_NOTE,
        Kind::Drum => DRUM,
        Kind::StockLine => STOCK_LINE,
        Kind::ColourUse => COLOUR_USE,
        Kind::TerminalNumber => TERMINAL_NUMBER,
        Kind::FaultFinding => FAULT_FINDING,
    }
}

const ABOUT: &[Field] = &[
    plain("vehicle"),
    plain("purpose"),
    nested!("supply": "least_v", "nominal_v", "most_v"),
    plain("reference"),
    plain("size_table"),
    plain("insulation_class_c"),
    plain("insulation"),
    plain("colour_custom"),
    plain("service_note"),
    nested!("service": "disconnect", "towing", "flat", "lamps", "spares", "quirks", "papers"),
];

const ZONE: &[Field] = &[
    plain("label"),
    plain("ambient_c"),
    flag("wet"),
    nested!("plan": "from_front_pct", "from_left_pct"),
    plain("note"),
];

const BUNDLE: &[Field] = &[
    plain("label"),
    plain("factor"),
    plain("traction_m"),
    plain("note"),
];

const CONTACT_FAMILY: &[Field] = &[
    plain("label"),
    plain("least_mm2"),
    plain("most_mm2"),
    plain("seal_least_mm"),
    plain("seal_most_mm"),
    plain("resistance_ohm"),
    plain("plating"),
    plain("most_a"),
    plain("strip_mm"),
    plain("note"),
];

const UNIT: &[Field] = &[
    plain("label"),
    plain("name"),
    plain("zone"),
    nested!("manual": "title", "revision"),
    plain("serial"),
    plain("firmware"),
    plain("supply_note"),
    plain("note"),
];

const CONNECTOR: &[Field] = &[
    plain("unit"),
    plain("label"),
    plain("name"),
    flag("sealed"),
    plain("face"),
    plain("pin_plating"),
    plain("keying"),
    plain("couples_to"),
    flag("single_steps"),
    plain("note"),
];

const CAVITY: &[Field] = &[
    plain("connector"),
    plain("number"),
    plain("unit_number"),
    plain("name"),
    plain("kind"),
    nested!("limits": "on_above_v", "off_below_v", "on_below_v", "off_above_v", "most_v", "most_a", "peak_a", "peak_s",
        "least_a", "pull" / "to", "pull" / "ohm", "release_s", "rest_v", "full_v",
        "sensor_ohm", "sensor_at_c", "sensor_tolerance_pct", "sensor_pct_per_k"),
    plain("contact"),
    Field {
        name: "decision",
        shape: Shape::Many(
            &[
                part("decision", &[], Form::Word),
                part("bridged_to", &["bridged", "to"], Form::Plain),
            ],
            None,
        ),
    },
    plain("why"),
    flag("plug"),
    plain("page"),
    plain("note"),
];

const JUNCTION: &[Field] = &[
    plain("label"),
    plain("kind"),
    plain("unit"),
    plain("zone"),
    plain("joint_ohm"),
    plain("sleeve_least_mm2"),
    plain("sleeve_most_mm2"),
    plain("clear_m"),
    flag("sealed"),
    flag("flexes"),
    plain("torque_nm"),
    plain("place"),
    plain("note"),
];

const CHASSIS_PATH: &[Field] = &[
    nested!("from": "cavity", "junction", "inner" / "unit", "inner" / "node"),
    nested!("to": "cavity", "junction", "inner" / "unit", "inner" / "node"),
    plain("resistance_ohm"),
    plain("note"),
];

const FUSE: &[Field] = &[
    plain("label"),
    plain("rating_a"),
    plain("kind"),
    plain("feeds"),
    plain("holder"),
    plain("zone"),
    plain("melting_a2s"),
    plain("cold_ohm"),
    plain("rated_v"),
    plain("breaking_a"),
    plain("ambient_factor"),
    plain("note"),
];

const SWITCH: &[Field] = &[
    plain("label"),
    plain("kind"),
    json("positions"),
    plain("unit"),
    plain("note"),
];

const PART: &[Field] = &[
    plain("unit"),
    plain("label"),
    Field {
        name: "kind",
        shape: Shape::Many(
            &[
                part("kind", &[], Form::Word),
                part("fuse", &["fuse_way", "fuse"], Form::Plain),
                part(
                    "driver_switch",
                    &["contact", "driver", "switch", "switch"],
                    Form::Plain,
                ),
                part("driver_coil", &["contact", "driver", "coil", "part"], Form::Plain),
                part("figures", &[], Form::Figures),
            ],
            None,
        ),
    },
    list(
        "ends",
        &List {
            table: "part_ends",
            owner: "part",
            parts: &[
                part("cavity", &["cavity"], Form::Plain),
                part("junction", &["junction"], Form::Plain),
                part("inner_unit", &["inner", "unit"], Form::Plain),
                part("inner_node", &["inner", "node"], Form::Plain),
            ],
        },
    ),
    plain("drop_limit_v"),
    plain("note"),
];

const WIRE: &[Field] = &[
    plain("label"),
    plain("signal"),
    nested!("from": "cavity", "junction"; otherwise "free"),
    nested!("to": "cavity", "junction"; otherwise "free"),
    plain("area_mm2"),
    plain("size_written"),
    plain("size_table"),
    plain("insulation_class_c"),
    plain("colour"),
    plain("length_m"),
    plain("bundle"),
    plain("pair"),
    nested!("inline_fuse": "fuse", "from_end_m"),
    plain("fuse"),
    plain("nominal_v"),
    plain("typical_a"),
    plain("peak_a"),
    plain("drop_limit_v"),
    plain("note"),
];

const STATE: &[Field] = &[
    plain("label"),
    plain("order"),
    plain("words"),
    plain("supply_v"),
    list(
        "switches",
        &List {
            table: "state_switches",
            owner: "state",
            parts: &[
                part("switch", &["switch"], Form::Plain),
                part("position", &["position"], Form::Plain),
            ],
        },
    ),
    list(
        "parts",
        &List {
            table: "state_parts",
            owner: "state",
            parts: &[
                part("part", &["part"], Form::Plain),
                part("position", &["position"], Form::Word),
                part("travel", &["position", "travel"], Form::Plain),
                part("assumed", &["assumed"], Form::Flag),
            ],
        },
    ),
];

const EXPRESSION: &[Field] = &[plain("label"), plain("unit"), plain("text"), plain("note")];

const RULE: &[Field] = &[
    plain("label"),
    plain("words"),
    plain("text"),
    plain("rests_on"),
    plain("note"),
];

const SETTING: &[Field] = &[
    plain("unit"),
    plain("label"),
    plain("value"),
    plain("measure"),
    plain("role"),
    plain("least"),
    plain("most"),
    plain("default_value"),
    plain("page"),
    list(
        "cavities",
        &List {
            table: "setting_cavities",
            owner: "setting",
            parts: &[part("cavity", &[], Form::Plain)],
        },
    ),
    plain("note"),
];

const TRIAL: &[Field] = &[
    plain("at"),
    plain("who"),
    plain("place"),
    plain("conditions"),
    plain("words"),
    plain("changed"),
    plain("why"),
    list(
        "settings",
        &List {
            table: "trial_settings",
            owner: "trial",
            parts: &[
                part("setting", &["setting"], Form::Plain),
                part("unit", &["unit"], Form::Plain),
                part("label", &["label"], Form::Plain),
                part("value", &["value"], Form::Plain),
                part("measure", &["measure"], Form::Plain),
            ],
        },
    ),
    plain("felt"),
    list(
        "marks",
        &List {
            table: "trial_marks",
            owner: "trial",
            parts: &[
                part("name", &["name"], Form::Plain),
                part("mark", &["mark"], Form::Plain),
            ],
        },
    ),
    list(
        "peaks",
        &List {
            table: "trial_peaks",
            owner: "trial",
            parts: &[
                part("name", &["name"], Form::Plain),
                part("value", &["value"], Form::Plain),
                part("measure", &["measure"], Form::Plain),
            ],
        },
    ),
    plain("faults"),
    plain("next"),
];

const FIRST_RUN: &[Field] = &[
    plain("step"),
    plain("at"),
    plain("who"),
    plain("revision"),
    plain("note"),
];

const CANDIDATE: &[Field] = &[
    plain("sink"),
    plain("source"),
    plain("words"),
    plain("verdict"),
    plain("why"),
];

const STEP_DONE: &[Field] = &[
    nested!("of": "wire", "end" / "wire", "end" / "end", "connector", "junction"),
    plain("step"),
    plain("outcome"),
    plain("at"),
    plain("who"),
    plain("note"),
    json("rested_on"),
    plain("redo"),
];

const READING: &[Field] = &[
    plain("test"),
    plain("at_cavity"),
    nested!("against": "cavity", "junction"; otherwise "free"),
    plain("state"),
    nested!("held": "switch", "position"),
    plain("value"),
    plain("measure"),
    plain("expected_least"),
    plain("expected_most"),
    plain("current_a"),
    plain("leads_ohm"),
    plain("taken"),
    plain("who"),
    plain("meter"),
    plain("note"),
    json("rested_on"),
    plain("lapsed"),
];

const ACCEPTANCE: &[Field] = &[
    plain("check"),
    list(
        "places",
        &List {
            table: "acceptance_places",
            owner: "acceptance",
            parts: &[
                part("kind", &["kind"], Form::Plain),
                part("id", &["id"], Form::Plain),
            ],
        },
    ),
    plain("why"),
    plain("figure"),
    plain("at"),
    plain("who"),
    json("rested_on"),
    plain("lapsed"),
];

const TEMPORARY_LINK: &[Field] = &[
    nested!("from": "cavity", "junction"; otherwise "free"),
    nested!("to": "cavity", "junction"; otherwise "free"),
    plain("words"),
    plain("why"),
    plain("at"),
];

const FILE_NOTE: &[Field] = &[
    plain("name"),
    nested!("of": "kind", "id"),
    plain("note"),
    plain("at"),
    plain("who"),
];

const FAULT_FINDING: &[Field] = &[
    plain("at"),
    plain("who"),
    plain("battery_v"),
    list(
        "said",
        &List {
            table: "fault_finding_said",
            owner: "fault_finding",
            parts: &[
                part("state", &["state"], Form::Plain),
                part("words", &["words"], Form::Plain),
            ],
        },
    ),
    plain("suspects"),
    flag("found"),
    plain("outcome"),
];

const DRUM: &[Field] = &[
    plain("label"),
    plain("area_mm2"),
    plain("size_written"),
    plain("insulation_class_c"),
    plain("colour"),
    plain("stock_m"),
    plain("note"),
];

const STOCK_LINE: &[Field] = &[
    plain("label"),
    plain("have"),
    plain("ordered"),
    plain("here"),
    plain("note"),
];

const COLOUR_USE: &[Field] = &[plain("purpose"), plain("colour"), plain("note")];

const TERMINAL_NUMBER: &[Field] = &[
    nested!("at": "cavity", "junction", "inner" / "unit", "inner" / "node"),
    plain("number"),
    plain("note"),
];
