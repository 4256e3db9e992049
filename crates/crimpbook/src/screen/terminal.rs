//! The terminal: taken over, and given back on every path out.
//!
//! Every mode that is switched on is switched off in [`restore`], which runs on a clean end, on drop and in a panic.

use std::{
    io::{self, Write},
    thread,
};

use crossterm::{
    cursor::{SetCursorStyle, Show},
    event::{DisableBracketedPaste, EnableBracketedPaste},
    execute,
    style::force_color_output,
    terminal::{
        Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, SetTitle, disable_raw_mode,
        enable_raw_mode, is_raw_mode_enabled,
    },
};
use ratatui::{Terminal, backend::CrosstermBackend};

/// A terminal that was taken over; dropped, it is as it was.
#[derive(Debug)]
pub struct Taken {
    /// To draw on.
    pub terminal: Terminal<CrosstermBackend<io::Stdout>>,
}

impl Taken {
    /// Takes the terminal over.
    ///
    /// # Errors
    /// If there is none, or it does not do as it is told; it is given back then.
    pub fn take(title: &str) -> io::Result<Self> {
        // Colours are left out by our own theme under NO_COLOR; see there.
        force_color_output(true);
        let before = std::panic::take_hook();
        let screen = thread::current().id();
        std::panic::set_hook(Box::new(move |panic| {
            // A worker's panic is caught and told on the screen, which stays.
            if thread::current().id() == screen {
                restore(&mut io::stdout());
                before(panic);
            }
        }));
        enable_raw_mode()?;
        let mut out = io::stdout();
        let taken = enter(&mut out, title).and_then(|()| Terminal::new(CrosstermBackend::new(out)));
        match taken {
            Ok(terminal) => Ok(Self { terminal }),
            Err(error) => {
                restore(&mut io::stdout());
                Err(error)
            }
        }
    }
}

impl Taken {
    /// Stops the program until somebody continues it; whoever has the terminal meanwhile has it as it was before.
    pub fn suspend(&mut self, title: &str) {
        suspend(title);
        // Nothing of what was drawn is there any more.
        self.terminal.swap_buffers();
    }
}

/// Gives the terminal back, stops the program as the terminal's own key would, and takes the terminal again once it
/// goes on.
pub fn suspend(title: &str) {
    restore(&mut io::stdout());
    let _ = signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP);
    take_again(title);
}

/// Takes the terminal again: another program may have had it, in modes of its own.
pub fn take_again(title: &str) {
    let _ = disable_raw_mode();
    let _ = enable_raw_mode();
    let mut out = io::stdout();
    let _ = enter(&mut out, title).and_then(|()| execute!(out, Clear(ClearType::All)));
}

impl Drop for Taken {
    fn drop(&mut self) {
        restore(&mut io::stdout());
    }
}

fn enter(out: &mut impl Write, title: &str) -> io::Result<()> {
    execute!(out, EnterAlternateScreen, EnableBracketedPaste, SetTitle(title))
}

/// Gives the terminal back; what fails on the way does not keep the rest from happening.
fn restore(out: &mut impl Write) {
    let _ = leave(out);
    if is_raw_mode_enabled().unwrap_or(true) {
        let _ = disable_raw_mode();
    }
    let _ = out.flush();
}

fn leave(out: &mut impl Write) -> io::Result<()> {
    execute!(
        out,
        DisableBracketedPaste,
        SetCursorStyle::DefaultUserShape,
        Show,
        LeaveAlternateScreen
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_switched_on_is_switched_off() {
        let (mut on, mut off) = (Vec::new(), Vec::new());
        enter(&mut on, "t").unwrap();
        leave(&mut off).unwrap();
        let (on, off) = (String::from_utf8(on).unwrap(), String::from_utf8(off).unwrap());
        // Private modes are set by `h` and reset by `l` of the same number.
        let modes: Vec<&str> = on
            .split("\u{1b}[?")
            .skip(1)
            .filter_map(|rest| rest.split('h').next())
            .filter(|mode| mode.chars().all(|c| c.is_ascii_digit()))
            .collect();
        assert_eq!(modes, ["1049", "2004"]);
        for mode in modes {
            assert!(off.contains(&format!("\u{1b}[?{mode}l")), "{mode}");
        }
        assert!(off.contains("\u{1b}[?25h"), "the cursor is shown again");
    }
}
