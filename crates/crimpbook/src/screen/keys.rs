//! The one place where terminal events become our own keys.
//!
//! Releases of keys are dropped here (some terminals send them); pasted text is made harmless here.

use std::fmt;

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEventKind};

/// A key as the table of actions names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Key {
    /// A printable character; a space is `Char(' ')`.
    Char(char),
    /// A letter with Ctrl; always an alias of a plain key.
    Ctrl(char),
    Enter,
    Esc,
    Tab,
    BackTab,
    Backspace,
    Delete,
    Left,
    Right,
    Up,
    Down,
    Home,
    End,
    PageUp,
    PageDown,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self {
            Self::Char(' ') => "Space",
            Self::Char(c) => return write!(f, "{c}"),
            Self::Ctrl(c) => return write!(f, "Ctrl+{}", c.to_ascii_uppercase()),
            Self::Enter => "Enter",
            Self::Esc => "Esc",
            Self::Tab => "Tab",
            Self::BackTab => "Shift+Tab",
            Self::Backspace => "Backspace",
            Self::Delete => "Del",
            Self::Left => "←",
            Self::Right => "→",
            Self::Up => "↑",
            Self::Down => "↓",
            Self::Home => "Home",
            Self::End => "End",
            Self::PageUp => "PgUp",
            Self::PageDown => "PgDn",
        };
        f.write_str(word)
    }
}

/// What a person does at the terminal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key was pressed.
    Key(Key),
    /// Text was pasted; one edit.
    Paste(String),
    /// A notch of the mouse's wheel, away from the top or towards it.
    Wheel {
        /// Whether to what is further down.
        down: bool,
    },
    /// A click, at a column and a line of the window.
    Click(u16, u16),
    /// The window has another size.
    Resize,
    /// The person wants the shell back for a while.
    Suspend,
}

/// What a terminal event means to us; none: nothing.
pub fn from_event(event: Event) -> Option<Input> {
    match event {
        Event::Key(KeyEvent {
            kind: KeyEventKind::Release,
            ..
        }) => None,
        Event::Key(key) => from_key(key).map(|key| match key {
            // What the terminal itself would make of it.
            Key::Ctrl('z') => Input::Suspend,
            key => Input::Key(key),
        }),
        Event::Paste(text) => Some(Input::Paste(text)),
        Event::Resize(..) => Some(Input::Resize),
        Event::Mouse(mouse) => match mouse.kind {
            MouseEventKind::ScrollDown => Some(Input::Wheel { down: true }),
            MouseEventKind::ScrollUp => Some(Input::Wheel { down: false }),
            MouseEventKind::Down(MouseButton::Left) => Some(Input::Click(mouse.column, mouse.row)),
            _ => None,
        },
        _ => None,
    }
}

fn from_key(key: KeyEvent) -> Option<Key> {
    // A chord with Alt is an Esc and a key that arrived together; which one was meant is not ours to guess.
    if key
        .modifiers
        .intersects(KeyModifiers::ALT | KeyModifiers::SUPER | KeyModifiers::META)
    {
        return None;
    }
    Some(match key.code {
        KeyCode::Char(c) if key.modifiers.contains(KeyModifiers::CONTROL) => {
            Key::Ctrl(c.to_ascii_lowercase())
        }
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Tab if key.modifiers.contains(KeyModifiers::SHIFT) => Key::BackTab,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Delete => Key::Delete,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Home => Key::Home,
        KeyCode::End => Key::End,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        _ => return None,
    })
}

/// Pasted text on one line: line ends become spaces, other control characters are dropped. Says whether any was dropped.
pub fn one_line(pasted: &str) -> (String, bool) {
    let mut text = String::with_capacity(pasted.len());
    let mut dropped = false;
    for c in pasted
        .trim_end_matches(['\r', '\n'])
        .replace("\r\n", "\n")
        .chars()
    {
        match c {
            '\n' | '\r' | '\t' => text.push(' '),
            c if c.is_control() => dropped = true,
            c => text.push(c),
        }
    }
    (text, dropped)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(code: KeyCode, modifiers: KeyModifiers) -> Option<Input> {
        from_event(Event::Key(KeyEvent::new(code, modifiers)))
    }

    #[test]
    fn a_released_key_is_nothing() {
        let mut key = KeyEvent::new(KeyCode::Char('a'), KeyModifiers::NONE);
        assert_eq!(from_event(Event::Key(key)), Some(Input::Key(Key::Char('a'))));
        key.kind = KeyEventKind::Release;
        assert_eq!(from_event(Event::Key(key)), None);
    }

    #[test]
    fn alt_is_never_taken_for_a_plain_key() {
        assert_eq!(press(KeyCode::Char('x'), KeyModifiers::ALT), None);
        assert_eq!(
            press(KeyCode::Tab, KeyModifiers::SHIFT),
            Some(Input::Key(Key::BackTab))
        );
        assert_eq!(
            press(KeyCode::Char('C'), KeyModifiers::CONTROL),
            Some(Input::Key(Key::Ctrl('c')))
        );
        assert_eq!(
            press(KeyCode::Char('z'), KeyModifiers::CONTROL),
            Some(Input::Suspend)
        );
    }

    #[test]
    fn pasted_lines_become_one_and_control_characters_go() {
        assert_eq!(one_line("a\r\nb\n"), ("a b".to_owned(), false));
        assert_eq!(one_line("a\u{1b}[31mb"), ("a[31mb".to_owned(), true));
    }
}
