//! What a name in an expression means, and how an expression is kept.
//!
//! People type labels (`MC-A19`, `charge_lead`); what is kept names records by kind and id (`@cavity:mca19`), so that a new label changes
//! no expression. A switch or lead is the physical fact; a cavity is what its unit reads there, which a fault can falsify.

use crimpbook_core::rule::{Completion, Expr, Known, Statement, SyntaxError, complete, parse};

use crate::{
    Book,
    model::{Cavity, Expression, Id, Key, Part, PartKind, Row, Switch},
};

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Meaning {
    /// A switch, lead or condition: the fact itself.
    Switch(Id<Switch>),
    /// What a unit reads at a cavity.
    Cavity(Id<Cavity>),
    /// A named expression.
    Expression(Id<Expression>),
    /// How an inside part stands: a coil fed, a contact operated, an output on.
    Part(Id<Part>),
}

impl Meaning {
    /// The record.
    pub fn key(self) -> Key {
        match self {
            Self::Switch(id) => Key::of(id),
            Self::Cavity(id) => Key::of(id),
            Self::Expression(id) => Key::of(id),
            Self::Part(id) => Key::of(id),
        }
    }

    fn kept(self) -> String {
        match self {
            Self::Switch(id) => format!("@switch:{id}"),
            Self::Cavity(id) => format!("@cavity:{id}"),
            Self::Expression(id) => format!("@expression:{id}"),
            Self::Part(id) => format!("@part:{id}"),
        }
    }

    /// Its label.
    pub fn label(self, book: &Book) -> String {
        match self {
            Self::Switch(id) => book.label_of(id),
            Self::Cavity(id) => book.cavity_name(id),
            Self::Expression(id) => book.label_of(id),
            Self::Part(id) => book.label_of(id),
        }
    }
}

/// What a name means in this book: as it is kept, else a label of a switch, an expression, a cavity or an inside part, in this order.
pub fn meaning(book: &Book, name: &str) -> Option<Meaning> {
    if let Some(kept) = name.strip_prefix('@') {
        return by_id(book, kept);
    }
    let index = book.index();
    let label = index.labelled(name).map(Meaning::Switch);
    label
        .or_else(|| index.labelled(name).map(Meaning::Expression))
        .or_else(|| book.find_cavity(name).map(Meaning::Cavity))
        .or_else(|| index.labelled(name).map(Meaning::Part))
}

fn by_id(book: &Book, kept: &str) -> Option<Meaning> {
    fn there<R: Row>(book: &Book, id: &str, make: fn(Id<R>) -> Meaning) -> Option<Meaning> {
        let id: Id<R> = id.parse().ok()?;
        book.get(id).is_some().then(|| make(id))
    }
    let (kind, id) = kept.split_once(':')?;
    match kind {
        "switch" => there(book, id, Meaning::Switch),
        "cavity" => there(book, id, Meaning::Cavity),
        "expression" => there(book, id, Meaning::Expression),
        "part" => there(book, id, Meaning::Part),
        _ => None,
    }
}

/// Reads what somebody typed and gives it as it is kept.
///
/// # Errors
/// [`SyntaxError`] with the character and what was expected there, also for a name that nothing has and a position that a switch has not.
pub fn kept(book: &Book, typed: &str) -> Result<String, SyntaxError> {
    let statement = parse(typed)?;
    let mut wrong = None;
    statement.expr().names(&mut |name, position| {
        if wrong.is_none() {
            wrong = misnamed(book, name, position).map(|(found, expected)| {
                let before = typed.split(found).next().unwrap_or_default();
                SyntaxError {
                    at: before.chars().count(),
                    found: found.to_owned(),
                    expected,
                }
            });
        }
    });
    if let Some(wrong) = wrong {
        return Err(wrong);
    }
    let kept = |name: &str| meaning(book, name).map_or_else(|| name.to_owned(), Meaning::kept);
    Ok(statement.renamed(&mut { kept }).to_string())
}

/// What is wrong with a name and its position, and what was expected instead.
pub(super) fn misnamed<'n>(
    book: &Book,
    name: &'n str,
    position: Option<&'n str>,
) -> Option<(&'n str, String)> {
    let Some(meaning) = meaning(book, name) else {
        let expected = "the name of a switch, a cavity, an expression or an inside part";
        return Some((name, expected.to_owned()));
    };
    let label = meaning.label(book);
    match (meaning, position) {
        (Meaning::Switch(id), position) => {
            let switch = book.get(id)?;
            let list = || switch.positions.join(", ");
            match position {
                Some(at) if switch.positions.iter().any(|p| p == at) => None,
                Some(at) => Some((at, format!("a position of {label}: {}", list()))),
                None => Some((name, format!("{label} is and a position: {}", list()))),
            }
        }
        (_, None | Some("on" | "off")) => None,
        (_, Some(at)) => Some((at, format!("on or off, since {label} is no switch"))),
    }
}

/// An expression as people read it, from what is kept; a text that is no expression comes back as it is.
pub fn shown(book: &Book, text: &str) -> String {
    let Ok(statement) = parse(text) else {
        return text.to_owned();
    };
    statement.renamed(&mut |name| label(book, name)).to_string()
}

fn label(book: &Book, name: &str) -> String {
    if !name.starts_with('@') {
        return name.to_owned();
    }
    let Some(means) = meaning(book, name) else {
        return name.to_owned();
    };
    let label = means.label(book);
    // A label that something else has too would be read as that; then the name stays as it is kept.
    if meaning(book, &label) == Some(means) {
        label
    } else {
        name.to_owned()
    }
}

/// Whether a text, as it is kept, compares a switch with one of its positions.
pub fn says_position(text: &str, switch: Id<Switch>, position: &str) -> bool {
    let mut says = false;
    if let Ok(statement) = parse(text) {
        let own = Meaning::Switch(switch).kept();
        statement
            .expr()
            .names(&mut |name, at| says |= name == own && at == Some(position));
    }
    says
}

/// A text, as it is kept, with the positions of a switch called as `new` says.
pub fn with_positions(text: &str, switch: Id<Switch>, new: &dyn Fn(&str) -> String) -> String {
    let Ok(statement) = parse(text) else {
        return text.to_owned();
    };
    let own = Meaning::Switch(switch).kept();
    statement
        .repositioned(&mut |name, position| {
            if name == own {
                new(position)
            } else {
                position.to_owned()
            }
        })
        .to_string()
}

/// The records that a text names by id.
pub fn named(text: &str) -> Vec<Key> {
    let mut keys = Vec::new();
    if let Ok(statement) = parse(text) {
        statement.expr().names(&mut |name, _| {
            keys.extend(said(name).map(Meaning::key));
        });
    }
    keys
}

/// What a name says that is kept by id, whether that is there or not.
fn said(name: &str) -> Option<Meaning> {
    let (kind, id) = name.strip_prefix('@')?.split_once(':')?;
    match kind {
        "switch" => id.parse().ok().map(Meaning::Switch),
        "cavity" => id.parse().ok().map(Meaning::Cavity),
        "expression" => id.parse().ok().map(Meaning::Expression),
        "part" => id.parse().ok().map(Meaning::Part),
        _ => None,
    }
}

/// Whether a text can be read and names nothing but records by id.
pub fn is_by_id(text: &str) -> bool {
    let Ok(statement) = parse(text) else { return false };
    let mut all = true;
    statement.expr().names(&mut |name, _| all &= said(name).is_some());
    all
}

/// A text with records named by the ids that `new` gives; one that it does not know stays.
pub fn with_ids(text: &str, new: &dyn Fn(Key) -> Option<u128>) -> String {
    let Ok(statement) = parse(text) else {
        return text.to_owned();
    };
    let renamed = statement.renamed(&mut |name| {
        let means = said(name).and_then(|means| {
            let bits = new(means.key())?;
            Some(match means {
                Meaning::Switch(_) => Meaning::Switch(Id::from_bits(bits)),
                Meaning::Cavity(_) => Meaning::Cavity(Id::from_bits(bits)),
                Meaning::Expression(_) => Meaning::Expression(Id::from_bits(bits)),
                Meaning::Part(_) => Meaning::Part(Id::from_bits(bits)),
            })
        });
        means.map_or_else(|| name.to_owned(), Meaning::kept)
    });
    renamed.to_string()
}

/// Every name that an expression of this book can have, facts first.
pub fn known(book: &Book) -> Vec<Known> {
    let on_off = || vec!["on".to_owned(), "off".to_owned()];
    let plain = |name: String| Known {
        name,
        positions: Vec::new(),
    };
    let switches = book.all::<Switch>().values().map(|s| Known {
        name: s.label.clone(),
        positions: s.positions.clone(),
    });
    let expressions = book.all::<Expression>().values().map(|e| plain(e.label.clone()));
    let read = |c: &&Cavity| c.limits.on_above_v.or(c.limits.on_below_v).is_some();
    let cavities = book.all::<Cavity>().values().filter(read);
    let cavities = cavities.map(|c| plain(book.cavity_name(c.id)));
    let moves = |p: &&Part| {
        matches!(
            p.kind,
            PartKind::Coil { .. }
                | PartKind::Contact { .. }
                | PartKind::Output { .. }
                | PartKind::Source { switched: true, .. }
        )
    };
    let parts = book.all::<Part>().values().filter(moves).map(|p| Known {
        name: p.label.clone(),
        positions: on_off(),
    });
    let mut all: Vec<Known> = switches.collect();
    for mut more in [
        expressions.collect::<Vec<_>>(),
        cavities.collect(),
        parts.collect(),
    ] {
        more.sort_by_cached_key(|k| crate::book::natural(&k.name));
        all.extend(more);
    }
    all
}

/// Ways to go on behind what was typed.
pub fn completions(book: &Book, typed: &str) -> Vec<Completion> {
    complete(typed, &known(book))
}

/// The statement of a text, with `never` asked for where `rule` says so.
pub(crate) fn expr_of(text: &str, rule: bool) -> Result<Expr, String> {
    match parse(text).map_err(|e| e.to_string())? {
        Statement::Never(expr) if rule => Ok(expr),
        Statement::Plain(expr) | Statement::Define { expr, .. } if !rule => Ok(expr),
        _ if rule => Err("a rule begins with never".to_owned()),
        _ => Err("never stands in rules only".to_owned()),
    }
}
