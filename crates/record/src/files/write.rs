//! Writing files whole or not at all.

use std::{
    fs::{self, File},
    io::Write,
    path::{Path, PathBuf},
};

use tempfile::{Builder, NamedTempFile};

use super::WriteError;

/// Writes `files` (name with `/`, bytes) into `folder`, which is made if it is not there. Files of these names are
/// replaced; others are left alone.
///
/// All are written beside their places and synced before the first takes its place, so that a full disk or a pulled stick
/// leaves what was there before.
///
/// # Errors
/// [`WriteError`], in one sentence.
pub fn write_all(folder: &Path, files: &[(String, Vec<u8>)]) -> Result<(), WriteError> {
    let mut made = Vec::new();
    let result = staged(folder, files, &mut made).and_then(|staged| place(folder, staged));
    if result.is_err() {
        // Folders that were made for nothing go again; one that is not empty stays.
        for folder in made.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
    result
}

/// A file that is written, and its place.
type Staged = (NamedTempFile, PathBuf);

fn staged(
    folder: &Path,
    files: &[(String, Vec<u8>)],
    made: &mut Vec<PathBuf>,
) -> Result<Vec<Staged>, WriteError> {
    files
        .iter()
        .map(|(name, bytes)| {
            let target = folder.join(name);
            let parent = target.parent().unwrap_or(folder);
            make_folder(parent, made)?;
            if target.is_dir() {
                return Err(WriteError::IsAFolder(target));
            }
            let mut file = builder()
                .tempfile_in(parent)
                .map_err(|why| WriteError::of(parent, why))?;
            file.write_all(bytes)
                .and_then(|()| file.as_file().sync_all())
                .map_err(|why| WriteError::of(folder, why))?;
            Ok((file, target))
        })
        .collect()
}

/// Temporary files that are named so that a person knows them, with the rights any new file gets.
fn builder() -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.prefix(".crimpbook-").suffix(".part");
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder
}

fn make_folder(folder: &Path, made: &mut Vec<PathBuf>) -> Result<(), WriteError> {
    if folder.as_os_str().is_empty() || folder.is_dir() {
        return Ok(());
    }
    if folder.exists() {
        return Err(WriteError::IsAFile(folder.to_owned()));
    }
    if let Some(parent) = folder.parent() {
        make_folder(parent, made)?;
    }
    fs::create_dir(folder).map_err(|why| WriteError::of(folder, why))?;
    made.push(folder.to_owned());
    Ok(())
}

fn place(folder: &Path, staged: Vec<Staged>) -> Result<(), WriteError> {
    let all = staged.len();
    let mut folders: Vec<PathBuf> = Vec::new();
    for (placed, (file, target)) in staged.into_iter().enumerate() {
        if let Err(error) = file.persist(&target) {
            return Err(if placed == 0 {
                WriteError::of(&target, error.error)
            } else {
                WriteError::Partly {
                    folder: folder.to_owned(),
                    placed,
                    all,
                    why: error.error,
                }
            });
        }
        if let Some(parent) = target.parent().filter(|p| !folders.iter().any(|f| f == p)) {
            folders.push(parent.to_owned());
        }
    }
    for folder in folders {
        // Not every system can sync a folder; the files themselves are synced.
        let _ = File::open(folder).and_then(|f| f.sync_all());
    }
    Ok(())
}
