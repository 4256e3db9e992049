//! `rules`: words and JSON say the same, and new labels change no answer.

use serde_json::Value;

use crate::harness::Home;

const SIX: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/data/rules/six.json");

/// Six switches, thirteen rules; the first rule as it is kept, by ids.
fn six() -> String {
    let text = std::fs::read_to_string(SIX).unwrap();
    text.replace(
        r#""text": "never s1 is on and not CV-A1""#,
        r#""text": "never @switch:xss1 is on and not CV-A1""#,
    )
}

fn answers(home: &Home, file: &str) -> Value {
    serde_json::from_str(&home.well(&["rules", file, "--json"])).unwrap()
}

#[test]
fn words_and_json_say_the_same_and_a_new_label_changes_no_answer() {
    let home = Home::new();
    let text = six();
    assert!(text.contains("@switch:xss1"), "the rule is kept by ids");
    home.put("six.json", &text);
    home.well(&["new", "six.crimpbook", "--from", "six.json"]);
    // Only what is kept by its id follows the label; what is typed in by label is not asked about here.
    let mut renamed: Value = serde_json::from_str(&text).unwrap();
    let records = &mut renamed["records"];
    records["rules"].as_array_mut().unwrap().truncate(1);
    home.put("one.json", renamed.to_string());
    home.well(&["new", "one.crimpbook", "--from", "one.json"]);
    for switch in renamed["records"]["switches"].as_array_mut().unwrap() {
        if switch["id"] == "xss1" {
            switch["label"] = "main switch".into();
        }
    }
    home.put("renamed.json", renamed.to_string());
    home.well(&["new", "renamed.crimpbook", "--from", "renamed.json"]);
    let (six, one, new) = (
        answers(&home, "six.crimpbook"),
        answers(&home, "one.crimpbook"),
        answers(&home, "renamed.crimpbook"),
    );
    assert_eq!(six["combinations"], 64);
    assert_eq!(six["rules"].as_array().unwrap().len(), 13);
    let rule = |of: &Value| of["rules"][0].clone();
    assert_eq!(rule(&one)["text"], "never s1 is on and not CV-A1");
    assert_eq!(rule(&new)["text"], "never [main switch] is on and not CV-A1");
    let broken = |of: &Value| -> Vec<String> {
        let rule = rule(of);
        let classes = rule["classes"].as_array().unwrap().iter();
        let faults = classes.flat_map(|c| c["broken"].as_array().unwrap().clone());
        faults
            .map(|f| format!("{} {}", f["fault"], f["combinations"]))
            .collect()
    };
    assert!(!broken(&one).is_empty());
    assert_eq!(broken(&one), broken(&new));
    let page = home.well(&["rules", "renamed.crimpbook"]);
    assert!(page.contains("never [main switch] is on and not CV-A1"), "{page}");
    let words: Vec<&str> = page.split_whitespace().collect();
    assert!(
        words.join(" ").contains("A proven rule is not an approval."),
        "{page}"
    );
}

#[test]
fn a_workbook_without_rules_says_so() {
    let home = Home::new();
    home.well(&["new", "empty.crimpbook"]);
    assert!(
        home.well(&["rules", "empty.crimpbook"])
            .contains("No rules are written down.")
    );
}
