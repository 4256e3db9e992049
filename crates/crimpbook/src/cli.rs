//! The command line: what can be typed, with help a person can learn from.

use std::{
    ffi::OsString,
    path::{Path, PathBuf},
};

use clap::{Args, CommandFactory, Parser, Subcommand, error::ErrorKind};

use crate::report::Report;

mod asked;

pub use asked::{ExportForm, SuspectsArgs, TryArgs};

/// A workbook for the control wiring of one vehicle, in the terminal.
///
/// `crimpbook FILE` opens a workbook on the screen. The verbs below work without a terminal.
/// Only control wiring up to 60 V DC is computed; a passed check is not an approval.
#[derive(Debug, Parser)]
#[command(
    name = "crimpbook",
    version,
    args_conflicts_with_subcommands = true,
    subcommand_value_name = "VERB",
    subcommand_help_heading = "Verbs",
    after_help = EXITS,
    disable_help_subcommand = true
)]
pub struct Cli {
    /// Workbook to open on the screen (extension .crimpbook)
    pub file: Option<PathBuf>,
    #[command(flatten)]
    pub common: Common,
    #[command(subcommand)]
    pub verb: Option<Verb>,
}

const EXITS: &str = "\
Exit codes:
  0  done; for check: no stop found
  1  check: stops are among the findings
  2  wrong usage, or something only you can change
  3  check: nothing found, but something could not be checked
  4  a file cannot be read or written
  70 a fault of the program itself

First steps:
  crimpbook                           what there is to begin, and the workbooks opened before
  crimpbook demo                      make and open the invented demo vehicle
  crimpbook new van.crimpbook         start a workbook of your own
  crimpbook check van.crimpbook       what would stop you from putting power on";

/// What every verb understands.
#[derive(Debug, Clone, Args)]
pub struct Common {
    /// Your name as it stands in the log (else CRIMPBOOK_WHO, else the login name)
    #[arg(long = "as", value_name = "NAME", global = true)]
    pub who: Option<String>,
    /// Draw with plain ASCII characters only
    #[arg(long, global = true)]
    pub ascii: bool,
    /// Listen to the mouse in this run: wheel and clicks; hold Shift to select text, in most terminals
    #[arg(long)]
    pub mouse: bool,
}

/// The verbs.
#[derive(Debug, Subcommand)]
pub enum Verb {
    /// Make the invented demo vehicle's workbook and open it
    ///
    /// A file that is there already is opened as it is, never overwritten.
    /// Without a terminal the file is only made.
    Demo {
        /// Where to make it
        #[arg(default_value = crate::command::DEMO_FILE)]
        file: PathBuf,
    },
    /// Start a workbook; an existing file is never overwritten
    New {
        /// Where to make it (extension .crimpbook)
        file: PathBuf,
        /// Take over a whole workbook from interchange JSON (- reads standard input) or from a bundle's folder
        #[arg(long, value_name = "BOOK")]
        from: Option<PathBuf>,
        /// What the vehicle is called
        #[arg(long, value_name = "NAME", conflicts_with = "from")]
        vehicle: Option<String>,
    },
    /// Print what the checks find: where, what, the figures, the mend
    Check {
        /// Workbook
        #[arg(required_unless_present = "explain")]
        file: Option<PathBuf>,
        /// As JSON with stable names
        #[arg(long)]
        json: bool,
        /// List the notes as well, not only their number
        #[arg(long)]
        notes: bool,
        /// Tell what a check computes, from which inputs, with its source; without a name list all checks
        #[arg(long, value_name = "CHECK", num_args = 0..=1, default_missing_value = "")]
        explain: Option<String>,
    },
    /// Print the facts that the checks lack, by manual, in the order of one sitting
    Questions {
        /// Workbook
        file: PathBuf,
        /// As JSON with stable names
        #[arg(long)]
        json: bool,
    },
    /// Print one state's voltages, currents and warmth; without --state list the states
    Volts {
        /// Workbook
        file: PathBuf,
        /// The operating state
        #[arg(long, value_name = "NAME")]
        state: Option<String>,
        /// With a fault: W19:open, W19:chassis, W19:supply, a fuse F6:open, a plug MC-A:open, a contact K1:closed
        #[arg(long, value_name = "WHAT:HOW", requires = "state")]
        fault: Option<String>,
        /// As JSON with stable names
        #[arg(long)]
        json: bool,
    },
    /// Tell what changes in each state if a wire, fuse, plug, ground path or contact fails
    ///
    /// A wire comes off, touches chassis or touches supply; a fuse is blown; a plug is off; a ground path is lost; a
    /// contact is stuck.
    Suppose {
        /// Workbook
        file: PathBuf,
        /// The wire, fuse, plug, contact, or a ground path by its ends
        what: String,
    },
    /// Tell which single faults fit what is seen and read, and where to measure next
    ///
    /// Without --symptom and --reading everything that can be watched is listed.
    Suspects {
        /// Workbook
        file: PathBuf,
        #[command(flatten)]
        args: SuspectsArgs,
    },
    /// Tell what a change would cost before it is kept
    ///
    /// Findings that come and go, rules that are open again, build steps to redo, readings that lapse, volts that move.
    /// Several fields are tried together: crimpbook try van.crimpbook wire.W44.area_mm2=1.5 fuse.F4.rating_a=5
    Try {
        /// Workbook
        file: PathBuf,
        #[command(flatten)]
        args: TryArgs,
    },
    /// Prove the rules in every combination of switches, with every single fault
    Rules {
        /// Workbook
        file: PathBuf,
        /// As JSON with stable names
        #[arg(long)]
        json: bool,
    },
    /// Write the build record: one HTML file to print, and CSV of every table
    Record {
        /// Workbook
        file: PathBuf,
        /// Folder to write into; made if it is not there
        #[arg(short, long = "out", value_name = "DIR")]
        out: PathBuf,
    },
    /// Write the workbook as interchange JSON, as CSV, or one state as SPICE text
    Export {
        /// Workbook
        file: PathBuf,
        #[command(flatten)]
        form: ExportForm,
        /// The operating state of the netlist
        #[arg(long, value_name = "NAME", requires = "netlist")]
        state: Option<String>,
        /// With a fault, in the moment it happens: W19:chassis (as for volts)
        #[arg(long, value_name = "WHAT:HOW", requires = "state")]
        fault: Option<String>,
        /// File (JSON, netlist) or folder (CSV) to write; without it a file goes to standard output
        #[arg(short, long = "out", value_name = "PATH")]
        out: Option<PathBuf>,
    },
    /// Take in a pin table or a wire list from CSV or TSV: one edit that can be undone
    ///
    /// Columns are recognised by the words over them, or by what stands in them. What is there is merged by cavity
    /// number or wire label; an empty cell changes nothing. A row that cannot be is left out and named.
    Import {
        /// Workbook
        file: PathBuf,
        #[command(flatten)]
        args: ImportArgs,
    },
    /// Save a unit as a part file, or use one in this workbook
    ///
    /// A part file holds a unit with its connectors, faces and inside parts, without what belongs to one vehicle.
    #[command(subcommand)]
    Part(PartVerb),
    /// Tell what changed between two revisions, or against another workbook
    ///
    /// Each change is told field by field with its whys. A point is a revision letter, the number of an entry, or now.
    Compare {
        /// Workbook
        file: PathBuf,
        /// From this point; without it from the last release
        from: Option<String>,
        /// To this point; without it to now
        to: Option<String>,
        /// Compare with another workbook: from that one to this one
        #[arg(long, value_name = "OTHER", conflicts_with_all = ["from", "to"])]
        with: Option<PathBuf>,
        /// Write it as a page to print
        #[arg(long, value_name = "PAGE.html")]
        html: Option<PathBuf>,
    },
    /// Print what the units' own software is set to, or was left at with a release
    Settings {
        /// Workbook
        file: PathBuf,
        /// Beside those left at this revision
        #[arg(long, value_name = "LETTER", conflicts_with = "past")]
        left: Option<String>,
        /// Every value of the setting of this name, with its why
        #[arg(long, value_name = "NAME")]
        past: Option<String>,
    },
    /// Print the log: who changed what, when and why
    Log {
        /// Workbook
        file: PathBuf,
        /// Ticks and readings as well, not only changes of the plan
        #[arg(long)]
        all: bool,
        /// Walk the hash chain and say whether the log is as it was written
        #[arg(long)]
        verify: bool,
    },
    /// Read a workbook through: is it as it was written
    ///
    /// Every page and reference, the chain of hashes of its log, and whether its records are those that follow from it.
    Verify {
        /// Workbook
        file: PathBuf,
    },
    /// List the copies kept of a workbook, or put one in its place
    ///
    /// A copy is kept each day a workbook is opened on the screen and holds something new; the last seven stay. What is
    /// there now is moved aside, never written over.
    Restore {
        /// Workbook
        file: PathBuf,
        /// Day of the copy to put in its place (2026-11-27), or any workbook file; without it the copies are listed
        copy: Option<String>,
    },
    /// Save what can still be read of a damaged workbook into a new one
    Salvage {
        /// The damaged workbook; it stays as it is
        file: PathBuf,
        /// Where to make the new one (extension .crimpbook)
        new: PathBuf,
    },
    /// Print a list to work from: cuts, labels, parts, fuses, a packet
    List {
        /// Workbook
        file: PathBuf,
        /// Which list
        what: ListOf,
        /// The connector of a packet
        #[arg(required_if_eq("what", "packet"))]
        connector: Option<String>,
        /// Columns of a label strip, for labels
        #[arg(long, value_name = "COLUMNS", default_value_t = 24)]
        width: usize,
        /// Share that is cut off or cut wrong, for cuts and parts
        #[arg(long, value_name = "PERCENT", default_value_t = 10.0)]
        waste: f64,
        /// As CSV (RFC 4180) instead of text
        #[arg(long)]
        csv: bool,
    },
    /// Propose colours from the drums in stock for wires that have none
    ///
    /// By the colours that the house keeps for a use, none twice in a plug, from no drum more than it holds.
    Colours {
        /// Workbook
        file: PathBuf,
        /// Give the wires the colours proposed: one edit that can be undone
        #[arg(long)]
        take: bool,
        /// Share that is cut off or cut wrong
        #[arg(long, value_name = "PERCENT", default_value_t = 10.0)]
        waste: f64,
        /// As CSV (RFC 4180) instead of text
        #[arg(long, conflicts_with = "take")]
        csv: bool,
        /// Why, for the log; needed after a release
        #[arg(long, value_name = "TEXT", requires = "take")]
        why: Option<String>,
    },
    /// Tick what was done on paper: a step at runs of cavities
    Tick {
        /// Workbook
        file: PathBuf,
        /// The connector
        connector: String,
        /// The step as the packet heads it (cut, label, seal, strip, crimp, insert, through, no-short), or all: whole rows
        step: String,
        /// Cavities and runs of them, as 1-20,22
        cavities: String,
    },
    /// Bring the changes of another copy of this workbook in, field by field
    ///
    /// What only one of the two changed merges by itself. What both changed differently is listed with both whys, and
    /// nothing is written until each has a choice; nothing is ever overwritten in silence. OTHER stays as it is.
    Merge {
        /// Workbook that gets the changes
        file: PathBuf,
        /// The other copy
        other: PathBuf,
        /// Keep what FILE says where both changed it; by the name in the list, or all
        #[arg(long, value_name = "NAME")]
        mine: Vec<String>,
        /// Take what OTHER says
        #[arg(long, value_name = "NAME")]
        theirs: Vec<String>,
        /// Only tell what would be done
        #[arg(long)]
        dry_run: bool,
        /// Choose on the screen, conflict by conflict
        #[arg(long, conflicts_with_all = ["mine", "theirs", "dry_run"])]
        screen: bool,
    },
    /// Work out limits of pedals, regeneration, dividers, precharging
    ///
    /// Without a name the calculators are listed. Figures as NAME=VALUE (`rest=0.82 full=4.2V track=5k`). With --from what the workbook knows is filled in, and what is
    /// typed goes over it. A sum is not an approval.
    Reckon {
        /// The calculator
        name: Option<String>,
        /// What it is to reckon with
        #[arg(value_name = "NAME=VALUE")]
        typed: Vec<String>,
        /// Workbook to fill in what is known from
        #[arg(long, value_name = "FILE", requires = "name")]
        from: Option<PathBuf>,
        /// The cavity of the workbook it is for, where there are several
        #[arg(long, value_name = "PLACE", requires = "from")]
        at: Option<String>,
    },
    /// Print every key and what it does
    Keys,
    /// Print the JSON Schema of the interchange format
    Schema,
}

/// What to do with part files.
#[derive(Debug, Clone, Subcommand)]
pub enum PartVerb {
    /// List the generic parts that come with the program
    List,
    /// Save a unit of a workbook as a part file
    Save {
        /// Workbook
        file: PathBuf,
        /// The unit
        unit: String,
        /// File to write; without it it goes to standard output
        #[arg(short, long = "out", value_name = "PART.json")]
        out: Option<PathBuf>,
        /// Where its figures come from
        #[arg(long, value_name = "TEXT", default_value = "")]
        about: String,
    },
    /// Put the unit of a part file, or a generic one, into a workbook
    Use {
        /// Workbook
        file: PathBuf,
        /// Part file, or the name of a generic part (- reads standard input)
        part: PathBuf,
        /// What the unit is called here
        #[arg(long, value_name = "NAME")]
        label: Option<String>,
        /// Why, for the log; needed after a release
        #[arg(long, value_name = "TEXT")]
        why: Option<String>,
    },
}

/// What to take in and how to read it.
#[derive(Debug, Clone, Args)]
#[command(group = clap::ArgGroup::new("table").required(true))]
pub struct ImportArgs {
    /// Table of cavities (- reads standard input)
    #[arg(long, value_name = "TABLE", group = "table")]
    pub cavities: Option<PathBuf>,
    /// Table of wires
    #[arg(long, value_name = "TABLE", group = "table")]
    pub wires: Option<PathBuf>,
    /// Table of drums of wire
    #[arg(long, value_name = "TABLE", group = "table")]
    pub drums: Option<PathBuf>,
    /// Table of parts as counted: list parts with --csv, filled in, or the stock of an export
    #[arg(long, value_name = "TABLE", group = "table")]
    pub stock: Option<PathBuf>,
    /// Table of settings of the units' own software
    #[arg(long, value_name = "TABLE", group = "table")]
    pub settings: Option<PathBuf>,
    /// The connector the cavities are of, where the table has no column for it
    #[arg(long, value_name = "NAME", requires = "cavities")]
    pub connector: Option<String>,
    /// Say what would change and change nothing
    #[arg(long)]
    pub dry_run: bool,
    /// Give a field its column, by number from 1 or by the words over it: function=3, page=none
    #[arg(long, value_name = "FIELD=COLUMN")]
    pub column: Vec<String>,
    /// Say where rows go that name another connector: J1=MC-A, MC-B=MC-B, J1=none; else they are left out
    #[arg(long, value_name = "NAME=CONNECTOR", conflicts_with = "wires")]
    pub rows: Vec<String>,
    /// Let empty cells of this field clear what was there; else an empty cell changes nothing
    #[arg(long, value_name = "FIELD")]
    pub clear: Vec<String>,
    /// Say what letters of a colour mean in this table: bl=blue
    #[arg(long, visible_alias = "color", value_name = "LETTERS=COLOUR")]
    pub colour: Vec<String>,
    /// Say what a comma as in 1,500 means in this table
    #[arg(long, value_name = "MEANS")]
    pub comma: Option<CommaMeans>,
    /// Take nothing if anything would be left out
    #[arg(long)]
    pub whole: bool,
    /// Why, for the log; needed after a release
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
}

/// What a comma between digits means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum CommaMeans {
    /// 1,500 is one and a half
    Decimal,
    /// 1,500 is fifteen hundred
    Thousands,
}

/// Lists to work from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum ListOf {
    /// Every wire drum by drum
    Cuts,
    /// Labels for both ends of every wire
    Labels,
    /// Contacts, seals, plugs, lugs, splices, fuses and wire to have
    Parts,
    /// What each fuse protects
    Fuses,
    /// The wires of one connector with a box for every step
    Packet,
}

/// Says in our words what is wrong where a verb is misspelt or stands in the wrong place, since clap takes the first word for
/// a file then. `words`: what was typed behind the program's name.
pub fn misplaced(wrong: &clap::Error, words: impl Iterator<Item = OsString>) -> Option<Report> {
    if wrong.kind() != ErrorKind::ArgumentConflict {
        return None;
    }
    let mut plain = Vec::new();
    let mut words = words.map(|word| word.to_string_lossy().into_owned());
    while let Some(word) = words.next() {
        if word == "--as" {
            words.next();
        } else if !word.starts_with('-') {
            plain.push(word);
        }
    }
    let [first, second, ..] = plain.as_slice() else {
        return None;
    };
    let command = Cli::command();
    let verbs: Vec<&str> = command.get_subcommands().map(clap::Command::get_name).collect();
    if verbs.contains(&first.as_str()) {
        return None;
    }
    Some(if verbs.contains(&second.as_str()) {
        Report::user(format!("the verb {second} stands behind the file"))
            .hint(format!("write: crimpbook {second} {first}"))
    } else if Path::new(first).extension().is_some() {
        Report::user(format!(
            "one workbook is opened at a time, and {second} is one more"
        ))
        .hint("open each in a window of its own")
    } else {
        Report::user(format!("there is no verb {first}")).hint(format!("verbs: {}", verbs.join(", ")))
    })
}
