//! `crimpbook import`: a pin table or a wire list into the workbook, as one edit.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

use crimpbook_core::quantity::Colour;
use crimpbook_record::import::{
    Answers, Ask, Comma, MOST_BYTES, Options, Places, Plan, TableOf, Text, What, plan,
};
use crimpbook_store::Store;
use crimpbook_workbook::{
    Book,
    edit::Refusal,
    model::{Connector, Id, IdMaker},
};

use super::{Outcome, input, read, say, wrapped};
use crate::{
    cli::{Common, ImportArgs},
    report::Report,
    session::{File, Session, Trouble},
    who,
};

/// How many lines of a block are printed when the table is taken; a dry run prints them all.
const LINES: usize = 12;
/// The same of what is left out, which has to be mended.
const LEFT_OUT: usize = 60;

/// Takes a table in.
pub fn run(file: &Path, args: &ImportArgs, common: &Common) -> Outcome {
    let tables = [
        (&args.cavities, TableOf::Cavities),
        (&args.wires, TableOf::Wires),
        (&args.drums, TableOf::Drums),
        (&args.stock, TableOf::Stock),
        (&args.settings, TableOf::Settings),
    ];
    let mut named = tables.into_iter();
    let Some((source, table)) = named.find_map(|(path, of)| Some((path.as_ref()?, of))) else {
        // clap asks for one of them.
        return Err(Report::user(
            "name the table: --cavities FILE, --wires FILE or another",
        ));
    };
    let (name, bytes) = input::bytes(source, MOST_BYTES)?;
    let whole = |why: String| Report::user(format!("{name}: {why}; nothing was changed"));
    let text = Text::from_bytes(&bytes).map_err(|e| whole(e.to_string()))?;
    let mut ids = IdMaker::new(who::seed()?);
    if args.dry_run {
        let book = read(file)?.book;
        let what = what(&book, args, table)?;
        let options = options(args, source, &book)?;
        let plan = plan(&book, &mut ids, &text, what, &options).map_err(|e| whole(e.to_string()))?;
        say(&page(&plan, &book, what, false))?;
        let edit = plan
            .edit
            .map(|edit| edit.because(args.why.clone().unwrap_or_default()));
        if let Some(Err(refusal)) = edit.map(|edit| book.check_why(&edit)) {
            say(&wrapped(
                "a why will be needed: ",
                &format!("{refusal}; add --why \"…\""),
            ))?;
        }
        say("dry run: nothing was changed")?;
        return Ok(ExitCode::SUCCESS);
    }
    let opened = Store::open(file)?;
    opened.store.verify()?;
    let what = what(&opened.book, args, table)?;
    let options = options(args, source, &opened.book)?;
    let plan = plan(&opened.book, &mut ids, &text, what, &options).map_err(|e| whole(e.to_string()))?;
    say(&page(&plan, &opened.book, what, true))?;
    refuse(&plan, args)?;
    let Some(edit) = plan.edit else {
        say("nothing was changed")?;
        return Ok(ExitCode::SUCCESS);
    };
    let author = who::name(common.who.as_deref());
    let keep = Box::new(File::new(opened.store));
    let mut session = Session::new(keep, opened.book, opened.heads, author, who::seed()?, who::now);
    let kept = session
        .edit(edit.because(args.why.clone().unwrap_or_default()))
        .map_err(not_kept)?;
    say(&format!("taken as entry {}: {}", kept.head.seq, kept.head.title))?;
    Ok(ExitCode::SUCCESS)
}

/// Nothing is taken of a table with questions, nor, where that was asked for, of one with anything left out.
fn refuse(plan: &Plan, args: &ImportArgs) -> Result<(), Report> {
    if !plan.asks.is_empty() {
        let answers: Vec<String> = plan.asks.iter().map(|ask| ask.answers().join(" or ")).collect();
        return Err(
            Report::user("the table can be read in two ways; nothing was changed")
                .hint(format!("say which: {}", answers.join("; "))),
        );
    }
    if args.whole && !plan.problems.is_empty() {
        return Err(
            Report::user("something of the table is left out; nothing was changed")
                .hint("mend the table, or leave --whole away to take the rest"),
        );
    }
    Ok(())
}

pub(super) fn not_kept(trouble: Trouble) -> Report {
    let sentence = trouble.to_string();
    match trouble {
        Trouble::Refused(Refusal::WhyNeeded { .. }) => Report::user(sentence).hint("add: --why \"…\""),
        Trouble::Refused(_) => Report::user(sentence),
        Trouble::File(_) => Report::file(sentence),
    }
}

fn what(book: &Book, args: &ImportArgs, table: TableOf) -> Result<What, Report> {
    match table {
        TableOf::Cavities => {}
        TableOf::Wires => return Ok(What::Wires),
        TableOf::Drums => return Ok(What::Drums),
        TableOf::Stock => return Ok(What::Stock),
        TableOf::Settings => return Ok(What::Settings),
    }
    let connector = args.connector.as_ref().map(|label| connector(book, label));
    Ok(What::Cavities {
        connector: connector.transpose()?,
    })
}

fn connector(book: &Book, label: &str) -> Result<Id<Connector>, Report> {
    book.index().labelled::<Connector>(label).ok_or_else(|| {
        let mut labels: Vec<&str> = book
            .all::<Connector>()
            .values()
            .map(|c| c.label.as_str())
            .collect();
        labels.sort_unstable();
        Report::user(format!("no connector is called {label}; nothing was changed")).hint(
            if labels.is_empty() {
                "add it in Parts on the screen first".to_owned()
            } else {
                format!("connectors: {}", labels.join(", "))
            },
        )
    })
}

fn options(args: &ImportArgs, source: &Path, book: &Book) -> Result<Options, Report> {
    let pair = |text: &str, form: &str| {
        text.split_once('=')
            .map(|(a, b)| (a.trim().to_owned(), b.trim().to_owned()))
            .ok_or_else(|| Report::user(format!("{text} is not understood")).hint(format!("write {form}")))
    };
    let mut colours = Answers::new();
    for text in &args.colour {
        let (letters, word) = pair(text, "--colour bl=blue")?;
        let colour = Colour::find(&word).ok_or_else(|| {
            Report::user(format!("{word} is no colour known here")).hint("write --colour bl=blue")
        })?;
        colours.insert(letters.to_uppercase(), colour);
    }
    let mut rows = Places::new();
    for text in &args.rows {
        let (name, place) = pair(text, "--rows J1=MC-A, or J1=none")?;
        let goes = match place.to_lowercase().as_str() {
            "none" => None,
            _ => Some(connector(book, &place)?),
        };
        rows.insert(name.to_lowercase(), goes);
    }
    let columns = args
        .column
        .iter()
        .map(|text| pair(text, "--column function=3, or function=none"));
    Ok(Options {
        columns: columns.collect::<Result<_, _>>()?,
        colours,
        rows,
        clear: args.clear.clone(),
        comma: args.comma.map(|comma| match comma {
            crate::cli::CommaMeans::Decimal => Comma::Decimal,
            crate::cli::CommaMeans::Thousands => Comma::Thousands,
        }),
        name: if source == Path::new("-") {
            "standard input".to_owned()
        } else {
            PathBuf::from(source)
                .file_name()
                .map(|n| n.to_string_lossy().into_owned())
                .unwrap_or_default()
        },
    })
}

/// The preview; `short`: of long blocks only the first lines.
fn page(plan: &Plan, book: &Book, what: What, short: bool) -> String {
    let mut lines = Vec::new();
    let at_most = |most: usize| if short { most } else { usize::MAX };
    let blocks = [
        (plan.columns_block(), usize::MAX),
        (plan.passed_block(), at_most(LINES)),
        (plan.changes_block(book), at_most(LINES)),
        (plan.problems_block(), at_most(LEFT_OUT)),
    ];
    for (block, most) in blocks {
        if block.lines.is_empty() && block.title.starts_with("passed over") {
            continue;
        }
        lines.push(block.title);
        lines.extend(block.lines.iter().take(most).map(|line| wrapped("  ", line)));
        if block.lines.len() > most {
            lines.push(format!(
                "  … and {} more; --dry-run lists them all",
                block.lines.len() - most
            ));
        }
    }
    let told = match what {
        What::Cavities { connector } => connector,
        _ => None,
    };
    for (named, words) in plan.named.iter().zip(plan.named_block(book).lines) {
        let answer = match named.goes {
            Some(_) => String::new(),
            None => format!("; {}", named.answer(book, told)),
        };
        lines.push(wrapped("other connectors: ", &format!("{words}{answer}")));
    }
    lines.extend(plan.asks.iter().map(|ask| wrapped("asked: ", &question(ask))));
    lines.join("\n")
}

fn question(ask: &Ask) -> String {
    format!("{}: {}", ask.question(), ask.answers().join(" or "))
}
