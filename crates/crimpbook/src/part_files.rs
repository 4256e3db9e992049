//! Part files on disk, as the screens read and write them.

use std::{
    fs::File,
    io::{ErrorKind, Read},
    path::{Path, PathBuf},
};

use crimpbook_record::{files::write_all, import::MOST_BYTES};

use crate::session::Trouble;

/// The text of a part file.
///
/// # Errors
/// It cannot be read, is too large, or is no text in UTF-8.
pub fn read(path: &str) -> Result<String, Trouble> {
    let mut bytes = Vec::new();
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX).saturating_add(1);
    let read = File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes));
    read.map_err(|e| {
        Trouble::File(match e.kind() {
            ErrorKind::NotFound => format!("there is no file {path}"),
            other => format!("{path} cannot be read ({other})"),
        })
    })?;
    text_of(path, bytes)
}

/// The text in a part file's bytes.
///
/// # Errors
/// It is too large, or is no text in UTF-8.
pub fn text_of(name: &str, bytes: Vec<u8>) -> Result<String, Trouble> {
    if bytes.len() > MOST_BYTES {
        return Err(Trouble::File(format!("{name} is larger than any part file")));
    }
    String::from_utf8(bytes).map_err(|_| Trouble::File(format!("{name} is not UTF-8 text, as JSON must be")))
}

/// Writes a part file; one that is there already stays.
///
/// # Errors
/// Something is called so already, or it cannot be written.
pub fn write(path: &str, text: &str) -> Result<(), Trouble> {
    let place = PathBuf::from(path);
    let Some(name) = place.file_name().map(|n| n.to_string_lossy().into_owned()) else {
        return Err(Trouble::File(format!("{path} names no file to write")));
    };
    let folder = place.parent().filter(|p| !p.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    // Looked for where it will be written: what is typed may end in a slash.
    match folder.join(&name).symlink_metadata() {
        Err(why) if why.kind() == ErrorKind::NotFound => {}
        Err(why) => {
            return Err(Trouble::File(format!(
                "{path} cannot be written ({})",
                why.kind()
            )));
        }
        Ok(_) => {
            return Err(Trouble::File(format!(
                "{path} is there already; choose another name"
            )));
        }
    }
    write_all(folder, &[(name, text.as_bytes().to_vec())]).map_err(|why| Trouble::File(why.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_file_is_written_once_and_read_back() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mc.json").display().to_string();
        write(&path, "{}\n").unwrap();
        assert_eq!(read(&path).unwrap(), "{}\n");
        for other in [format!("{path}/"), format!("{path}/.")] {
            assert!(write(&other, "other").is_err(), "{other}");
        }
        let again = write(&path, "other").unwrap_err().to_string();
        assert!(
            again.ends_with("is there already; choose another name"),
            "{again}"
        );
        assert_eq!(read(&path).unwrap(), "{}\n");
        assert!(
            read(&format!("{path}.no"))
                .unwrap_err()
                .to_string()
                .contains("there is no file")
        );
        assert!(write("..", "x").is_err());
    }
}
