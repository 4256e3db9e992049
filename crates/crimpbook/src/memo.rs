//! What is remembered of this person between runs: the workbooks opened last, how their
//! lists were left, and the colours. Nothing of it is needed:
//! where it cannot be read or kept, the program starts as if for the first time.

use std::{
    collections::BTreeMap,
    env, fs, io,
    path::{Path, PathBuf},
};

use serde_json::{Value, json};

use crate::screen::{
    habits::Habits,
    model::sieve::{Sieve, Sieves},
    theme::Scheme,
};

/// So many workbooks are remembered.
const MOST: usize = 12;

/// What is remembered.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Memo {
    /// Workbooks, the one opened last first.
    pub opened: Vec<PathBuf>,
    /// The colours chosen last.
    pub scheme: Scheme,
    /// Whether the mouse is listened to.
    pub mouse: bool,
    /// The orders and words of the lists of each of these workbooks, where they are not as they come.
    pub lists: BTreeMap<PathBuf, Sieves>,
}

impl Memo {
    /// What is remembered from before.
    pub fn read() -> Self {
        let text = file().and_then(|file| fs::read_to_string(file).ok());
        text.map_or_else(Self::default, |text| Self::from_text(&text))
    }

    /// Remembers a workbook as the one opened last.
    pub fn opened(&mut self, file: &Path) {
        let Ok(file) = file.canonicalize() else { return };
        self.opened.retain(|other| *other != file);
        self.opened.insert(0, file);
        self.opened.truncate(MOST);
    }

    /// How things were left, and the lists of a workbook.
    pub fn habits(&self, file: &Path) -> Habits {
        let file = file.canonicalize().ok();
        let lists = file.and_then(|file| self.lists.get(&file));
        Habits {
            scheme: self.scheme,
            mouse: self.mouse,
            lists: lists.cloned().unwrap_or_default(),
        }
    }

    /// Remembers how things were left, and the lists of a workbook.
    pub fn left(&mut self, file: &Path, habits: Habits) {
        self.scheme = habits.scheme;
        self.mouse = habits.mouse;
        let Ok(file) = file.canonicalize() else { return };
        self.lists.remove(&file);
        if !habits.lists.0.is_empty() {
            self.lists.insert(file, habits.lists);
        }
    }

    /// Keeps it for the next run. That it could not be kept is no trouble of anybody's.
    pub fn keep(&self) {
        if let Some(file) = file() {
            let _ = write(&file, &self.to_text());
        }
    }

    fn from_text(text: &str) -> Self {
        let value: Value = serde_json::from_str(text).unwrap_or_default();
        let opened = value["opened"].as_array().into_iter().flatten();
        let scheme = value["colours"].as_str();
        let opened: Vec<PathBuf> = opened
            .filter_map(Value::as_str)
            .map(PathBuf::from)
            .take(MOST)
            .collect();
        let lists = value["lists"].as_object().into_iter().flatten();
        Self {
            lists: lists
                .map(|(file, lists)| (PathBuf::from(file), sieves(lists)))
                .filter(|(file, lists)| opened.contains(file) && !lists.0.is_empty())
                .collect(),
            opened,
            mouse: value["mouse"].as_bool().unwrap_or(false),
            scheme: Scheme::ALL
                .into_iter()
                .find(|known| Some(known.words()) == scheme)
                .unwrap_or_default(),
        }
    }

    fn to_text(&self) -> String {
        // A path that is not Unicode could not be read back.
        let opened: Vec<&str> = self.opened.iter().filter_map(|path| path.to_str()).collect();
        let lists = self.lists.iter().filter(|(file, _)| self.opened.contains(file));
        let lists: serde_json::Map<String, Value> = lists
            .filter_map(|(file, lists)| Some((file.to_str()?.to_owned(), json_of(lists))))
            .collect();
        format!(
            "{:#}\n",
            json!({ "opened": opened, "colours": self.scheme.words(), "mouse": self.mouse, "lists": lists })
        )
    }
}

fn sieves(value: &Value) -> Sieves {
    let one = |value: &Value| Sieve {
        by: value["order"]
            .as_u64()
            .and_then(|by| usize::try_from(by).ok())
            .unwrap_or(0),
        turned: value["turned"].as_bool().unwrap_or(false),
        words: value["words"].as_str().unwrap_or_default().to_owned(),
    };
    let all = value.as_object().into_iter().flatten();
    Sieves(
        all.map(|(name, value)| (name.clone(), one(value)))
            .filter(|(_, sieve)| !sieve.is_plain())
            .collect(),
    )
}

fn json_of(lists: &Sieves) -> Value {
    let one = |sieve: &Sieve| json!({ "order": sieve.by, "turned": sieve.turned, "words": sieve.words });
    lists
        .0
        .iter()
        .map(|(name, sieve)| (name.clone(), one(sieve)))
        .collect()
}

/// Where it is kept: the folder for state of the XDG base directories, else the usual place in the home folder.
fn file() -> Option<PathBuf> {
    let folder = |name: &str| {
        let path = PathBuf::from(env::var_os(name)?);
        path.is_absolute().then_some(path)
    };
    let state = folder("XDG_STATE_HOME")
        .or_else(|| Some(folder("HOME")?.join(".local").join("state")))
        .or_else(|| folder("LOCALAPPDATA"))?;
    Some(state.join("crimpbook").join("memo.json"))
}

/// Writes it beside and puts it in place, so that two runs that end together leave one whole file.
fn write(file: &Path, text: &str) -> io::Result<()> {
    let folder = file.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    // It is its maker's alone, as temporary files are.
    let mut fresh = tempfile::NamedTempFile::new_in(folder)?;
    io::Write::write_all(&mut fresh, text.as_bytes())?;
    fresh.persist(file)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_reads_what_it_wrote_and_shrugs_at_anything_else() {
        let memo = Memo {
            opened: vec![
                PathBuf::from("/cars/van.crimpbook"),
                PathBuf::from("/cars/bus.crimpbook"),
            ],
            scheme: Scheme::Light,
            mouse: true,
            lists: BTreeMap::from([(
                PathBuf::from("/cars/bus.crimpbook"),
                Sieves(BTreeMap::from([(
                    "wires".to_owned(),
                    Sieve {
                        by: 2,
                        turned: true,
                        words: "rd 0.5".to_owned(),
                    },
                )])),
            )]),
        };
        assert_eq!(Memo::from_text(&memo.to_text()), memo);
        for text in [
            "",
            "[]",
            "{\"opened\": 3, \"colours\": []}",
            "{\"lists\": {\"/a\": {\"wires\": 3}}}",
            "\u{0}",
        ] {
            assert_eq!(Memo::from_text(text), Memo::default(), "{text}");
        }
    }

    #[test]
    fn the_last_one_opened_stands_first_and_once() {
        let folder = tempfile::tempdir().unwrap();
        let paths: Vec<PathBuf> = (0..20)
            .map(|n| folder.path().join(format!("{n}.crimpbook")))
            .collect();
        let mut memo = Memo::default();
        for path in &paths {
            fs::write(path, "").unwrap();
            memo.opened(path);
        }
        memo.opened(&paths[12]);
        memo.opened(&folder.path().join("not there"));
        assert_eq!(memo.opened.len(), MOST);
        assert!(memo.opened[0].ends_with("12.crimpbook") && memo.opened[1].ends_with("19.crimpbook"));
        assert_eq!(
            memo.opened.iter().filter(|p| p.ends_with("12.crimpbook")).count(),
            1
        );
    }
}
