//! Large letters: five lines high, of our own drawing.

use ratatui::style::Style;

use crate::screen::pen::Pen;

/// Lines of a letter.
pub const HEIGHT: u16 = 5;

/// A letter as five rows of bits, the highest of five on the left.
type Glyph = [u8; 5];

const GLYPHS: &[(char, Glyph)] = &[
    ('0', [0b01110, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('1', [0b00100, 0b01100, 0b00100, 0b00100, 0b01110]),
    ('2', [0b11110, 0b00001, 0b01110, 0b10000, 0b11111]),
    ('3', [0b11110, 0b00001, 0b00110, 0b00001, 0b11110]),
    ('4', [0b10010, 0b10010, 0b11111, 0b00010, 0b00010]),
    ('5', [0b11111, 0b10000, 0b11110, 0b00001, 0b11110]),
    ('6', [0b01110, 0b10000, 0b11110, 0b10001, 0b01110]),
    ('7', [0b11111, 0b00001, 0b00010, 0b00100, 0b00100]),
    ('8', [0b01110, 0b10001, 0b01110, 0b10001, 0b01110]),
    ('9', [0b01110, 0b10001, 0b01111, 0b00001, 0b01110]),
    ('A', [0b01110, 0b10001, 0b11111, 0b10001, 0b10001]),
    ('B', [0b11110, 0b10001, 0b11110, 0b10001, 0b11110]),
    ('C', [0b01111, 0b10000, 0b10000, 0b10000, 0b01111]),
    ('D', [0b11110, 0b10001, 0b10001, 0b10001, 0b11110]),
    ('E', [0b11111, 0b10000, 0b11110, 0b10000, 0b11111]),
    ('F', [0b11111, 0b10000, 0b11110, 0b10000, 0b10000]),
    ('G', [0b01111, 0b10000, 0b10011, 0b10001, 0b01111]),
    ('H', [0b10001, 0b10001, 0b11111, 0b10001, 0b10001]),
    ('I', [0b01110, 0b00100, 0b00100, 0b00100, 0b01110]),
    ('J', [0b00111, 0b00010, 0b00010, 0b10010, 0b01100]),
    ('K', [0b10001, 0b10010, 0b11100, 0b10010, 0b10001]),
    ('L', [0b10000, 0b10000, 0b10000, 0b10000, 0b11111]),
    ('M', [0b10001, 0b11011, 0b10101, 0b10001, 0b10001]),
    ('N', [0b10001, 0b11001, 0b10101, 0b10011, 0b10001]),
    ('O', [0b01110, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('P', [0b11110, 0b10001, 0b11110, 0b10000, 0b10000]),
    ('Q', [0b01110, 0b10001, 0b10001, 0b10010, 0b01101]),
    ('R', [0b11110, 0b10001, 0b11110, 0b10010, 0b10001]),
    ('S', [0b01111, 0b10000, 0b01110, 0b00001, 0b11110]),
    ('T', [0b11111, 0b00100, 0b00100, 0b00100, 0b00100]),
    ('U', [0b10001, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('V', [0b10001, 0b10001, 0b01010, 0b01010, 0b00100]),
    ('W', [0b10001, 0b10001, 0b10101, 0b11011, 0b10001]),
    ('X', [0b10001, 0b01010, 0b00100, 0b01010, 0b10001]),
    ('Y', [0b10001, 0b01010, 0b00100, 0b00100, 0b00100]),
    ('Z', [0b11111, 0b00010, 0b00100, 0b01000, 0b11111]),
    ('-', [0b00000, 0b00000, 0b01110, 0b00000, 0b00000]),
    ('+', [0b00000, 0b00100, 0b01110, 0b00100, 0b00000]),
];

/// Columns that `words` take in large letters; none where a letter has no drawing.
pub fn width(words: &str) -> Option<u16> {
    let mut wide = 0;
    for c in words.chars() {
        glyph(c)?;
        wide += 6;
    }
    Some(wide)
}

/// Writes `words` in large letters; false, and nothing drawn, if they do not fit into `most` columns.
pub fn put(pen: &mut Pen<'_>, x: u16, y: u16, most: u16, words: &str, style: Style) -> bool {
    if width(words).is_none_or(|wide| wide > most) {
        return false;
    }
    let mut left = x;
    for c in words.chars() {
        for (row, bits) in (y..).zip(glyph(c).into_iter().flatten()) {
            let line: String = (0..5)
                .map(|bit| if bits & (0b10000 >> bit) == 0 { ' ' } else { '█' })
                .collect();
            pen.put(left, row, &line, style);
        }
        left += 6;
    }
    true
}

fn glyph(c: char) -> Option<Glyph> {
    let c = c.to_ascii_uppercase();
    GLYPHS
        .iter()
        .find(|(known, _)| *known == c)
        .map(|(_, glyph)| *glyph)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_and_digit_has_a_drawing_of_its_own() {
        let all: String = ('0'..='9').chain('A'..='Z').collect();
        assert_eq!(width(&all), Some(36 * 6));
        assert_eq!(width("W 44"), None);
        for (at, (c, one)) in GLYPHS.iter().enumerate() {
            // O and 0 share theirs: where each stands, only one can be meant.
            let same = GLYPHS.iter().take(at).find(|(_, other)| other == one);
            assert!(same.is_none() || *c == 'O', "{c}");
        }
    }
}
