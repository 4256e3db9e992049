//! A folder of one's own for each test, and the program run in it without a terminal.

use std::{
    ffi::OsStr,
    fs,
    io::Write,
    path::PathBuf,
    process::{Command, Stdio},
};

use tempfile::TempDir;

/// The program.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_crimpbook");

/// Who is at work, as it stands in the log.
pub const WHO: &str = "Robin";

/// A scratch folder with a home, a place for temporary files and a bench to work on.
pub struct Home {
    folder: TempDir,
}

/// What a run of the program came to.
#[derive(Debug)]
pub struct Ran {
    /// Its exit code.
    pub code: i32,
    /// What it printed; the scratch folder's name is left out.
    pub out: String,
    /// What it said beside it.
    pub err: String,
}

impl Home {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        for name in ["home", "tmp", "bench"] {
            fs::create_dir(folder.path().join(name)).unwrap();
        }
        Self { folder }
    }

    /// The folder the program runs in.
    pub fn bench(&self) -> PathBuf {
        self.folder.path().join("bench")
    }

    /// A path on the bench.
    pub fn path(&self, name: &str) -> PathBuf {
        self.bench().join(name)
    }

    /// Puts a file on the bench.
    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        fs::write(&path, text).unwrap();
        path
    }

    /// The bytes of a file on the bench.
    pub fn bytes(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).unwrap()
    }

    /// Names of what lies on the bench, sorted.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.bench()).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// All that the program sees of its surroundings.
    pub fn surroundings(&self) -> Vec<(&'static str, String)> {
        let at = |name: &str| self.folder.path().join(name).to_str().unwrap().to_owned();
        vec![
            ("HOME", at("home")),
            ("TMPDIR", at("tmp")),
            ("TERM", "xterm-256color".to_owned()),
            ("LANG", "C.UTF-8".to_owned()),
            ("TZ", "UTC".to_owned()),
            ("CRIMPBOOK_WHO", WHO.to_owned()),
        ]
    }

    /// The program, ready to be run on the bench without a terminal.
    pub fn command<S: AsRef<OsStr>>(&self, args: &[S]) -> Command {
        let mut command = Command::new(PROGRAM);
        command
            .args(args)
            .current_dir(self.bench())
            .env_clear()
            .envs(self.surroundings())
            .stdin(Stdio::null());
        command
    }

    /// Runs the program to its end.
    pub fn run<S: AsRef<OsStr>>(&self, args: &[S]) -> Ran {
        self.finish(&mut self.command(args))
    }

    /// Runs it with something piped in.
    pub fn run_with_input<S: AsRef<OsStr>>(&self, args: &[S], input: &str) -> Ran {
        let mut command = self.command(args);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        // A program that refuses at once may close its end first.
        let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
        self.ran(child.wait_with_output().unwrap())
    }

    /// Runs a command to its end.
    pub fn finish(&self, command: &mut Command) -> Ran {
        self.ran(command.output().unwrap())
    }

    /// Runs the program and expects it to go well.
    pub fn well<S: AsRef<OsStr>>(&self, args: &[S]) -> String {
        let ran = self.run(args);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.out);
        ran.out
    }

    /// Makes a workbook out of interchange JSON.
    pub fn make(&self, name: &str, json: &str) {
        let ran = self.run_with_input(&["new", name, "--from", "-"], json);
        assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    }

    fn ran(&self, output: std::process::Output) -> Ran {
        let text = |bytes: Vec<u8>| {
            let text = String::from_utf8(bytes).expect("the program prints UTF-8");
            text.replace(&format!("{}/", self.bench().display()), "")
        };
        Ran {
            code: output.status.code().expect("no signal ends it"),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }
}
