//! Where a file lies and whose it is: on a network disk, in a folder that synchronises, another user's.

use std::{
    ffi::OsStr,
    fs,
    path::{Path, PathBuf},
};

use crate::look::folder;

/// What there is to say of where the file at `path` lies, in a sentence; none: nothing.
pub fn said_of_place(path: &Path) -> Option<String> {
    let name = path.display();
    if let Some(kind) = network_disk(path) {
        return Some(format!(
            "{name} lies on a network disk ({kind}): have it open on one machine at a time, or give each its copy and use crimpbook merge"
        ));
    }
    if let Some(twin) = twin(path) {
        return Some(format!(
            "{} lies beside it: a folder that synchronises made two of one; crimpbook merge brings them together",
            twin.display()
        ));
    }
    another_users(path).map(|user| {
        format!("{name} belongs to another user (number {user}), who can change it or close it to you; a copy would be yours")
    })
}

/// The kind of network disk that a path is on; none: it is on none, or this system does not tell.
pub(crate) fn network_disk(path: &Path) -> Option<String> {
    let mounts = fs::read_to_string("/proc/self/mountinfo").ok()?;
    let whole = path.canonicalize().ok()?;
    kind_of(&mounts, &whole).filter(|kind| NETWORK.contains(&kind.as_str()))
}

/// Kinds of disks that other machines share, as Linux names them.
const NETWORK: &[&str] = &[
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "9p",
    "afs",
    "ceph",
    "coda",
    "gfs2",
    "ocfs2",
    "davfs",
    "fuse.davfs",
    "fuse.sshfs",
    "fuse.glusterfs",
    "fuse.ceph",
];

/// The kind of the disk that holds `path`, out of the system's list of mounts (proc(5), `/proc/pid/mountinfo`).
fn kind_of(mounts: &str, path: &Path) -> Option<String> {
    let holding = mounts.lines().filter_map(|line| {
        let (before, after) = line.split_once(" - ")?;
        let point = PathBuf::from(plain(before.split(' ').nth(4)?));
        let kind = after.split(' ').next()?;
        path.starts_with(&point)
            .then(|| (point.components().count(), kind.to_owned()))
    });
    // Of two at the same place the later one lies on top.
    let deepest = holding
        .enumerate()
        .max_by_key(|(line, (depth, _))| (*depth, *line));
    deepest.map(|(_, (_, kind))| kind)
}

/// A name as it is: the list writes spaces and the like as octal numbers.
fn plain(written: &str) -> String {
    ["\\040", "\\011", "\\012", "\\134"]
        .into_iter()
        .zip([" ", "\t", "\n", "\\"])
        .fold(written.to_owned(), |name, (octal, plain)| {
            name.replace(octal, plain)
        })
}

/// A workbook beside this one whose name says that it is the same one, changed elsewhere at the same time.
fn twin(path: &Path) -> Option<PathBuf> {
    let stem = path.file_stem().and_then(OsStr::to_str)?;
    let named = |name: &str| {
        let rest = name
            .strip_prefix(stem)
            .and_then(|rest| rest.strip_suffix(".crimpbook"));
        rest.is_some_and(|rest| rest.to_lowercase().contains("conflict"))
    };
    let entries = fs::read_dir(folder(path)).ok()?.flatten();
    let mut names: Vec<String> = entries
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| named(name))
        .collect();
    names.sort();
    names.into_iter().next().map(PathBuf::from)
}

/// The number of the user a file belongs to, if that is not who runs the program.
#[cfg(unix)]
pub(crate) fn another_users(path: &Path) -> Option<u32> {
    use std::os::unix::fs::MetadataExt;
    let owner = fs::metadata(path).ok()?.uid();
    // What one makes is one's own; the system is asked so without a call that Rust holds unsafe.
    let own = tempfile::tempfile().and_then(|file| file.metadata()).ok()?.uid();
    (owner != own).then_some(owner)
}

/// Not known here.
#[cfg(not(unix))]
pub(crate) fn another_users(_path: &Path) -> Option<u32> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOUNTS: &str = "\
21 1 0:20 / / rw,relatime shared:1 - ext4 /dev/sda2 rw
22 21 0:21 / /home rw shared:2 - ext4 /dev/sda3 rw
30 22 0:30 / /home/robin/the\\040garage rw shared:9 - nfs4 server:/garage rw,vers=4.2
31 30 0:31 / /home/robin/the\\040garage/stick rw - vfat /dev/sdb1 rw
32 21 0:32 / /mnt rw - ext4 /dev/sdc1 rw
33 21 0:33 / /mnt rw - cifs //server/share rw
";

    #[test]
    fn the_disk_that_holds_a_file_is_the_one_mounted_deepest_and_last() {
        for (path, kind) in [
            ("/home/robin/van.crimpbook", "ext4"),
            ("/home/robin/the garage/van.crimpbook", "nfs4"),
            ("/home/robin/the garage/stick/van.crimpbook", "vfat"),
            ("/home/robin/the garages/van.crimpbook", "ext4"),
            ("/mnt/van.crimpbook", "cifs"),
            ("/van.crimpbook", "ext4"),
        ] {
            assert_eq!(kind_of(MOUNTS, Path::new(path)).as_deref(), Some(kind), "{path}");
        }
        assert_eq!(kind_of("not as it is written", Path::new("/a")), None);
        assert!(NETWORK.contains(&"nfs4") && !NETWORK.contains(&"vfat"));
    }

    #[test]
    fn two_of_one_made_by_a_folder_that_synchronises_are_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("van.crimpbook");
        fs::write(&path, "").unwrap();
        fs::write(folder.path().join("vanity.crimpbook"), "").unwrap();
        fs::write(folder.path().join("van conflict.txt"), "").unwrap();
        assert_eq!(said_of_place(&path), None);
        let other = "van (Robin's conflicted copy).crimpbook";
        fs::write(folder.path().join(other), "").unwrap();
        let said = said_of_place(&path).unwrap();
        assert!(
            said.starts_with(other) && said.contains("crimpbook merge"),
            "{said}"
        );
    }
}
