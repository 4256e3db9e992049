//! What was done or refused, above the keys. Where it has no room in one line it takes lines of the screen above it.

use crate::screen::{
    action::{Do, Where, key_of},
    model::{
        Model,
        meter::{link_words, links},
    },
    pen::Pen,
    text,
};

/// Lines that a note takes at most; behind them it ends with a mark.
const MOST: usize = 4;

/// Draws the note; `pen` is the whole window.
pub(super) fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (width, height) = (pen.width(), pen.height());
    let quiet_line = |pen: &mut Pen<'_>| {
        if let Some(words) = left_out(model, width, height) {
            pen.put(1, height - 2, words, look.quiet());
        }
    };
    let (mark, words, style, back) = if let Some(note) = &model.note {
        let mark = if note.trouble { "!" } else { "›" };
        let style = if note.trouble { look.strong() } else { look.plain() };
        (mark, note.words.clone(), style, note.back)
    } else if let Some(words) = &model.altered {
        ("!", words.clone(), look.strong(), None)
    } else if let Some(link) = links(&model.book).last().filter(|_| model.place != Where::Tests) {
        let words = format!(
            "temporary link: {}; no release, no trial before it is out",
            link_words(&model.book, link)
        );
        // It stands there all the time, and is to leave the screen its lines.
        let words = text::fit(&words, usize::from(width).saturating_sub(4));
        ("!", words, look.strong(), None)
    } else {
        return quiet_line(pen);
    };
    let lines = lines(&words, usize::from(width).saturating_sub(4));
    let high = u16::try_from(lines.len()).unwrap_or(1).max(1);
    let mut pen = pen.part(0, (height - 1).saturating_sub(high), width, high);
    pen.clear();
    pen.put(1, 0, mark, look.accent());
    let mut x = 0;
    for (y, line) in (0u16..).zip(&lines) {
        x = pen.put(3, y, line, style);
    }
    if let Some(act) = back {
        let does = if act == Do::Undo {
            "takes it back"
        } else {
            "does it again"
        };
        let how = format!("{} {does}", key_of(act));
        let end = width.saturating_sub(1);
        if usize::from(x) + 2 + text::width(&how) <= usize::from(end) {
            pen.put_left_of(end, high - 1, &how, look.quiet());
        }
    }
}

/// The words in lines of so many columns, the last one marked where more would follow.
fn lines(words: &str, wide: usize) -> Vec<String> {
    let mut lines = text::wrap(words, wide);
    if lines.len() > MOST {
        let rest = lines.split_off(MOST - 1).join(" ");
        lines.push(text::fit(&rest, wide));
    }
    lines
}

/// What a window of this size does not show.
fn left_out(model: &Model, width: u16, height: u16) -> Option<&'static str> {
    let drawn = matches!(model.place, Where::Face | Where::Build);
    match (width < 60, height < 16 && drawn) {
        (true, true) => Some("small window: cards and drawings are left out"),
        (true, false) => Some("narrow window: cards are left out"),
        (false, true) => Some("low window: drawings may be left out"),
        (false, false) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::lines;

    #[test]
    fn a_long_note_is_broken_and_marked_where_it_ends_early() {
        let words = "no wire was made: MC-A14 has one already, and its contact takes one wire";
        let broken = lines(words, 30);
        assert_eq!(broken.join(" "), words);
        assert!(broken.len() == 3 && broken.iter().all(|line| line.len() <= 30));
        let cut = lines(words, 12);
        assert!(
            cut.len() == super::MOST && cut.last().unwrap().ends_with('…'),
            "{cut:?}"
        );
    }
}
