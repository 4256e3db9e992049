//! The command line: what can be typed, with help a person can learn from.

use std::{
    ffi::OsString,
    path::{Path, PathBuf},
};

use clap::{Args, CommandFactory, Parser, Subcommand, error::ErrorKind};

use crate::report::Report;

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
  3  check: no stop found, but facts are missing
  4  a file cannot be read or written
  70 a fault of the program itself

First steps:
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
        #[arg(default_value = "marrowby-pipit.crimpbook")]
        file: PathBuf,
    },
    /// Start a workbook; an existing file is never overwritten
    New {
        /// Where to make it (extension .crimpbook)
        file: PathBuf,
        /// Take over a whole workbook from interchange JSON (- reads standard input)
        #[arg(long, value_name = "BOOK.json")]
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
        /// With a wire off or touching: W19:open, W19:chassis or W19:supply
        #[arg(long, value_name = "WIRE:HOW", requires = "state")]
        fault: Option<String>,
        /// As JSON with stable names
        #[arg(long)]
        json: bool,
    },
    /// Tell what changes in each state if a wire comes off, touches chassis or touches supply
    Suppose {
        /// Workbook
        file: PathBuf,
        /// The wire
        wire: String,
    },
    /// Prove the rules in every combination of switches, without a fault and with every single one
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
    /// Write the workbook as interchange JSON, its tables as CSV, or one state as SPICE text
    Export {
        /// Workbook
        file: PathBuf,
        #[command(flatten)]
        form: ExportForm,
        /// The operating state of the netlist
        #[arg(long, value_name = "NAME", requires = "netlist")]
        state: Option<String>,
        /// File (JSON, netlist) or folder (CSV) to write; without it a file goes to standard output
        #[arg(short, long = "out", value_name = "PATH")]
        out: Option<PathBuf>,
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
    },
    /// Print every key and what it does
    Keys,
    /// Print the JSON Schema of the interchange format
    Schema,
}

/// The form of an export.
#[derive(Debug, Clone, Args)]
#[group(required = true, multiple = false)]
pub struct ExportForm {
    /// The whole workbook with its log
    #[arg(long)]
    pub json: bool,
    /// Every table, one file each
    #[arg(long)]
    pub csv: bool,
    /// One operating state as SPICE text; --state names it
    #[arg(long, requires = "state")]
    pub netlist: bool,
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
