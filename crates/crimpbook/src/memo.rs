//! What is remembered of this person between runs: the workbooks opened last, and the colours. Nothing of it is needed:
//! where it cannot be read or kept, the program starts as if for the first time.

use std::{
    env, fs, io,
    path::{Path, PathBuf},
};

use serde_json::{Value, json};

use crate::screen::theme::Scheme;

/// So many workbooks are remembered.
const MOST: usize = 12;

/// What is remembered.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Memo {
    /// Workbooks, the one opened last first.
    pub opened: Vec<PathBuf>,
    /// The colours chosen last.
    pub scheme: Scheme,
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
        Self {
            opened: opened
                .filter_map(Value::as_str)
                .map(PathBuf::from)
                .take(MOST)
                .collect(),
            scheme: Scheme::ALL
                .into_iter()
                .find(|known| Some(known.words()) == scheme)
                .unwrap_or_default(),
        }
    }

    fn to_text(&self) -> String {
        // A path that is not Unicode could not be read back.
        let opened: Vec<&str> = self.opened.iter().filter_map(|path| path.to_str()).collect();
        format!(
            "{:#}\n",
            json!({ "opened": opened, "colours": self.scheme.words() })
        )
    }
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
        };
        assert_eq!(Memo::from_text(&memo.to_text()), memo);
        for text in ["", "[]", "{\"opened\": 3, \"colours\": []}", "\u{0}"] {
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
