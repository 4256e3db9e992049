//! Kinds of signals as tables and people write them.

use crimpbook_workbook::model::SignalKind;

/// Short forms met in pin tables, in small letters (common practice, no source).
const SHORT: &[(&str, SignalKind)] = &[
    ("ai", SignalKind::AnalogueIn),
    ("ain", SignalKind::AnalogueIn),
    ("an in", SignalKind::AnalogueIn),
    ("ao", SignalKind::AnalogueOut),
    ("lso", SignalKind::LowSideOut),
    ("ls out", SignalKind::LowSideOut),
    ("low side driver", SignalKind::LowSideOut),
    ("hso", SignalKind::HighSideOut),
    ("hs out", SignalKind::HighSideOut),
    ("high side driver", SignalKind::HighSideOut),
    ("oc", SignalKind::OpenCollector),
    ("gnd", SignalKind::Ground),
    ("power ground", SignalKind::Ground),
    ("can h", SignalKind::CanHigh),
    ("canh", SignalKind::CanHigh),
    ("can high", SignalKind::CanHigh),
    ("can l", SignalKind::CanLow),
    ("canl", SignalKind::CanLow),
    ("can low", SignalKind::CanLow),
    ("tx", SignalKind::SerialTx),
    ("rx", SignalKind::SerialRx),
    ("screen", SignalKind::Shield),
    ("cp", SignalKind::ControlPilot),
    ("pp", SignalKind::Proximity),
    ("thermistor", SignalKind::TemperatureSensor),
    ("ntc", SignalKind::TemperatureSensor),
];

/// Texts that say a cavity has nothing behind it.
const NOT_CONNECTED: &[&str] = &[
    "n.c.",
    "n.c",
    "nc",
    "n/c",
    "n. c.",
    "not connected",
    "no connection",
    "not used",
    "unused",
    "not assigned",
    "nicht belegt",
];

/// Texts that say it must stay open.
const DO_NOT_USE: &[&str] = &[
    "do not use",
    "do not connect",
    "dnc",
    "d.n.c.",
    "dnu",
    "rfu",
    "internal use",
    "factory use",
];

/// What a function says of the kind all by itself (`n.c.`).
pub fn of_function(text: &str) -> Option<SignalKind> {
    let text = text.trim().to_lowercase();
    if NOT_CONNECTED.contains(&text.as_str()) {
        Some(SignalKind::NotConnected)
    } else if DO_NOT_USE.contains(&text.as_str()) {
        Some(SignalKind::DoNotUse)
    } else {
        None
    }
}

/// Words as kinds are compared: in small letters, and analog is analogue.
pub fn spelt(words: &str) -> String {
    let words = words.trim().to_lowercase().replace('_', " ");
    words.replace("analogue", "analog").replace("analog", "analogue")
}

/// The kind that is written out so.
pub fn exact(words: &str) -> Option<SignalKind> {
    let words = spelt(words);
    SignalKind::ALL
        .iter()
        .copied()
        .find(|k| spelt(k.words()) == words)
}

/// The kinds that begin with some words, spelt as compared.
pub fn beginning(words: &str) -> Vec<SignalKind> {
    let all = SignalKind::ALL.iter().copied();
    all.filter(|k| spelt(k.words()).starts_with(words)).collect()
}

/// Whether a kind holds some words where one of its own begins: `out` is not in `without`.
fn has_word(kind: &str, words: &str) -> bool {
    let begins = |at: usize| {
        let before = kind.get(..at).and_then(|before| before.chars().next_back());
        before.is_none_or(|c| !c.is_alphanumeric())
    };
    kind.match_indices(words).any(|(at, _)| begins(at))
}

/// The kind that some words mean: exactly, by a short form, or the only one that begins so or holds them.
///
/// # Errors
/// A sentence: none, or several.
pub fn find(words: &str) -> Result<SignalKind, String> {
    if let Some(kind) = exact(words).or_else(|| of_function(words)) {
        return Ok(kind);
    }
    let words = spelt(words);
    let dashed = words.replace(['-', '/'], " ");
    if let Some((_, kind)) = SHORT
        .iter()
        .find(|(short, _)| *short == words || *short == dashed)
    {
        return Ok(*kind);
    }
    let mut found = beginning(&words);
    if found.is_empty() {
        let all = SignalKind::ALL.iter().copied();
        found = all.filter(|k| has_word(&spelt(k.words()), &words)).collect();
    }
    match found.as_slice() {
        [one] => Ok(*one),
        [] => Err(format!(
            "no kind of cavity is called {words}; the form of a cavity on the screen lists them"
        )),
        many => {
            let names: Vec<String> = many
                .iter()
                .take(5)
                .map(|k| format!("\"{}\"", k.words()))
                .collect();
            let more = match many.len() - names.len() {
                0 => String::new(),
                n => format!(" or {n} more"),
            };
            Err(format!(
                "{words} may be {}{more}; write more of it",
                names.join(" or ")
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_looked_for_where_words_begin_and_what_is_not_named_is_counted() {
        let told = find("out").unwrap_err();
        assert!(
            !told.contains("without") && told.contains(" more; write more of it"),
            "{told}"
        );
        assert!(
            find("lots")
                .unwrap_err()
                .starts_with("no kind of cavity is called lots")
        );
    }

    #[test]
    fn kinds_are_found_by_words_and_short_forms() {
        for (text, kind) in [
            ("ground", SignalKind::Ground),
            ("Analog input", SignalKind::AnalogueIn),
            ("low-side output", SignalKind::LowSideOut),
            ("CAN-H", SignalKind::CanHigh),
            ("analogue_in", SignalKind::AnalogueIn),
            ("N.C.", SignalKind::NotConnected),
        ] {
            assert_eq!(find(text), Ok(kind), "{text}");
        }
        assert!(find("switch").unwrap_err().contains("switch contact"));
        assert!(find("magic").unwrap_err().contains("no kind of cavity"));
    }

    #[test]
    fn every_kind_is_found_by_its_own_words() {
        for kind in SignalKind::ALL {
            assert_eq!(find(kind.words()), Ok(*kind));
        }
    }

    #[test]
    fn no_short_form_hides_the_words_of_another_kind() {
        for (short, kind) in SHORT {
            assert_eq!(find(short), Ok(*kind), "{short}");
        }
    }

    #[test]
    fn a_function_that_says_nothing_is_behind_it_is_understood_and_brake_nc_is_not_one() {
        assert_eq!(of_function("n.c."), Some(SignalKind::NotConnected));
        assert_eq!(of_function("BRAKE NC"), None);
    }
}
