//! Bringing older tables up to date.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::{
    backup, connect,
    error::{StoreError, Trouble},
    look,
};

/// The version that a list of steps leads to.
pub(crate) fn version_of(steps: &[&str]) -> i32 {
    i32::try_from(steps.len()).unwrap_or(i32::MAX)
}

/// Brings the file up to date if it is older, after keeping a copy of it.
pub(crate) fn bring_up(db: &Connection, path: &Path, steps: &[&str]) -> Result<(), StoreError> {
    let at = |trouble: Trouble| trouble.at(path, "bringing it up to date");
    let to = version_of(steps);
    if connect::version(db).map_err(at)? >= to {
        return Ok(());
    }
    let kept = free_name(path, to);
    backup::copy_to(db, path, &kept)?;
    steps_up(db, steps).map_err(|trouble| {
        // The file is as it was; a copy of it is of no use.
        let _ = std::fs::remove_file(&kept);
        at(trouble)
    })
}

/// Runs the steps that are missing and sets the version, in one transaction.
pub(crate) fn steps_up(db: &Connection, steps: &[&str]) -> Result<(), Trouble> {
    // Tables may be made anew on the way; the references are checked at the end.
    db.pragma_update(None, "foreign_keys", false)?;
    let done = all_steps(db, steps);
    db.pragma_update(None, "foreign_keys", true)?;
    done
}

fn all_steps(db: &Connection, steps: &[&str]) -> Result<(), Trouble> {
    let transaction = Transaction::new_unchecked(db, TransactionBehavior::Immediate)?;
    // Read again inside: another process may have been quicker.
    let from = usize::try_from(connect::version(&transaction)?).unwrap_or(0);
    for step in steps.iter().skip(from) {
        transaction.execute_batch(step)?;
    }
    references(&transaction)?;
    transaction.pragma_update(None, "user_version", version_of(steps))?;
    transaction.commit()?;
    Ok(())
}

/// Every reference leads somewhere.
pub(crate) fn references(db: &Connection) -> Result<(), Trouble> {
    let mut statement = db.prepare("PRAGMA foreign_key_check")?;
    let mut broken = statement.query([])?;
    match broken.next()? {
        None => Ok(()),
        Some(row) => Err(Trouble::Damaged(format!(
            "a row of table {} names one of {} that is not there",
            row.get::<_, String>(0)?,
            row.get::<_, String>(2)?
        ))),
    }
}

/// `NAME.before-vN`, or with a number if that is taken.
fn free_name(path: &Path, version: i32) -> PathBuf {
    let first = look::beside(path, &format!(".before-v{version}"));
    if !first.exists() {
        return first;
    }
    (2..)
        .map(|n: u32| look::beside(path, &format!(".before-v{version}-{n}")))
        .find(|name| !name.exists())
        .unwrap_or(first)
}
