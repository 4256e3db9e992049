//! Bytes to text: UTF-8, UTF-16 and Latin-1 are told apart.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::ImportError;

/// Most bytes of a table.
pub const MOST_BYTES: usize = 16 * 1024 * 1024;

/// A table's text and how it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// The text, line ends as they were.
    pub text: String,
    /// The encoding in words (`UTF-8`).
    pub encoding: &'static str,
}

impl Text {
    /// Reads bytes: a mark at the start decides; else zero bytes in every second place mean UTF-16; else UTF-8 if it is
    /// that throughout; else Latin-1, taken as Windows-1252, which has quotation marks and dashes where Latin-1 has nothing.
    ///
    /// # Errors
    /// Too many bytes, or none of these.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, ImportError> {
        if bytes.len() > MOST_BYTES {
            return Err(ImportError::TooLarge {
                bytes: bytes.len(),
                most: MOST_BYTES,
            });
        }
        let encoding = match Encoding::for_bom(bytes) {
            Some((encoding, _)) => encoding,
            None => guess(bytes),
        };
        let (text, broken) = encoding.decode_with_bom_removal(bytes);
        if broken {
            let why = format!("it begins as {} and does not go on so", encoding.name());
            return Err(ImportError::NotText(why));
        }
        if text.contains('\0') {
            return Err(ImportError::NotText("it holds zero bytes".to_owned()));
        }
        Ok(Self {
            text: text.into_owned(),
            encoding: match encoding.name() {
                "windows-1252" => "Latin-1",
                name => name,
            },
        })
    }

    /// Text that was pasted.
    ///
    /// # Errors
    /// Too much of it.
    pub fn pasted(text: &str) -> Result<Self, ImportError> {
        if text.len() > MOST_BYTES {
            return Err(ImportError::TooLarge {
                bytes: text.len(),
                most: MOST_BYTES,
            });
        }
        Ok(Self {
            text: text.to_owned(),
            encoding: "UTF-8",
        })
    }
}

fn guess(bytes: &[u8]) -> &'static Encoding {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or(bytes);
    let zeros = |odd: usize| head.iter().skip(odd).step_by(2).filter(|b| **b == 0).count();
    let (even, odd, half) = (zeros(0), zeros(1), head.len() / 2);
    // Letters of our languages have a zero in their high byte; a table in another script still has tabs and digits.
    if odd * 3 > half && odd > even * 3 {
        UTF_16LE
    } else if even * 3 > half && even > odd * 3 {
        UTF_16BE
    } else if std::str::from_utf8(bytes).is_ok() {
        UTF_8
    } else {
        WINDOWS_1252
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "Pin\tFunktion\n1\tKühlmittel − 5 µA\n";

    fn utf16(text: &str, big: bool) -> Vec<u8> {
        let units = text.encode_utf16();
        units
            .flat_map(|u| if big { u.to_be_bytes() } else { u.to_le_bytes() })
            .collect()
    }

    #[test]
    fn encodings_are_told_apart() {
        let read = |bytes: &[u8]| Text::from_bytes(bytes).unwrap();
        let is = |encoding| Text {
            text: TABLE.to_owned(),
            encoding,
        };
        assert_eq!(read(TABLE.as_bytes()), is("UTF-8"));
        assert_eq!(read(&[b"\xef\xbb\xbf", TABLE.as_bytes()].concat()), is("UTF-8"));
        assert_eq!(read(&utf16(TABLE, false)), is("UTF-16LE"));
        assert_eq!(read(&utf16(TABLE, true)), is("UTF-16BE"));
        assert_eq!(
            read(&[vec![0xff, 0xfe], utf16(TABLE, false)].concat()),
            is("UTF-16LE")
        );
        assert_eq!(
            read(&[vec![0xfe, 0xff], utf16(TABLE, true)].concat()),
            is("UTF-16BE")
        );
        let latin = read(b"1\tK\xfchlung \x96 5 \xb5A\n");
        assert_eq!(
            (latin.text.as_str(), latin.encoding),
            ("1\tKühlung – 5 µA\n", "Latin-1")
        );
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert!(
            Text::from_bytes(&[0xff, 0xfe, 0x00, 0xd8])
                .unwrap_err()
                .to_string()
                .contains("UTF-16")
        );
        assert!(
            Text::from_bytes(b"PK\x03\x04a\0bc")
                .unwrap_err()
                .to_string()
                .contains("zero bytes")
        );
    }
}
