//! Helpers shared by the tests.

use std::process::Command;

/// Whether processes can be traced here. Where everything must be shown it has to be possible.
pub fn traceable() -> bool {
    let works = Command::new("strace")
        .args(["-o", "/dev/null", "true"])
        .output()
        .is_ok_and(|run| run.status.success());
    if !works {
        let must = std::env::var_os("CI").is_some_and(|ci| ci == "true");
        assert!(!must, "strace is needed here and does not work");
        println!("skipped: strace not installed");
    }
    works
}
