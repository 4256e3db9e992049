//! Revision letters.

/// The letter after `last` (none: `A`); after `Z` comes `AA`.
pub fn next_letter(last: Option<&str>) -> String {
    let Some(last) = last else { return "A".to_owned() };
    let mut letters: Vec<u8> = last.bytes().filter(u8::is_ascii_uppercase).collect();
    for letter in letters.iter_mut().rev() {
        if *letter < b'Z' {
            *letter += 1;
            return String::from_utf8_lossy(&letters).into_owned();
        }
        *letter = b'A';
    }
    letters.insert(0, b'A');
    String::from_utf8_lossy(&letters).into_owned()
}

#[cfg(test)]
mod tests {
    use super::next_letter;

    #[test]
    fn letters_follow_each_other() {
        let follow = |last| next_letter(Some(last));
        assert_eq!(next_letter(None), "A");
        assert_eq!(
            (follow("A"), follow("Z"), follow("AZ"), follow("ZZ")),
            ("B".into(), "AA".into(), "BA".into(), "AAA".into())
        );
    }
}
