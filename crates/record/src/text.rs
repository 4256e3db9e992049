//! Text that others typed, made harmless for the eye.

/// Whether a character is not seen but acts: controls, and marks that turn the direction of the text around them.
///
/// Direction marks are those of the Unicode bidirectional algorithm (UAX #9, explicit marks).
pub fn acts_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

/// The text with unseen characters made visible (`⟨U+202E⟩`, control pictures); tab and line feed stay.
pub fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\t' | '\n' => out.push(c),
            '\0'..='\u{1f}' => out.extend(char::from_u32(0x2400 + u32::from(c))),
            '\u{7f}' => out.push('\u{2421}'),
            // Neither XML nor HTML may hold these, written out or escaped.
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c if acts_unseen(c) => out.push_str(&format!("⟨U+{:04X}⟩", u32::from(c))),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn unseen_characters_are_shown_and_others_are_kept() {
        assert_eq!(
            shown("W44\u{202e}61A\u{1b}[2J\r\nµ Ω 5 %\t\0"),
            "W44⟨U+202E⟩61A␛[2J␍\nµ Ω 5 %\t␀"
        );
    }
}
