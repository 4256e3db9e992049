//! The first screen, where the program was started without a workbook: one's own, the demo, or one opened before.

mod view;

use std::path::{Path, PathBuf};

use super::{
    editor::Editor,
    keys::{Input, Key, one_line},
    theme::Look,
};
pub use view::draw;

/// What the first screen shows.
#[derive(Debug, Clone)]
pub struct Start {
    rows: Vec<Row>,
    at: usize,
    form: Option<Form>,
    /// The workbook that another copy is being chosen for, to merge it.
    into: Option<PathBuf>,
    /// What did not go, in a sentence.
    pub note: Option<String>,
    look: Look,
}

/// A row to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The part of the page it belongs to.
    pub part: Part,
    /// What it is.
    pub words: String,
    /// What stands behind it.
    pub more: String,
    /// What choosing it comes to.
    pub choice: Choice,
}

/// Parts of the page, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// What can be begun.
    Begin,
    /// Workbooks in the folder.
    Here,
    /// Workbooks opened before.
    Before,
}

/// What was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Choice {
    /// A new workbook is to be named first.
    Name,
    /// Start a workbook for this vehicle.
    New {
        /// What the vehicle is called.
        vehicle: String,
        /// Where to make it.
        file: PathBuf,
    },
    /// The demo vehicle.
    Demo,
    /// Open this one.
    Open(PathBuf),
    /// Open a workbook and merge another copy with it.
    Merge {
        /// The workbook.
        file: PathBuf,
        /// The other copy, which stays as it is.
        other: PathBuf,
    },
    /// Leave.
    Leave,
}

/// A workbook being named.
#[derive(Debug, Clone, Default)]
struct Form {
    vehicle: Editor,
    /// Named once the vehicle is.
    file: Option<Editor>,
}

/// A key of this screen, for the line of keys and for the help in the README.
pub const KEYS: &[(&str, &str)] = &[
    ("Enter", "open"),
    ("n", "new workbook"),
    ("d", "demo"),
    ("m", "merge"),
    ("q", "quit"),
];

impl Start {
    /// The screen with the workbooks of the folder and those opened before: names, and what stands behind them.
    pub fn new(here: Vec<(PathBuf, String)>, before: Vec<(PathBuf, String)>, look: Look) -> Self {
        let begin = |words: &str, more: &str, choice| Row {
            part: Part::Begin,
            words: words.to_owned(),
            more: more.to_owned(),
            choice,
        };
        let mut rows = vec![
            begin("Start a workbook of your own", "n", Choice::Name),
            begin("Look at the invented demo vehicle", "d", Choice::Demo),
        ];
        let books = |part, books: Vec<(PathBuf, String)>| {
            books.into_iter().map(move |(path, more)| Row {
                part,
                words: path
                    .file_name()
                    .unwrap_or(path.as_os_str())
                    .to_string_lossy()
                    .into_owned(),
                more,
                choice: Choice::Open(path),
            })
        };
        rows.extend(books(Part::Here, here));
        rows.extend(books(Part::Before, before));
        // Whoever has a workbook most likely wants to go on with it.
        let at = if rows.len() > 2 { 2 } else { 0 };
        Self {
            rows,
            at,
            form: None,
            into: None,
            note: None,
            look,
        }
    }

    /// Takes in what a person does; what they chose, once they did.
    pub fn take(&mut self, input: Input) -> Option<Choice> {
        match (input, self.form.is_some()) {
            (Input::Key(Key::Ctrl('c')), _) => Some(Choice::Leave),
            (Input::Key(key), false) => self.choose(key),
            (Input::Key(key), true) => self.name(key),
            (Input::Wheel { .. } | Input::Click(..), _) => None,
            (Input::Paste(text), true) => {
                let (text, _) = one_line(&text);
                self.editor().insert(&text);
                None
            }
            _ => None,
        }
    }

    fn choose(&mut self, key: Key) -> Option<Choice> {
        let last = self.rows.len().saturating_sub(1);
        match key {
            Key::Up | Key::Char('k') => self.at = self.at.saturating_sub(1),
            Key::Down | Key::Char('j') => self.at = (self.at + 1).min(last),
            Key::Home => self.at = 0,
            Key::End => self.at = last,
            Key::Char('m') => self.merge(),
            Key::Esc if self.into.take().is_some() => self.note = None,
            Key::Enter if self.into.is_some() => return self.merged(),
            Key::Enter => return self.chosen(self.rows.get(self.at)?.choice.clone()),
            Key::Char('n') => return self.chosen(Choice::Name),
            Key::Char('d') => return Some(Choice::Demo),
            Key::Char('q') | Key::Esc => return Some(Choice::Leave),
            Key::Char('?') => {
                self.note =
                    Some("the last line names every key there is here; in a workbook ? shows all".to_owned());
            }
            _ => self.note = Some("no such key here; the last line names those there are".to_owned()),
        }
        None
    }

    /// The workbook under the cursor, if the cursor is on one.
    fn workbook(&self) -> Option<&PathBuf> {
        match &self.rows.get(self.at)?.choice {
            Choice::Open(path) => Some(path),
            _ => None,
        }
    }

    /// Takes the workbook under the cursor as the one that another copy is merged with.
    fn merge(&mut self) {
        self.into = self.workbook().cloned();
        self.note = Some(match &self.into {
            Some(path) => format!(
                "merge which other copy with {}? go to it, Enter; Esc: none",
                path.file_name().unwrap_or(path.as_os_str()).to_string_lossy()
            ),
            None => "go to the workbook that shall get the other copy's changes first".to_owned(),
        });
    }

    /// The copy under the cursor is to be merged.
    fn merged(&mut self) -> Option<Choice> {
        let other = self.workbook()?.clone();
        let file = self.into.take()?;
        if other == file {
            self.into = Some(file);
            self.note = Some("that is the same file; go to the other copy, Enter; Esc: none".to_owned());
            return None;
        }
        self.note = None;
        Some(Choice::Merge { file, other })
    }

    fn chosen(&mut self, choice: Choice) -> Option<Choice> {
        self.note = None;
        if choice == Choice::Name {
            self.form = Some(Form::default());
            return None;
        }
        Some(choice)
    }

    fn editor(&mut self) -> &mut Editor {
        let form = self.form.get_or_insert_default();
        form.file.as_mut().unwrap_or(&mut form.vehicle)
    }

    fn name(&mut self, key: Key) -> Option<Choice> {
        match key {
            Key::Char(c) => self.editor().insert(c.encode_utf8(&mut [0; 4])),
            Key::Backspace => self.editor().backspace(),
            Key::Delete => self.editor().delete(),
            Key::Left => self.editor().left(),
            Key::Right => self.editor().right(),
            Key::Home => self.editor().home(),
            Key::End => self.editor().end(),
            Key::Esc => self.step_back(),
            Key::Enter => return self.step_on(),
            _ => {}
        }
        None
    }

    /// From the file's name back to the vehicle's, from there back to the list.
    fn step_back(&mut self) {
        self.note = None;
        match &mut self.form {
            Some(form) if form.file.is_some() => form.file = None,
            _ => self.form = None,
        }
    }

    fn step_on(&mut self) -> Option<Choice> {
        let form = self.form.as_mut()?;
        let vehicle = form.vehicle.text().trim().to_owned();
        if vehicle.is_empty() {
            self.note =
                Some("the vehicle needs a name: any word will do, it can be changed later".to_owned());
            return None;
        }
        self.note = None;
        let Some(file) = &form.file else {
            form.file = Some(Editor::with(file_for(&vehicle)));
            return None;
        };
        let mut file = PathBuf::from(file.text().trim());
        if file.as_os_str().is_empty() {
            file = PathBuf::from(file_for(&vehicle));
        }
        // A workbook's name ends so; whoever left it out meant it.
        if file.extension().is_none() {
            file.set_extension("crimpbook");
        }
        Some(Choice::New { vehicle, file })
    }
}

/// A file's name made from a vehicle's: lower case, what is not a letter or digit of any script becomes a hyphen.
fn file_for(vehicle: &str) -> String {
    let mut name = String::new();
    for c in vehicle.chars().flat_map(char::to_lowercase) {
        match c {
            c if c.is_alphanumeric() => name.push(c),
            _ if name.ends_with('-') || name.is_empty() => {}
            _ => name.push('-'),
        }
    }
    let name: String = name.trim_end_matches('-').chars().take(40).collect();
    let name = if name.is_empty() { "vehicle" } else { &name };
    format!("{name}.crimpbook")
}

/// A folder as people write it: from the home folder on, where it is below that.
pub fn short(path: &Path, home: Option<&Path>) -> String {
    let below = home.and_then(|home| path.strip_prefix(home).ok());
    match below {
        Some(below) if below.as_os_str().is_empty() => "~".to_owned(),
        Some(below) => format!("~/{}", below.display()),
        None => path.display().to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::testkit::{keys, styles_of, text_of};
    use ratatui::{buffer::Buffer, layout::Rect};

    fn start(books: &[&str]) -> Start {
        let here = books
            .iter()
            .map(|name| (PathBuf::from(name), "changed 3 days ago".to_owned()))
            .collect();
        let before = vec![(
            PathBuf::from("/home/robin/cars/bus.crimpbook"),
            "in ~/cars, changed 2 years ago".to_owned(),
        )];
        Start::new(
            here,
            if books.is_empty() { Vec::new() } else { before },
            Look::default(),
        )
    }

    fn press(start: &mut Start, typed: &str) -> Option<Choice> {
        let mut choice = None;
        for key in keys(typed) {
            choice = start.take(Input::Key(key));
        }
        choice
    }

    fn shown(start: &Start, width: u16, height: u16) -> Buffer {
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        draw(start, area, &mut buffer);
        buffer
    }

    #[test]
    fn the_first_run_leads_to_a_workbook_of_ones_own() {
        let mut start = start(&[]);
        assert_eq!(press(&mut start, "<Enter>Marsh hen, 2<Enter>"), None);
        let made = press(&mut start, "<Enter>");
        assert_eq!(
            made,
            Some(Choice::New {
                vehicle: "Marsh hen, 2".to_owned(),
                file: PathBuf::from("marsh-hen-2.crimpbook"),
            })
        );
    }

    #[test]
    fn a_vehicle_without_a_name_is_asked_for_one_and_nothing_typed_is_lost() {
        let mut start = start(&[]);
        assert_eq!(press(&mut start, "n <Enter>"), None);
        assert!(
            start
                .note
                .as_ref()
                .is_some_and(|note| note.contains("needs a name"))
        );
        assert_eq!(press(&mut start, "<Back>Van<Enter><Esc>"), None);
        let made = press(&mut start, " 7<Enter><Enter>");
        assert!(matches!(made, Some(Choice::New { vehicle, .. }) if vehicle == "Van 7"));
    }

    #[test]
    fn the_file_may_be_named_otherwise_and_gets_its_ending() {
        let mut start = start(&[]);
        let made = press(&mut start, "nVan<Enter><Home>x<Enter>");
        assert!(matches!(made, Some(Choice::New { file, .. }) if file == Path::new("xvan.crimpbook")));
        let mut start = self::start(&[]);
        let typed = format!("nVan<Enter>{}cars/a<Enter>", "<Back>".repeat(13));
        let made = press(&mut start, &typed);
        assert!(matches!(made, Some(Choice::New { file, .. }) if file == Path::new("cars/a.crimpbook")));
    }

    #[test]
    fn the_cursor_begins_on_the_workbook_that_is_there() {
        let mut start = start(&["van.crimpbook", "bus.crimpbook"]);
        let first = press(&mut start.clone(), "<Enter>");
        assert_eq!(first, Some(Choice::Open(PathBuf::from("van.crimpbook"))));
        let last = press(&mut start, "<End><Enter>");
        assert_eq!(
            last,
            Some(Choice::Open(PathBuf::from("/home/robin/cars/bus.crimpbook")))
        );
        assert_eq!(press(&mut start, "d"), Some(Choice::Demo));
        assert_eq!(press(&mut start, "q"), Some(Choice::Leave));
    }

    #[test]
    fn two_copies_are_chosen_to_be_merged() {
        let mut start = start(&["van.crimpbook", "bus.crimpbook"]);
        assert_eq!(press(&mut start, "m<Enter>"), None, "the same file");
        assert!(start.note.as_ref().is_some_and(|note| note.contains("same file")));
        let chosen = press(&mut start, "<Down><Enter>");
        assert_eq!(
            chosen,
            Some(Choice::Merge {
                file: PathBuf::from("van.crimpbook"),
                other: PathBuf::from("bus.crimpbook"),
            })
        );
        assert_eq!(press(&mut start, "m<Esc>"), None);
        let opened = press(&mut start, "<Enter>");
        assert_eq!(opened, Some(Choice::Open(PathBuf::from("bus.crimpbook"))));
        press(&mut start, "<Home>m");
        assert!(
            start
                .note
                .as_ref()
                .is_some_and(|note| note.contains("go to the workbook"))
        );
    }

    #[test]
    fn a_key_that_does_nothing_says_so() {
        let mut start = start(&[]);
        assert_eq!(press(&mut start, "z"), None);
        assert!(start.note.is_some());
    }

    #[test]
    fn what_did_not_go_is_told_whole() {
        let mut start = start(&["van.crimpbook"]);
        let note = "there is no folder /nowhere: make the folder first, or name the file in another one; nothing was made";
        start.note = Some(note.to_owned());
        for (width, height) in [(60, 18), (80, 24), (40, 12)] {
            let screen = text_of(&shown(&start, width, height));
            let words: Vec<&str> = screen.split_whitespace().collect();
            assert!(
                words.join(" ").contains(&format!("› {note} Enter open")),
                "{screen}"
            );
        }
    }

    #[test]
    fn names_of_files_are_made_of_any_script() {
        assert_eq!(file_for("Škoda & Co."), "škoda-co.crimpbook");
        assert_eq!(file_for("../../etc"), "etc.crimpbook");
        assert_eq!(file_for("!!!"), "vehicle.crimpbook");
    }

    #[test]
    fn home_is_written_short() {
        let home = Path::new("/home/robin");
        assert_eq!(short(Path::new("/home/robin/cars"), Some(home)), "~/cars");
        assert_eq!(short(home, Some(home)), "~");
        assert_eq!(short(Path::new("/mnt"), Some(home)), "/mnt");
    }

    #[test]
    fn the_first_screen() {
        for (width, height) in [(80, 24), (60, 18), (120, 40)] {
            let buffer = shown(&start(&["van.crimpbook", "bus.crimpbook"]), width, height);
            let both = format!("{}\n---\n{}", text_of(&buffer), styles_of(&buffer));
            insta::assert_snapshot!(format!("start_{width}x{height}"), both);
        }
        let mut naming = start(&[]);
        press(&mut naming, "nMarsh hen<Enter>");
        insta::assert_snapshot!("start_naming_80x24", text_of(&shown(&naming, 80, 24)));
    }

    #[test]
    fn nothing_panics_at_any_size() {
        let mut naming = start(&["van.crimpbook"]);
        press(&mut naming, "n");
        for (width, height) in [(0, 0), (1, 1), (10, 3), (40, 12), (300, 80)] {
            shown(&start(&["a.crimpbook"]), width, height);
            shown(&naming, width, height);
        }
    }
}
