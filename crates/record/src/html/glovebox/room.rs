//! What fits on a page of the sheet. No browser is asked: lines are counted by letters that are wide on average, so that
//! a page is rather left a little empty than run over.

/// A page of A5 between its margins, less what a browser may do otherwise, mm.
pub const PAGE_MM: f64 = 193.5;
/// A line of 11 pt type, mm.
pub const LINE_MM: f64 = 4.55;
/// A row of a table beyond its lines, mm.
pub const ROW_MM: f64 = 0.5;
/// A heading of a part, mm.
pub const HEADING_MM: f64 = 8.5;
/// Letters to a line over the whole width.
pub const LETTERS: usize = 64;
/// What stands at the end of what was cut.
pub const MORE: &str = "… more in the record";

/// Lines that a text takes at so many letters each.
pub fn lines_of(text: &str, letters: usize) -> usize {
    text.lines().map(|line| lines_of_one(line, letters)).sum()
}

fn lines_of_one(line: &str, letters: usize) -> usize {
    let (mut lines, mut used) = (1, 0);
    for word in line.split_whitespace() {
        let long = word.chars().count();
        let with = if used == 0 { long } else { used + 1 + long };
        if with <= letters {
            used = with;
        } else {
            // A word longer than a line is broken wherever it must be.
            lines += long.div_ceil(letters).max(1) - usize::from(used == 0);
            used = long % letters;
        }
    }
    lines
}

/// A text in at most `most` lines: whole sentences where one fits, else whole words, and that there is more.
pub fn cut(text: &str, letters: usize, most: usize) -> String {
    if lines_of(text, letters) <= most {
        return text.to_owned();
    }
    let ends = |stop: fn(char, char) -> bool| {
        text.char_indices()
            .zip(text.chars().skip(1))
            .filter(move |((_, c), next)| stop(*c, *next))
            .map(|((at, c), _)| at + c.len_utf8())
            .collect::<Vec<_>>()
    };
    let sentences = ends(|c, next| (matches!(c, '.' | '!' | '?') && next.is_whitespace()) || next == '\n');
    let words = ends(|_, next| next.is_whitespace());
    let kept = |ends: &[usize]| {
        ends.iter()
            .rev()
            .filter_map(|end| text.get(..*end))
            .map(|kept| format!("{} {MORE}", kept.trim_end()))
            .find(|kept| lines_of(kept, letters) <= most)
    };
    kept(&sentences).or_else(|| kept(&words)).unwrap_or_else(|| {
        let room = (letters * most).saturating_sub(MORE.chars().count() + 1);
        format!("{} {MORE}", text.chars().take(room).collect::<String>())
    })
}

/// A text on one line of a column.
pub fn short(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        return text.to_owned();
    }
    let kept: String = text.chars().take(letters.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// Height of a row whose fullest cell takes so many lines.
pub fn row_mm(lines: usize) -> f64 {
    lines.max(1) as f64 * LINE_MM + ROW_MM
}

#[cfg(test)]
mod tests {
    use super::{MORE, cut, lines_of, short};

    #[test]
    fn lines_are_counted_by_whole_words() {
        assert_eq!(lines_of("", 10), 0);
        assert_eq!(lines_of("one two", 10), 1);
        assert_eq!(lines_of("one two three", 10), 2);
        assert_eq!(lines_of("one\ntwo", 10), 2);
        assert_eq!(lines_of(&"x".repeat(35), 10), 4);
        assert_eq!(lines_of(&format!("one {}", "x".repeat(35)), 10), 5);
    }

    #[test]
    fn what_is_cut_ends_with_a_sentence_and_says_so() {
        let text = "Key off. Then press STOP and pull the plug. Wait.";
        assert_eq!(cut(text, 60, 1), text);
        assert_eq!(cut(text, 30, 1), format!("Key off. {MORE}"));
        assert_eq!(cut("a b c d e f g h i j k l m", 24, 1), format!("a b {MORE}"));
        for hostile in ["x".repeat(10_000), "\u{202e}é ".repeat(3000), "\n".repeat(500)] {
            let kept = cut(&hostile, 60, 4);
            assert!(lines_of(&kept, 60) <= 4 && kept.ends_with(MORE));
        }
        assert_eq!(short("vacuum pump", 7), "vacuum…");
    }
}
