//! How things look: 16 named colours and modifiers, never meaning by colour alone.
//!
//! NO_COLOR is kept here and not left to crossterm: version 0.29 writes a bare reset for a colour it suppresses, which
//! takes reverse video with it, and with that the cursor.

use crimpbook_workbook::model::Colour;
use ratatui::{
    buffer::Buffer,
    style::{Color, Modifier, Style},
};

/// Which colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scheme {
    /// The terminal's own foreground and background.
    #[default]
    Own,
    /// White on black.
    Dark,
    /// Black on white.
    Light,
    /// Black on white, nothing dim, no other colour: for sunlight.
    Sunlight,
}

impl Scheme {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Own, Self::Dark, Self::Light, Self::Sunlight];

    /// The next one.
    pub fn next(self) -> Self {
        match self {
            Self::Own => Self::Dark,
            Self::Dark => Self::Light,
            Self::Light => Self::Sunlight,
            Self::Sunlight => Self::Own,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Own => "the terminal's own colours",
            Self::Dark => "white on black",
            Self::Light => "black on white",
            Self::Sunlight => "high contrast, for sunlight",
        }
    }
}

/// The look of this run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Which colours.
    pub scheme: Scheme,
    /// Whether colours are shown at all.
    pub colour: bool,
    /// Only ASCII characters.
    pub ascii: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            scheme: Scheme::Own,
            colour: true,
            ascii: false,
        }
    }
}

impl Look {
    /// Plain text.
    pub fn plain(self) -> Style {
        Style::new()
    }

    /// Text that stands back; nothing stands back in high contrast.
    pub fn quiet(self) -> Style {
        match self.scheme {
            Scheme::Own => Style::new().add_modifier(Modifier::DIM),
            Scheme::Dark => Style::new().fg(Color::Gray),
            Scheme::Light => Style::new().fg(Color::DarkGray),
            Scheme::Sunlight => Style::new(),
        }
    }

    /// Text that stands out.
    pub fn strong(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// The one accent.
    pub fn accent(self) -> Style {
        let accent = match self.scheme {
            Scheme::Own => Color::Cyan,
            Scheme::Dark => Color::LightCyan,
            Scheme::Light => Color::Blue,
            Scheme::Sunlight => Color::Black,
        };
        Style::new().fg(accent).add_modifier(Modifier::BOLD)
    }

    /// Where the cursor is.
    pub fn focus(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// What is marked.
    pub fn marked(self) -> Style {
        Style::new().add_modifier(Modifier::UNDERLINED | Modifier::BOLD)
    }

    /// A wire's colour; in high contrast its letters alone tell it.
    pub fn wire(self, colour: Colour) -> Style {
        if self.scheme == Scheme::Sunlight {
            return Style::new();
        }
        Style::new().fg(match colour {
            Colour::Black => Color::Black,
            Colour::Brown => Color::Yellow,
            Colour::Red => Color::Red,
            Colour::Orange => Color::LightRed,
            Colour::Yellow | Colour::Gold => Color::LightYellow,
            Colour::Green => Color::Green,
            Colour::Blue => Color::Blue,
            Colour::Violet => Color::Magenta,
            Colour::Grey => Color::DarkGray,
            Colour::White => Color::White,
            Colour::Pink => Color::LightMagenta,
            Colour::Turquoise => Color::Cyan,
            Colour::Silver => Color::Gray,
        })
    }

    /// Gives a drawn screen its background, takes colours away if there shall be none, and non-ASCII characters.
    pub fn finish(self, buffer: &mut Buffer) {
        let ground = match self.scheme {
            Scheme::Own => Style::new(),
            Scheme::Dark => Style::new().fg(Color::White).bg(Color::Black),
            Scheme::Light | Scheme::Sunlight => Style::new().fg(Color::Black).bg(Color::White),
        };
        for cell in &mut buffer.content {
            if !self.colour {
                cell.fg = Color::Reset;
                cell.bg = Color::Reset;
            } else {
                if cell.fg == Color::Reset {
                    cell.fg = ground.fg.unwrap_or(Color::Reset);
                }
                if cell.bg == Color::Reset {
                    cell.bg = ground.bg.unwrap_or(Color::Reset);
                }
            }
            if self.ascii && !cell.symbol().is_ascii() {
                cell.set_symbol("?");
            }
        }
    }

    /// `text` as it is written: in ASCII where only that is shown.
    pub fn spell(self, text: &str) -> String {
        if !self.ascii || text.is_ascii() {
            return text.to_owned();
        }
        let mut out = String::with_capacity(text.len());
        for c in text.chars() {
            out.push_str(ascii(c));
            if c.is_ascii() {
                out.push(c);
            }
        }
        out
    }
}

/// What stands for a character in ASCII; nothing for one that is ASCII already.
fn ascii(c: char) -> &'static str {
    match c {
        c if c.is_ascii() => "",
        '━' => "=",
        '─' | '–' | '—' | '╌' | '−' => "-",
        '│' => "|",
        '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '┼' | '╭' | '╮' | '╰' | '╯' => {
            "+"
        }
        '█' | '■' | '▣' => "#",
        '▓' | '▒' | '░' => ":",
        '●' => "*",
        '○' => "o",
        '◇' => "<",
        '∩' => "n",
        '┃' => "|",
        '◐' => "%",
        '▲' => "^",
        '▼' => "v",
        '▸' | '→' | '▶' | '›' => ">",
        '←' | '‹' | '◂' => "<",
        '↑' => "^",
        '↓' => "v",
        '✓' => "+",
        '✗' => "x",
        '…' => "~",
        '·' => ".",
        '²' => "2",
        '³' => "3",
        'Ω' => "ohm",
        'µ' | 'μ' => "u",
        '°' => "deg ",
        '±' => "+-",
        '×' => "x",
        '≤' => "<=",
        '≥' => ">=",
        '≈' => "~",
        '“' | '”' => "\"",
        '‘' | '’' => "'",
        'ä' => "ae",
        'ö' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'é' | 'è' | 'ê' => "e",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ascii_keeps_figures_readable() {
        let look = Look {
            ascii: true,
            ..Look::default()
        };
        assert_eq!(
            look.spell("0.35 mm² → 12 Ω ± 5 °C…"),
            "0.35 mm2 > 12 ohm +- 5 deg C~"
        );
        assert_eq!(look.spell("漢"), "?");
    }
}
