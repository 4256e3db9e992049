//! The workbook's records: plain structs with typed ids, one small file a kind.
//!
//! Nothing here computes. References are by id; indexes are derived in [`crate::book`].

mod about;
mod build;
mod cavity;
mod colour;
mod connector;
pub mod face;
mod fault_finding;
mod file_note;
mod fuse;
mod hash;
mod id;
mod junction;
mod limits;
mod part;
mod proof;
mod row;
mod rule;
mod setting;
mod state;
mod stock;
mod switch;
mod table;
mod trial;
mod unit;
mod wire;

pub use about::{About, Bundle, PlanPlace, ServiceNotes, Supply, Zone};
pub use build::{Built, Outcome, Rest, Step, StepDone, WireEnd};
pub use cavity::{Candidate, Cavity, Decision, SignalKind, Verdict};
pub use connector::{Connector, ContactFamily, Plating, View};
pub use fault_finding::{FaultFinding, SeenOrRead};
pub use file_note::FileNote;
pub use fuse::{Fuse, FuseKind};
pub(crate) use hash::{Mix, Quick};
pub use id::{ChangeId, Id, IdError, IdMaker};
pub use junction::{ChassisPath, End, Junction, JunctionKind, Terminal};
pub use limits::{Limits, Pull, PullTo};
pub use part::{ContactForm, Driver, LoadMode, OutputSide, Part, PartKind, Suppression};
pub use proof::{Acceptance, Reading, TemporaryLink, TestKind};
pub(crate) use row::row;
pub use row::{AnyRow, Key, Kind, Record, RecordLists, RecordRef, Ref, Row, Tables};
pub use rule::{Expression, Rests, Rule};
pub use setting::{Setting, SettingRole};
pub use state::{PartPosition, PartSetting, State, SwitchPosition};
pub use stock::{ColourUse, Drum, StockLine, TerminalNumber, WireUse};
pub use switch::{Switch, SwitchKind};
pub use table::Table;
pub use trial::{AsDriven, FirstRun, FirstRunStep, Mark, Peak, TRAITS, Trial};
pub use unit::{Manual, Unit};
pub use wire::{InlineFuse, SizeTable, Wire};

pub use crimpbook_core::quantity::{Colour, WireColour};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
