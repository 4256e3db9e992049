//! How wide text is on a terminal, and how it is cut: by graphemes, never by bytes.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Columns that `text` takes.
pub fn width(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// `text`, cut to at most `most` columns; a cut text ends in `…`.
pub fn fit(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    if most == 0 {
        return String::new();
    }
    let mut out = String::new();
    let mut used = 0;
    for grapheme in text.graphemes(true) {
        let wide = width(grapheme);
        if used + wide + 1 > most {
            break;
        }
        out.push_str(grapheme);
        used += wide;
    }
    out.push('…');
    out
}

/// `text` cut or filled with spaces to exactly `wide` columns.
pub fn pad(text: &str, wide: usize) -> String {
    let mut out = fit(text, wide);
    let used = width(&out);
    out.extend(std::iter::repeat_n(' ', wide.saturating_sub(used)));
    out
}

/// `text` broken into lines of at most `wide` columns, at spaces where there are some.
pub fn wrap(text: &str, wide: usize) -> Vec<String> {
    if wide == 0 {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let need = width(word) + usize::from(!line.is_empty());
            if width(&line) + need > wide && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            // A word wider than a line is broken where the line ends.
            for grapheme in word.graphemes(true) {
                if width(&line) + width(grapheme) > wide {
                    lines.push(std::mem::take(&mut line));
                }
                line.push_str(grapheme);
            }
        }
        lines.push(line);
    }
    lines
}

/// `1 wire`, `2 wires`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_by_columns_and_never_splits_a_grapheme() {
        assert_eq!(fit("mm²·Ω", 5), "mm²·Ω");
        assert_eq!(fit("e\u{301}te\u{301}", 2), "e\u{301}…");
        assert_eq!(fit("漢字漢", 4), "漢…");
        assert_eq!(fit("abc", 0), "");
        assert_eq!(pad("漢字漢", 4), "漢… ");
    }

    #[test]
    fn wraps_at_spaces_and_breaks_long_words() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh ij", 4), ["abcd", "efgh", "ij"]);
        assert!(wrap("x", 0).is_empty());
    }
}
