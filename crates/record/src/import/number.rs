//! Cavity numbers: one, several, or from one to another (`1–4`).

/// Most cavities that one row speaks of.
const MOST: usize = 500;

/// The numbers a cell names. `known`: whether the connector has a cavity of just this number, which is then meant.
///
/// # Errors
/// A sentence.
pub fn numbers(text: &str, known: impl Fn(&str) -> bool) -> Result<Vec<String>, String> {
    let text = without_word(text.trim());
    if text.is_empty() {
        return Err("no cavity number stands here".to_owned());
    }
    if known(text) {
        return Ok(vec![text.to_owned()]);
    }
    let mut all = Vec::new();
    for part in text
        .split([',', ';', '&'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        match range(part) {
            Some(run) => all.extend(run?),
            None => all.push(one(part)?),
        }
        if all.len() > MOST {
            return Err(format!("{} names more than {MOST} cavities", short(text)));
        }
    }
    if all.is_empty() {
        return Err(format!("{} is no cavity number", short(text)));
    }
    Ok(all)
}

/// `Pin 5` and `5.` are 5; `5.0` is what a spreadsheet makes of 5.
fn without_word(text: &str) -> &str {
    let rest = ["pin", "cavity", "#"].iter().find_map(|word| {
        let head = text.get(..word.len())?;
        head.eq_ignore_ascii_case(word).then(|| text.get(word.len()..))?
    });
    let text = rest
        .filter(|rest| rest.trim_start().starts_with(|c: char| c.is_ascii_digit()))
        .unwrap_or(text)
        .trim();
    let bare = text
        .strip_suffix(".0")
        .or_else(|| text.strip_suffix('.'))
        .unwrap_or(text);
    if !bare.is_empty() && bare.chars().all(|c| c.is_ascii_digit()) {
        bare
    } else {
        text
    }
}

fn one(part: &str) -> Result<String, String> {
    let part = without_word(part);
    let fits = |c: char| c.is_alphanumeric() || "+-./_".contains(c);
    if part.chars().count() > 12 || !part.chars().all(fits) {
        return Err(format!("{} is no cavity number", short(part)));
    }
    Ok(part.to_owned())
}

/// The numbers from one to another, if a part is written so.
fn range(part: &str) -> Option<Result<Vec<String>, String>> {
    let (from, to) = ["–", "—", "‒", "…", "...", "..", " to ", " bis ", "-"]
        .iter()
        .find_map(|mark| part.split_once(mark))?;
    let (from, to) = (without_word(from.trim()), without_word(to.trim()));
    let (stem, first) = stem(from)?;
    let (other, last) = self::stem(to)?;
    if !other.is_empty() && !other.eq_ignore_ascii_case(stem) {
        return None;
    }
    if first > last {
        return Some(Err(format!(
            "{} runs backwards; write the smaller number first",
            short(part)
        )));
    }
    if last - first >= MOST as u64 {
        return Some(Err(format!("{} names more than {MOST} cavities", short(part))));
    }
    Some(Ok((first..=last).map(|n| format!("{stem}{n}")).collect()))
}

/// `A12` is `A` and 12.
fn stem(text: &str) -> Option<(&str, u64)> {
    let digits = text.trim_start_matches(|c: char| c.is_alphabetic());
    let stem = text.strip_suffix(digits)?;
    (digits.len() <= 9 && digits.chars().all(|c| c.is_ascii_digit()))
        .then(|| digits.parse().ok().map(|n| (stem, n)))?
}

/// A text as it can stand in a sentence.
pub fn short(text: &str) -> String {
    let mut out: String = crate::text::shown(text).chars().take(40).collect();
    if text.chars().count() > 40 {
        out.push('…');
    }
    format!("\"{out}\"")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Vec<String>, String> {
        numbers(text, |known| known == "1-4A" || known == "2-3")
    }

    #[test]
    fn one_several_and_from_to() {
        for (text, is) in [
            ("5", "5"),
            ("5.", "5"),
            ("5.0", "5"),
            ("Pin 5", "5"),
            ("1–4", "1 2 3 4"),
            ("1 - 3", "1 2 3"),
            ("A1-A3", "A1 A2 A3"),
            ("A9..11", "A9 A10 A11"),
            ("1, 3, 5–6", "1 3 5 6"),
            ("7 & 8", "7 8"),
            ("2 to 4", "2 3 4"),
            ("2-3", "2-3"),
            ("B-7", "B-7"),
        ] {
            assert_eq!(read(text).map(|n| n.join(" ")).as_deref(), Ok(is), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_said() {
        assert!(read("4–1").unwrap_err().contains("backwards"));
        assert!(read("1–99999").unwrap_err().contains("more than 500"));
        assert!(read("Power supply").unwrap_err().contains("no cavity number"));
        assert!(read(" ").unwrap_err().contains("stands here"));
    }
}
