//! Reading, printing, completing; functions against plain truth tables.

use proptest::prelude::*;

use super::*;

fn names() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-zA-Z][a-zA-Z0-9_.-]{0,8}",
        "[ -~äΩ]{1,10}".prop_filter("blank", |n| !n.trim().is_empty()),
        Just("and".to_owned()),
        Just("MAIN+ coil".to_owned()),
        Just("a]b".to_owned()),
        Just("x:".to_owned()),
    ]
}

fn exprs() -> impl Strategy<Value = Expr> {
    let leaf = prop_oneof![
        names().prop_map(Expr::Name),
        (names(), names()).prop_map(|(name, position)| Expr::Is { name, position }),
    ];
    leaf.prop_recursive(4, 24, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|e| Expr::Not(Box::new(e))),
            prop::collection::vec(inner.clone(), 2..4).prop_map(Expr::And),
            prop::collection::vec(inner, 2..4).prop_map(Expr::Or),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn reading_what_was_printed_gives_the_same(expr in exprs(), name in names(), form in 0..3) {
        let statement = match form {
            0 => Statement::Never(expr),
            1 => Statement::Define { name, expr },
            _ => Statement::Plain(expr),
        };
        let text = statement.to_string();
        prop_assert_eq!(parse(&text), Ok(statement), "{}", text);
    }

    #[test]
    fn reading_never_breaks_and_points_into_the_text(text in "[a-c ()\\[\\]:=andotrisv]{0,40}") {
        match parse(&text) {
            Ok(statement) => prop_assert_eq!(parse(&statement.to_string()), Ok(statement)),
            Err(error) => prop_assert!(error.at <= text.chars().count()),
        }
    }

    #[test]
    fn functions_are_what_their_truth_tables_say(expr in exprs_of(5)) {
        let mut diagrams = Diagrams::new();
        let f = function(&mut diagrams, &expr);
        let table: Vec<bool> = (0..32u32).map(|row| truth(&expr, row)).collect();
        for row in 0..32u32 {
            prop_assert_eq!(diagrams.holds(f, &|c| row >> c & 1 == 1), table[row as usize]);
        }
        let rows = (0..32u32).filter(|row| table[*row as usize]);
        prop_assert_eq!(diagrams.count(f, 5), rows.clone().count() as u64);
        let fewest = diagrams.fewest(f).map(|taken| taken.len() as u32);
        prop_assert_eq!(fewest, rows.map(u32::count_ones).min());
        let some = diagrams.some(f, 3);
        for row in 0..32u32 {
            let any = (0..4).any(|above| table[(row & 7 | above << 3) as usize]);
            prop_assert_eq!(diagrams.holds(some, &|c| row >> c & 1 == 1), any);
        }
        for choice in 0..5u32 {
            let decides = (0..32u32).any(|row| table[row as usize] != table[(row ^ (1 << choice)) as usize]);
            prop_assert_eq!(diagrams.support(f).contains(&choice), decides);
        }
    }
}

/// Expressions over the names `0` to `4`.
fn exprs_of(choices: u32) -> impl Strategy<Value = Expr> {
    let leaf = (0..choices).prop_map(|c| Expr::Name(c.to_string()));
    leaf.prop_recursive(5, 30, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|e| Expr::Not(Box::new(e))),
            prop::collection::vec(inner.clone(), 2..4).prop_map(Expr::And),
            prop::collection::vec(inner, 2..4).prop_map(Expr::Or),
        ]
    })
}

fn function(diagrams: &mut Diagrams, expr: &Expr) -> Function {
    match expr {
        Expr::Name(name) | Expr::Is { name, .. } => diagrams.choice(name.parse().unwrap()),
        Expr::Not(inner) => {
            let inner = function(diagrams, inner);
            diagrams.not(inner)
        }
        Expr::And(parts) => parts.iter().fold(TRUE, |all, part| {
            let part = function(diagrams, part);
            diagrams.and(all, part)
        }),
        Expr::Or(parts) => parts.iter().fold(FALSE, |any, part| {
            let part = function(diagrams, part);
            diagrams.or(any, part)
        }),
    }
}

fn truth(expr: &Expr, row: u32) -> bool {
    match expr {
        Expr::Name(name) | Expr::Is { name, .. } => row >> name.parse::<u32>().unwrap() & 1 == 1,
        Expr::Not(inner) => !truth(inner, row),
        Expr::And(parts) => parts.iter().all(|part| truth(part, row)),
        Expr::Or(parts) => parts.iter().any(|part| truth(part, row)),
    }
}

fn said(text: &str) -> String {
    let error = parse(text).unwrap_err();
    format!("{}\n{error}", error.pointed(text))
}

#[test]
fn not_binds_closest_then_and_then_or() {
    let grouped = |text: &str| parse(text).unwrap();
    assert_eq!(
        grouped("a or b and not c is d"),
        grouped("a or (b and (not (c is d)))")
    );
    assert_ne!(grouped("a or b and c"), grouped("(a or b) and c"));
    assert_eq!(
        grouped("never charge_lead is in and [MAIN+ coil] is on").to_string(),
        "never charge_lead is in and [MAIN+ coil] is on"
    );
}

#[test]
fn an_error_points_at_the_character_and_says_what_was_expected() {
    let cases = [
        ("a and", "a and\n     ^\nat the end: expected a name, not or ("),
        (
            "a b",
            "a b\n  ^\nat character 3, `b`: expected and, or, or the end",
        ),
        (
            "(a or b",
            "(a or b\n       ^\nat the end: expected and, or, or ) to close the bracket",
        ),
        (
            "a)",
            "a)\n ^\nat character 2, `)`: expected no more ), since every bracket is closed already",
        ),
        (
            "key is not run",
            "key is not run\n       ^\nat character 8, `not`: expected a position; write: not name is position",
        ),
        (
            "[key",
            "[key\n    ^\nat the end: expected ] to close the [ at character 1",
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(said(text), expected);
    }
    assert!(said("a & b").contains("at character 3, `&`"));
    assert!(said("a and never b").contains("never stands at the beginning only"));
    assert!(said("or").contains("a thing called or is written [or]"));
    assert!(parse(&"(".repeat(5000)).is_err(), "no stack is that deep");
}

#[test]
fn names_are_completed_by_where_they_stand() {
    let known = [
        Known {
            name: "selector".to_owned(),
            positions: vec!["forward".to_owned(), "fast reverse".to_owned()],
        },
        Known {
            name: "stop".to_owned(),
            positions: vec!["pressed".to_owned()],
        },
        Known {
            name: "MC.ready".to_owned(),
            positions: Vec::new(),
        },
        Known {
            name: "MAIN+ coil".to_owned(),
            positions: vec!["on".to_owned(), "off".to_owned()],
        },
    ];
    let ways = |text: &str| -> Vec<String> {
        let kept = |c: &Completion| -> String { text.chars().take(c.keep).collect() };
        complete(text, &known).iter().map(|c| kept(c) + &c.text).collect()
    };
    assert_eq!(ways("never s"), ["never selector", "never stop"]);
    assert_eq!(ways("n"), ["not", "never"]);
    assert_eq!(ways("(not mc"), ["(not MC.ready"]);
    assert_eq!(ways("selector "), ["selector is"]);
    assert_eq!(
        ways("selector is f"),
        ["selector is forward", "selector is [fast reverse]"]
    );
    assert_eq!(ways("selector is fo"), ["selector is forward"]);
    assert_eq!(ways("selector is [fast r"), ["selector is [fast reverse]"]);
    assert_eq!(ways("x and [main+ c"), ["x and [MAIN+ coil]"]);
    assert_eq!(ways("MC.ready "), ["MC.ready and", "MC.ready or"]);
    assert_eq!(ways("stop is pressed a"), ["stop is pressed and"]);
    assert_eq!(ways("a $ "), [""; 0]);
}
