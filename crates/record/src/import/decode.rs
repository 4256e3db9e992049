//! Bytes to text: UTF-8, UTF-16 and Latin-1 are told apart.

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
        let (encoding, bytes) = marked(bytes).unwrap_or_else(|| (guess(bytes), bytes));
        let text = encoding.decode(bytes).ok_or_else(|| {
            ImportError::NotText(format!("it begins as {} and does not go on so", encoding.words()))
        })?;
        if text.contains('\0') {
            return Err(ImportError::NotText("it holds zero bytes".to_owned()));
        }
        Ok(Self {
            text,
            encoding: encoding.words(),
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

/// What tables are written in. A library that knows all encodings there are would add a third of a megabyte of tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Encoding {
    Utf8,
    Utf16Le,
    Utf16Be,
    Windows1252,
}

impl Encoding {
    fn words(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16LE",
            Self::Utf16Be => "UTF-16BE",
            Self::Windows1252 => "Latin-1",
        }
    }

    fn decode(self, bytes: &[u8]) -> Option<String> {
        let utf16 = |unit: fn([u8; 2]) -> u16| {
            let (pairs, rest) = bytes.as_chunks::<2>();
            let units: Vec<u16> = pairs.iter().map(|pair| unit(*pair)).collect();
            rest.is_empty().then(|| String::from_utf16(&units).ok()).flatten()
        };
        match self {
            Self::Utf8 => std::str::from_utf8(bytes).ok().map(str::to_owned),
            Self::Utf16Le => utf16(u16::from_le_bytes),
            Self::Utf16Be => utf16(u16::from_be_bytes),
            Self::Windows1252 => Some(bytes.iter().map(|byte| windows_1252(*byte)).collect()),
        }
    }
}

/// Windows-1252 is Latin-1 but for 0x80 to 0x9f: the Unicode Consortium's mapping CP1252.TXT; its five holes stay the
/// control characters of Latin-1, as the WHATWG encoding standard has it. Checked against a decoder of all encodings.
fn windows_1252(byte: u8) -> char {
    const HIGH: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}',
        '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
    ];
    let in_high = byte.checked_sub(0x80).and_then(|at| HIGH.get(usize::from(at)));
    in_high.copied().unwrap_or(char::from(byte))
}

/// The encoding that a mark at the start tells, and what follows it.
fn marked(bytes: &[u8]) -> Option<(Encoding, &[u8])> {
    [
        (Encoding::Utf8, [0xef, 0xbb, 0xbf].as_slice()),
        (Encoding::Utf16Le, &[0xff, 0xfe]),
        (Encoding::Utf16Be, &[0xfe, 0xff]),
    ]
    .into_iter()
    .find_map(|(encoding, mark)| Some((encoding, bytes.strip_prefix(mark)?)))
}

fn guess(bytes: &[u8]) -> Encoding {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or(bytes);
    let zeros = |odd: usize| head.iter().skip(odd).step_by(2).filter(|b| **b == 0).count();
    let (even, odd, half) = (zeros(0), zeros(1), head.len() / 2);
    // Letters of our languages have a zero in their high byte; a table in another script still has tabs and digits.
    if odd * 3 > half && odd > even * 3 {
        Encoding::Utf16Le
    } else if even * 3 > half && even > odd * 3 {
        Encoding::Utf16Be
    } else if std::str::from_utf8(bytes).is_ok() {
        Encoding::Utf8
    } else {
        Encoding::Windows1252
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
    fn every_byte_of_windows_1252_is_as_a_decoder_of_all_encodings_has_it() {
        for byte in 0..=u8::MAX {
            let bytes = [byte];
            let (theirs, _) = encoding_rs::WINDOWS_1252.decode_without_bom_handling(&bytes);
            assert_eq!(theirs, windows_1252(byte).to_string(), "{byte:#x}");
        }
    }

    #[test]
    fn half_a_character_is_no_utf_16() {
        let odd = [utf16(TABLE, false), vec![b'x']].concat();
        assert!(
            Text::from_bytes(&odd)
                .unwrap_err()
                .to_string()
                .contains("UTF-16LE")
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
