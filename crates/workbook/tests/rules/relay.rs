//! A relay whose feed may be there or not: a unit drives it by an input between its thresholds.

use std::{path::Path, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{End, Junction, Rule, Tables},
    rules::Verdict,
};
use serde_json::json;

use crate::apart::{self, Apart, Combination};

/// The six switches with a relay K9: CV-A3 drives it, its contact feeds CV-A5. With s2 alone CV-A3 stands between its thresholds.
fn tables() -> Tables {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/rules/six.json");
    let text = std::fs::read_to_string(path).unwrap();
    let mut book: serde_json::Value = serde_json::from_str(&text).unwrap();
    let low = json!({"inner": {"unit": "xcv", "node": "low"}});
    let part = |id: &str, label: &str, kind: serde_json::Value, ends: [serde_json::Value; 2]| json!({"id": id, "unit": "xcv", "label": label, "kind": kind, "ends": ends});
    let at = |cavity: &str| json!({ "cavity": cavity });
    let output = json!({"output": {"side": "low_side", "ohm": 0.05, "most_a": 1.0, "when": "@cavity:xccv3"}});
    let coil = json!({"coil": {"ohm": 80.0, "pull_in_v": 9.0, "drop_out_v": 2.0, "suppression": "none"}});
    let contact =
        json!({"contact": {"ohm": 0.01, "form": "normally_open", "driver": {"coil": {"part": "xk9c011"}}}});
    let parts = book["records"]["parts"].as_array_mut().unwrap();
    parts.extend([
        part("xdr1ver", "driver", output, [low.clone(), at("xccv9")]),
        part("xk9c011", "K9 coil", coil, [at("xccv8"), low]),
        part("xk9", "K9", contact, [at("xccv8"), at("xccv5")]),
    ]);
    let rules = book["records"]["rules"].as_array_mut().unwrap();
    rules.clear();
    for (at, (label, text)) in RULES.iter().enumerate() {
        rules.push(json!({"id": format!("xrq{at}"), "label": label, "words": text, "text": text, "rests_on": "wiring"}));
    }
    apart::tables(book)
}

const RULES: [(&str, &str); 5] = [
    ("never operated unseen", "never K9 is on and not CV-A5"),
    ("never seen at rest", "never K9 is off and s5 is off and CV-A5"),
    ("may be operated", "never s2 is on and s3 is off and K9 is on"),
    ("may be at rest", "never s2 is on and s3 is off and K9 is off"),
    (
        "may be seen",
        "never s2 is on and s3 is off and s5 is off and CV-A5",
    ),
];

/// In how many of 64 combinations each is broken without a fault: with s2 on and s3 off the relay may be in either position, and what
/// reads its contact goes with it.
const BROKEN: [u64; 5] = [0, 0, 16, 16, 8];

#[test]
fn a_relay_whose_feed_is_not_sure_is_looked_at_in_both_positions() {
    let tables = tables();
    let see = Snapshot::new(Arc::new(Book::from_tables(tables.clone(), None)));
    let proof = Arc::clone(see.proof());
    let ps = see.book().index().labelled::<Junction>("PS").unwrap();
    let mut apart = Apart::of(&tables, End::Junction(ps));
    for ((label, _), expected) in RULES.iter().zip(BROKEN) {
        let rule = see.book().index().labelled::<Rule>(label).unwrap();
        let Verdict::Proven { without_fault, .. } = &proof.of_rule(rule).unwrap().verdict else {
            panic!("{label} is not proven");
        };
        assert_eq!(without_fault.as_ref().map_or(0, |(n, _)| *n), expected, "{label}");
        let broken = (0..64).filter(|c| {
            let on = |n: &usize| c >> (n - 1) & 1 == 1;
            let at: Combination = (1..=6)
                .filter(on)
                .map(|n| (format!("s{n}"), "on".to_owned()))
                .collect();
            apart.breaks(rule, &at, None)
        });
        assert_eq!(
            broken.count() as u64,
            expected,
            "{label}, each combination by itself"
        );
    }
}
