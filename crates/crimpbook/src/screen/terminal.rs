//! The terminal: taken over, and given back on every path out.
//!
//! Every mode that is switched on is switched off in [`restore`], which runs on a clean end, on drop and in a panic.

use std::{
    fmt,
    io::{self, Write},
    sync::atomic::{AtomicBool, Ordering},
    thread,
};

use crossterm::{
    Command,
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
        MOUSE.store(false, Ordering::Relaxed);
    }
}

/// Whether the terminal reports its mouse while it is ours. Nothing is said to it about that otherwise.
static MOUSE: AtomicBool = AtomicBool::new(false);

/// Has the terminal report its mouse, or leaves it to the terminal.
pub fn report_mouse(on: bool) {
    if MOUSE.swap(on, Ordering::Relaxed) != on {
        let _ = execute!(io::stdout(), Mouse(on));
    }
}

/// Wheel and buttons, as numbers of columns and lines; where the mouse merely moves is not asked for, so that idling stays idle.
struct Mouse(bool);

impl Command for Mouse {
    fn write_ansi(&self, out: &mut impl fmt::Write) -> fmt::Result {
        out.write_str(match self.0 {
            true => "\x1b[?1000h\x1b[?1006h",
            false => "\x1b[?1006l\x1b[?1000l",
        })
    }

    #[cfg(windows)]
    fn execute_winapi(&self) -> io::Result<()> {
        Ok(())
    }
}

fn enter(out: &mut impl Write, title: &str) -> io::Result<()> {
    execute!(out, EnterAlternateScreen, EnableBracketedPaste, SetTitle(title))?;
    if MOUSE.load(Ordering::Relaxed) {
        execute!(out, Mouse(true))?;
    }
    Ok(())
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
    if MOUSE.load(Ordering::Relaxed) {
        execute!(out, Mouse(false))?;
    }
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

    /// Private modes are set by `h` and reset by `l` of the same number.
    fn modes(written: &str) -> Vec<&str> {
        let after = written.split("\u{1b}[?").skip(1);
        after
            .filter_map(|rest| rest.split('h').next())
            .filter(|mode| mode.chars().all(|c| c.is_ascii_digit()))
            .collect()
    }

    #[test]
    fn everything_switched_on_is_switched_off_and_of_the_mouse_nothing_is_said_unasked() {
        let written = |mouse| {
            MOUSE.store(mouse, Ordering::Relaxed);
            let (mut on, mut off) = (Vec::new(), Vec::new());
            enter(&mut on, "t").unwrap();
            leave(&mut off).unwrap();
            MOUSE.store(false, Ordering::Relaxed);
            (String::from_utf8(on).unwrap(), String::from_utf8(off).unwrap())
        };
        for (mouse, expected) in [
            (false, &["1049", "2004"][..]),
            (true, &["1049", "2004", "1000", "1006"]),
        ] {
            let (on, off) = written(mouse);
            assert_eq!(modes(&on), expected);
            for mode in expected {
                assert!(off.contains(&format!("\u{1b}[?{mode}l")), "{mode}");
            }
            assert_eq!(off.contains("\u{1b}[?1000"), mouse);
            assert!(off.contains("\u{1b}[?25h"), "the cursor is shown again");
        }
    }
}
