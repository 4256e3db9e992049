//! The house's arrows run one way: crimpbook → record, store → workbook → core.

use std::{collections::BTreeMap, path::Path, process::Command};

/// What each crate of ours may use.
const MAY_USE: &[(&str, &[&str])] = &[
    ("crimpbook-core", &[]),
    ("crimpbook-workbook", &["crimpbook-core"]),
    ("crimpbook-store", &["crimpbook-workbook"]),
    ("crimpbook-record", &["crimpbook-core", "crimpbook-workbook"]),
    (
        "crimpbook",
        &[
            "crimpbook-core",
            "crimpbook-workbook",
            "crimpbook-store",
            "crimpbook-record",
        ],
    ),
];

/// Outside crates that belong to one crate of ours alone.
const ONLY_USER: &[(&str, &str)] = &[
    ("rusqlite", "crimpbook-store"),
    ("ratatui", "crimpbook"),
    ("crossterm", "crimpbook"),
    ("clap", "crimpbook"),
];

/// Normal (not test) dependencies of each crate of the workspace.
fn dependencies() -> BTreeMap<String, Vec<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version=1", "--no-deps", "--offline"])
        .current_dir(root)
        .output()
        .expect("cargo metadata runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).expect("metadata is JSON");
    let name = |value: &serde_json::Value| value["name"].as_str().expect("a name").to_owned();
    let packages = metadata["packages"].as_array().expect("packages");
    packages
        .iter()
        .map(|package| {
            let all = package["dependencies"].as_array().expect("dependencies");
            (
                name(package),
                all.iter().filter(|d| d["kind"].is_null()).map(name).collect(),
            )
        })
        .collect()
}

#[test]
fn arrows_run_one_way() {
    let dependencies = dependencies();
    for (package, allowed) in MAY_USE {
        let used = dependencies
            .get(*package)
            .unwrap_or_else(|| panic!("{package} is in the workspace"));
        for ours in used.iter().filter(|d| d.starts_with("crimpbook")) {
            assert!(allowed.contains(&ours.as_str()), "{package} must not use {ours}");
        }
    }
}

#[test]
fn some_crates_have_one_user() {
    for (package, used) in dependencies()
        .iter()
        .filter(|(name, _)| *name != "crimpbook-tests")
    {
        for (outside, owner) in ONLY_USER {
            let uses = used.iter().any(|d| d == outside);
            assert!(
                package == owner || !uses,
                "only {owner} may use {outside}, not {package}"
            );
        }
    }
}

#[test]
fn top_level_is_tidy() {
    let agreed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        "crates",
        "assets",
        "tests",
        "demo",
        "target",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for entry in std::fs::read_dir(root).expect("the root can be read") {
        let name = entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            name.starts_with('.') || agreed.contains(&name.as_str()),
            "{name} at the top level"
        );
    }
}
