//! Folders where nothing may be written, and outputs that nobody reads.

use std::{
    fs::{self, Permissions},
    io::Read,
    os::unix::{
        fs::{MetadataExt, PermissionsExt},
        process::CommandExt,
    },
    path::Path,
    process::{Command, Stdio},
};

use crate::harness::{BLANK, Home, PROGRAM, Ran, Terminal, WIRED, book};

/// Nobody's number; root runs the program under it, since nothing is forbidden to root.
const NOBODY: u32 = 65534;

fn allow(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).unwrap();
}

/// Runs the program as a person who is not root.
fn as_a_person(home: &Home, args: &[&str]) -> Ran {
    let mut command = Command::new(home.bench().with_file_name("program"));
    command
        .args(args)
        .current_dir(home.bench())
        .env_clear()
        .envs(home.surroundings())
        .stdin(Stdio::null());
    if fs::metadata(home.bench()).unwrap().uid() == 0 {
        command.uid(NOBODY).gid(NOBODY);
    }
    home.finish(&mut command)
}

#[test]
fn a_workbook_in_a_read_only_folder_is_checked_listed_and_exported() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let program = home.bench().with_file_name("program");
    // By a process of its own: a test beside this one that starts a program would hold it open for writing.
    let copied = Command::new("cp").arg(PROGRAM).arg(&program).status();
    assert!(copied.unwrap().success());
    let above = home.bench().parent().unwrap().to_owned();
    let out = above.join("out");
    fs::create_dir(&out).unwrap();
    allow(&above, 0o755);
    allow(&program, 0o755);
    allow(&above.join("tmp"), 0o777);
    allow(&out, 0o777);
    allow(&home.path("van.crimpbook"), 0o444);
    allow(&home.bench(), 0o555);
    let before = home.bytes("van.crimpbook");
    let (record, json) = (out.join("record"), out.join("van.json"));
    for args in [
        ["check", "van.crimpbook"].as_slice(),
        &["log", "van.crimpbook", "--verify"],
        &["export", "van.crimpbook", "--json"],
        &["export", "van.crimpbook", "--json", "-o", json.to_str().unwrap()],
        &["record", "van.crimpbook", "-o", record.to_str().unwrap()],
    ] {
        let ran = as_a_person(&home, args);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{args:?}");
    }
    for args in [
        ["new", "bus.crimpbook"].as_slice(),
        &["demo"],
        &["record", "van.crimpbook", "-o", "record"],
        &["export", "van.crimpbook", "--json", "-o", "van.json"],
    ] {
        let ran = as_a_person(&home, args);
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{args:?}: {}", ran.err);
        assert!(
            ran.err.contains("read-only") || ran.err.contains("may not be written to"),
            "{args:?}: {}",
            ran.err
        );
    }
    assert_eq!(home.bytes("van.crimpbook"), before);
    assert_eq!(home.names(), ["van.crimpbook"]);
    // Whoever is not root could not tidy up otherwise.
    allow(&home.bench(), 0o755);
}

/// A home whose program anybody may run; none where the tests are not run by root, who alone can make a file another user's.
fn anybodys() -> Option<Home> {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let program = home.bench().with_file_name("program");
    let copied = Command::new("cp").arg(PROGRAM).arg(&program).status();
    assert!(copied.unwrap().success());
    let above = home.bench().parent().unwrap().to_owned();
    allow(&above, 0o755);
    allow(&program, 0o755);
    allow(&above.join("tmp"), 0o777);
    allow(&home.bench(), 0o777);
    (fs::metadata(home.bench()).unwrap().uid() == 0).then_some(home)
}

#[test]
fn a_file_that_belongs_to_another_user_says_so() {
    let Some(home) = anybodys() else { return };
    let before = home.bytes("van.crimpbook");
    // Its owner's alone, as it was made.
    let ran = as_a_person(&home, &["check", "van.crimpbook"]);
    assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{}", ran.err);
    assert!(
        ran.err.contains(
            "is not permitted, and the file belongs to another user (number 0); nothing was changed"
        ) && ran.err.contains("ask its owner"),
        "{}",
        ran.err
    );
    // To be read by everybody.
    allow(&home.path("van.crimpbook"), 0o644);
    let ran = as_a_person(&home, &["log", "van.crimpbook", "--verify"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
    let ran = as_a_person(&home, &["tick", "van.crimpbook", "PB-A", "crimp", "1"]);
    assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{}", ran.err);
    assert!(
        ran.err.contains(
            "cannot be changed: the file is read-only, and the file belongs to another user (number 0)"
        ),
        "{}",
        ran.err
    );
    assert_eq!(home.bytes("van.crimpbook"), before);
    assert_eq!(home.names(), ["van.crimpbook"]);
    // Where root opens what is somebody's, the screen says whose it is.
    std::os::unix::fs::chown(home.path("van.crimpbook"), Some(NOBODY), None).unwrap();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.wait_for("belongs to another user (number 65534)");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn two_of_one_in_a_folder_that_synchronises_are_told_on_the_screen() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    fs::copy(
        home.path("van.crimpbook"),
        home.path("van (conflict, laptop).crimpbook"),
    )
    .unwrap();
    let mut screen = Terminal::start(&home, &["van.crimpbook"]);
    screen.wait_for("van (conflict, laptop).crimpbook lies beside it");
    screen.press("q");
    screen.ends_tidily();
}

#[test]
fn a_pipe_that_is_closed_early_is_no_trouble() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    // Far more than a pipe holds, so that writing goes on after the reader has left.
    let mut child = home
        .command(&["export", "pipit.crimpbook", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut pipe = child.stdout.take().unwrap();
    pipe.read_exact(&mut [0; 16]).unwrap();
    drop(pipe);
    let output = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn an_output_that_takes_nothing_is_told() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else {
        // Only some systems have it.
        return;
    };
    let output = home
        .command(&["check", "van.crimpbook"])
        .stdout(full)
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(4), "{err}");
    assert!(err.contains("standard output cannot be written"), "{err}");
}
