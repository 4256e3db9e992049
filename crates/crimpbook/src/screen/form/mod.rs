//! Forms: fields with labels, one widget for every kind of record.
//!
//! A form is opened over a record or over nothing, typed into, and read into an edit. One small file a kind: it says
//! which fields there are and what they mean. To add one: copy a neighbour and name it in [`Purpose`].

mod about;
mod bundle;
mod candidate;
mod cavity;
mod colour_use;
mod connector;
mod contact;
mod drum;
mod expression;
mod field;
mod file;
mod fuse;
mod junction;
mod link;
mod pair;
mod part;
mod read;
mod rule;
mod setting;
mod state;
mod stock;
mod switch;
mod terminal_number;
mod trial;
mod unit;
mod wire;
mod zone;

use crimpbook_workbook::{
    edit::{Edit, Refusal},
    model::{
        About, Bundle, Cavity, ColourUse, Connector, ContactFamily, Drum, Expression, FileNote, Fuse, Id,
        Junction, Key, Part, Record, Rule, Setting, State, StockLine, Switch, TerminalNumber, Trial, Unit,
        Wire, Zone,
    },
};

use super::{effect::Then, model::Model};
pub use drum::size_shown as drum_size;
pub use field::Field;
pub use fuse::words as fuse_words;
pub use junction::words as junction_words;
pub use read::Wrong;
pub use wire::size_shown;

/// A form being filled in.
#[derive(Debug, Clone)]
pub struct Form {
    /// What it is.
    pub title: String,
    /// Its fields, from the top.
    pub fields: Vec<Field>,
    /// The field the cursor is in.
    pub at: usize,
    /// What is wrong with the whole.
    pub wrong: Option<String>,
    /// What it is for.
    pub purpose: Purpose,
    /// The record as it was when the form was opened; none for a new one.
    pub began: Option<Box<Record>>,
}

/// What a form is for. None as an id: a new record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Purpose {
    About(Id<About>),
    Unit(Option<Id<Unit>>),
    Connector(Option<Id<Connector>>),
    Cavity(Id<Cavity>),
    Wire(Option<Id<Wire>>),
    Pair,
    Junction(Option<Id<Junction>>),
    Fuse(Option<Id<Fuse>>),
    Contact(Option<Id<ContactFamily>>),
    Zone(Option<Id<Zone>>),
    Bundle(Option<Id<Bundle>>),
    Switch(Option<Id<Switch>>),
    State(Option<Id<State>>),
    Part(Option<Id<Part>>),
    /// A unit's behaviour.
    Expression(Option<Id<Expression>>),
    Rule(Option<Id<Rule>>),
    Drum(Option<Id<Drum>>),
    Stock(Option<Id<StockLine>>),
    ColourUse(Option<Id<ColourUse>>),
    TerminalNumber(Option<Id<TerminalNumber>>),
    /// A temporary link.
    Link,
    /// A setting of a unit's software.
    Setting(Option<Id<Setting>>),
    /// Only the value of a setting.
    Turn(Id<Setting>),
    Trial(Option<Id<Trial>>),
    /// A photo or file.
    File(Option<Id<FileNote>>),
    /// Weighing a source for a cavity.
    Candidate(Id<Cavity>),
}

impl Purpose {
    /// The record that is changed; none where one is made.
    fn key(self) -> Option<Key> {
        match self {
            Self::About(id) => Some(Key::of(id)),
            Self::Unit(id) => id.map(Key::of),
            Self::Connector(id) => id.map(Key::of),
            Self::Cavity(id) => Some(Key::of(id)),
            Self::Wire(id) => id.map(Key::of),
            Self::Junction(id) => id.map(Key::of),
            Self::Fuse(id) => id.map(Key::of),
            Self::Contact(id) => id.map(Key::of),
            Self::Zone(id) => id.map(Key::of),
            Self::Bundle(id) => id.map(Key::of),
            Self::Switch(id) => id.map(Key::of),
            Self::State(id) => id.map(Key::of),
            Self::Part(id) => id.map(Key::of),
            Self::Expression(id) => id.map(Key::of),
            Self::Rule(id) => id.map(Key::of),
            Self::Setting(id) => id.map(Key::of),
            Self::Turn(id) => Some(Key::of(id)),
            Self::Trial(id) => id.map(Key::of),
            Self::File(id) => id.map(Key::of),
            Self::Drum(id) => id.map(Key::of),
            Self::Stock(id) => id.map(Key::of),
            Self::ColourUse(id) => id.map(Key::of),
            Self::TerminalNumber(id) => id.map(Key::of),
            Self::Pair | Self::Link | Self::Candidate(_) => None,
        }
    }
}

/// What a form gives: an edit, and what to do once it is kept.
pub type Taken = Result<(Edit, Then), Wrong>;

/// What new records start from, where the person has said something already.
#[derive(Debug, Clone, Default)]
pub struct Start {
    /// Label of the unit.
    pub unit: String,
    /// One end of a wire, as it is called.
    pub from: String,
    /// The other.
    pub to: String,
    /// What it carries.
    pub signal: String,
}

/// Opens a form.
pub fn open(model: &Model, purpose: Purpose, start: &Start) -> Form {
    let (title, fields) = match purpose {
        Purpose::About(id) => about::fields(model, id),
        Purpose::Unit(id) => unit::fields(model, id),
        Purpose::Connector(id) => connector::fields(model, id, start),
        Purpose::Cavity(id) => cavity::fields(model, id),
        Purpose::Wire(id) => wire::fields(model, id, start),
        Purpose::Pair => pair::fields(model, start),
        Purpose::Link => link::fields(model, start),
        Purpose::Junction(id) => junction::fields(model, id),
        Purpose::Fuse(id) => fuse::fields(model, id),
        Purpose::Contact(id) => contact::fields(model, id),
        Purpose::Zone(id) => zone::fields(model, id),
        Purpose::Bundle(id) => bundle::fields(model, id),
        Purpose::Switch(id) => switch::fields(model, id),
        Purpose::State(id) => state::fields(model, id),
        Purpose::Part(id) => part::fields(model, id, start),
        Purpose::Expression(id) => expression::fields(model, id, start),
        Purpose::Rule(id) => rule::fields(model, id),
        Purpose::Setting(id) => setting::fields(model, id, start),
        Purpose::Turn(id) => setting::turning(model, id),
        Purpose::Trial(id) => trial::fields(model, id),
        Purpose::File(id) => file::fields(model, id),
        Purpose::Drum(id) => drum::fields(model, id),
        Purpose::Stock(id) => stock::fields(model, id),
        Purpose::ColourUse(id) => colour_use::fields(model, id),
        Purpose::TerminalNumber(id) => terminal_number::fields(model, id, start),
        Purpose::Candidate(sink) => candidate::fields(model, sink),
    };
    let wrong = match purpose {
        Purpose::Trial(id) => trial::warning(model, id),
        _ => None,
    };
    Form {
        title,
        fields,
        at: 0,
        wrong,
        purpose,
        began: purpose
            .key()
            .and_then(|key| model.book.tables().get(key))
            .map(Box::new),
    }
}

/// Reads a form into an edit.
///
/// # Errors
/// The field that cannot be read and a sentence.
pub fn take(model: &mut Model, form: &Form) -> Taken {
    // Its other fields are as they were then, and would take back what was changed meanwhile.
    if let Some(key) = form.purpose.key()
        && model.book.tables().get(key).as_ref() != form.began.as_deref()
    {
        let what = model.book.name_of(key);
        return Err(Wrong::whole(format!(
            "{what} has changed since this form was opened: nothing was written; leave it and open it again"
        )));
    }
    match form.purpose {
        Purpose::About(id) => about::take(model, form, id),
        Purpose::Unit(id) => unit::take(model, form, id),
        Purpose::Connector(id) => connector::take(model, form, id),
        Purpose::Cavity(id) => cavity::take(model, form, id),
        Purpose::Wire(id) => wire::take(model, form, id),
        Purpose::Pair => pair::take(model, form),
        Purpose::Link => link::take(model, form),
        Purpose::Junction(id) => junction::take(model, form, id),
        Purpose::Fuse(id) => fuse::take(model, form, id),
        Purpose::Contact(id) => contact::take(model, form, id),
        Purpose::Zone(id) => zone::take(model, form, id),
        Purpose::Bundle(id) => bundle::take(model, form, id),
        Purpose::Switch(id) => switch::take(model, form, id),
        Purpose::State(id) => state::take(model, form, id),
        Purpose::Part(id) => part::take(model, form, id),
        Purpose::Expression(id) => expression::take(model, form, id),
        Purpose::Rule(id) => rule::take(model, form, id),
        Purpose::Setting(id) => setting::take(model, form, id),
        Purpose::Turn(id) => setting::turned(model, form, id),
        Purpose::Trial(id) => trial::take(model, form, id),
        Purpose::File(id) => file::take(model, form, id),
        Purpose::Drum(id) => drum::take(model, form, id),
        Purpose::Stock(id) => stock::take(model, form, id),
        Purpose::ColourUse(id) => colour_use::take(model, form, id),
        Purpose::TerminalNumber(id) => terminal_number::take(model, form, id),
        Purpose::Candidate(sink) => candidate::take(model, form, sink),
    }
}

/// Before the field under the cursor is left: false where it holds what cannot be meant, which it then says.
pub fn settle(model: &Model, form: &mut Form) -> bool {
    if form.field_mut().is_some_and(|field| !field.settle()) {
        return false;
    }
    if matches!(form.purpose, Purpose::Part(_)) {
        part::reshape(model, form);
    }
    let said = form.field().map(|f| (f.name, f.is_expression()));
    let Some((name, true)) = said else { return true };
    let book = &model.book;
    let read = match form.purpose {
        Purpose::Expression(_) => expression::read(book, form).map(|_| ()),
        Purpose::Rule(_) => rule::read(book, form).map(|_| ()),
        Purpose::Part(_) => part::read_condition(book, form),
        Purpose::State(_) => state::read_switches(book, form)
            .map(|_| ())
            .and_then(|()| state::read_parts(book, form, Vec::new()).map(|_| ())),
        _ => Ok(()),
    };
    match read {
        Err(wrong) if wrong.field == name => {
            form.blame(wrong);
            false
        }
        _ => true,
    }
}

impl Form {
    /// Whether leaving would lose something typed.
    pub fn typed(&self) -> bool {
        self.fields.iter().any(Field::typed)
    }

    /// What was said about a text is about the text before.
    pub fn touched(&mut self) {
        self.wrong = None;
        if let Some(field) = self.field_mut() {
            field.wrong = None;
            field.wrong_at = None;
        }
    }

    /// The field the cursor is in.
    pub fn field(&self) -> Option<&Field> {
        self.fields.get(self.at)
    }

    /// The field the cursor is in, to change.
    pub fn field_mut(&mut self) -> Option<&mut Field> {
        self.fields.get_mut(self.at)
    }

    /// Puts the cursor into the field that is wrong and says why.
    pub fn blame(&mut self, wrong: Wrong) {
        match self.fields.iter().position(|f| f.name == wrong.field) {
            Some(at) => {
                self.at = at;
                if let Some(field) = self.field_mut() {
                    field.wrong_at = wrong.place;
                    if let Some(place) = wrong.place {
                        field.editor.go(place);
                    }
                    field.wrong = Some(wrong.sentence);
                }
            }
            None => self.wrong = Some(wrong.sentence),
        }
    }
}

/// A change of `old`, or the making of what has no old; none where nothing changes.
fn change<R: crimpbook_workbook::model::Row>(
    old: Option<R>,
    new: R,
) -> Option<crimpbook_workbook::edit::Change> {
    use crimpbook_workbook::edit::Change;
    match old {
        None => Some(Change::make(new)),
        Some(old) if old == new => None,
        Some(old) => Some(Change::replace(old, new)),
    }
}

/// What a builder of edits gave; `key`: the record that is changed, none for a new one, to which the cursor then goes.
fn made(key: Option<Key>, edit: Result<Edit, Refusal>) -> Taken {
    let edit = edit.map_err(|refusal| Wrong::whole(refusal.to_string()))?;
    let new = edit.changes.iter().find_map(|change| change.key());
    let then = Then {
        close: true,
        go: new.filter(|_| key.is_none()),
        advance: false,
    };
    Ok((edit, then))
}

/// The edit of one record, named by what it is called.
fn edit_one<R: crimpbook_workbook::model::Row>(old: Option<R>, new: R) -> Taken {
    use crimpbook_workbook::{edit::Edit, model::Key};
    let made = old.is_none();
    let id = new.id();
    let title = format!(
        "{} {} {}",
        R::KIND.title(),
        new.label(),
        if made { "entered" } else { "changed" }
    );
    match change(old, new) {
        None => Err(Wrong::unchanged()),
        Some(change) => Ok((
            Edit::design(title, vec![change]),
            Then {
                close: true,
                go: made.then(|| Key::of(id)),
                advance: false,
            },
        )),
    }
}

/// The edit of one record of the shelf: no change of the plan, so that no why is asked for it.
fn kept<R: crimpbook_workbook::model::Row>(name: &str, old: Option<R>, new: R) -> Taken {
    let title = format!("{name} {}", if old.is_none() { "entered" } else { "changed" });
    let made = old.is_none().then(|| Key::of(new.id()));
    let change = change(old, new).ok_or_else(Wrong::unchanged)?;
    Ok((
        Edit::progress(title, vec![change]),
        Then {
            close: true,
            go: made,
            advance: false,
        },
    ))
}
