//! What the README shows is what the program prints.

use std::fs;

use crate::harness::{ENTER, Home, STOCKED, Terminal, book};

/// The README's blocks, without what opens and closes them.
fn blocks() -> Vec<Vec<String>> {
    let readme = concat!(env!("CARGO_MANIFEST_DIR"), "/../../README.md");
    let readme = fs::read_to_string(readme).unwrap();
    let blocks = readme.split("```\n").skip(1).step_by(2);
    blocks
        .map(|block| block.lines().map(str::to_owned).collect())
        .collect()
}

/// The one block that has these words.
fn block_with(words: &str) -> Vec<String> {
    let mut all = blocks();
    all.retain(|block| block.iter().any(|line| line.contains(words)));
    assert_eq!(all.len(), 1, "blocks with {words}");
    all.remove(0)
}

#[test]
fn the_screens_are_as_the_readme_shows_them() {
    let home = Home::new();
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    let shows = |screen: &Terminal, block: &[String]| {
        let lines: Vec<&str> = block.iter().map(String::as_str).collect();
        screen.wait_until("the README's screen", |shown| {
            let width = shown.size().1;
            let grid: Vec<String> = shown.rows(0, width).collect();
            grid.iter().map(|line| line.trim_end()).eq(lines.iter().copied())
        });
    };
    screen.press_all(&["gf/mc-a16", ENTER]);
    shows(&screen, &block_with("seen from the MATING SIDE"));
    // The key after it takes the words away that say how long ago the last step was.
    screen.then(&["gb"], "You were here: ");
    screen.press_all(&["finsert mc-a", ENTER]);
    shows(&screen, &block_with("seen from the WIRE SIDE"));
    screen.press("gm");
    shows(&screen, &block_with("First the cavities that show a mirrored"));
    screen.press_all(&["/regen_coast", ENTER]);
    shows(&screen, &block_with("complained of the first yard drive"));
    screen.press("gr");
    screen.wait_for("supply to loads");
    screen.press_all(&["/f6", ENTER, "p"]);
    shows(&screen, &block_with("here the fuse opens"));
    screen.press("q");
    screen.ends_tidily();
}

/// Runs every line of a block that begins with `$`, and looks for what stands below it; `…` stands for lines left out.
fn runs_as_shown(home: &Home, block: &[String]) {
    let mut printed = Vec::new();
    let mut code = 0;
    for line in block.iter().chain(&["$ end".to_owned()]) {
        let Some(command) = line.strip_prefix("$ ") else {
            match printed.iter().position(|p| p == line) {
                _ if line == "…" => {}
                Some(at) => drop(printed.drain(..=at)),
                None => panic!("not printed, or not in this order: {line}\nleft: {printed:#?}"),
            }
            continue;
        };
        let (command, _) = command.split_once(" | ").unwrap_or((command, ""));
        let words: Vec<&str> = command.split_whitespace().collect();
        match words.as_slice() {
            ["echo", "$?"] => printed = vec![code.to_string()],
            ["crimpbook", args @ ..] => {
                let ran = home.run(args);
                assert_eq!(ran.err, "", "{command}");
                code = ran.code;
                printed = ran.out.lines().map(str::to_owned).collect();
            }
            _ => {}
        }
    }
}

#[test]
fn the_commands_print_what_the_readme_shows() {
    let home = Home::new();
    home.well(&["demo"]);
    runs_as_shown(&home, &block_with("$ crimpbook check "));
    runs_as_shown(&home, &block_with("$ crimpbook questions "));
    runs_as_shown(&home, &block_with("$ crimpbook suspects "));
    runs_as_shown(&home, &block_with("$ crimpbook try "));
    runs_as_shown(&home, &block_with("$ crimpbook record "));
    runs_as_shown(&home, &block_with("$ crimpbook list "));
    runs_as_shown(&home, &block_with("$ crimpbook reckon "));
    home.put("pins.csv", block_with("Motor controller, plug A;").join("\n"));
    runs_as_shown(&home, &block_with("$ crimpbook import "));
    home.make("van.crimpbook", &book(STOCKED));
    runs_as_shown(&home, &block_with("$ crimpbook colours "));
}
