//! The order in which people expect labels.

/// A key that sorts `A2` before `A10`.
pub fn natural(text: &str) -> Vec<(String, u64)> {
    let mut key = Vec::new();
    let mut word = String::new();
    let mut digits = String::new();
    for c in text.chars() {
        if c.is_ascii_digit() {
            digits.push(c);
        } else {
            if !digits.is_empty() {
                key.push((std::mem::take(&mut word), digits.parse().unwrap_or(u64::MAX)));
                digits.clear();
            }
            word.extend(c.to_lowercase());
        }
    }
    key.push((word, digits.parse().unwrap_or(0)));
    key
}

#[cfg(test)]
mod tests {
    use super::natural;

    #[test]
    fn numbers_sort_as_numbers() {
        let mut labels = ["W10", "W2", "SP1", "w1", "A", "10", "9"];
        labels.sort_by_key(|l| natural(l));
        assert_eq!(labels, ["9", "10", "A", "SP1", "w1", "W2", "W10"]);
    }
}
