//! `footing import --guess`: what the columns of a recording seem to be.

use std::fs::OpenOptions;
use std::io::{self, Write as _};
use std::path::Path;

use acquisition::import::{Guess, GuessDoubt, guess_columns};

use super::output;
use super::problem::Problem;
use super::text_table::{Side, text_table};

/// Columns shown side by side; a plate's file may have hundreds.
const MOST_COLUMNS: usize = 8;

/// Characters of a cell that are shown.
const CELL_CHARS: usize = 14;

pub(super) fn run(file: &Path, save: Option<&Path>) -> Result<(), Problem> {
    let guess = guess_columns(file)
        .map_err(|source| Problem::Guess { path: file.to_owned(), source: Box::new(source) })?;
    let map = guess.map.to_toml()?;
    if let Some(path) = save {
        write_new(path, &map)
            .map_err(|source| Problem::WriteFile { path: path.to_owned(), source })?;
    }
    output::result(&format!("{}\n{map}\n{}", preview(&guess), doubts(&guess)));
    if let Some(path) = save {
        output::aside(&format!(
            "Saved: {0}. To use it: footing import {1} --map {0} --person CODE --condition CONDITION",
            path.display(),
            file.display()
        ));
    }
    Ok(())
}

/// A map that somebody has corrected by hand is not written over.
fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(text.as_bytes())
}

fn preview(guess: &Guess) -> String {
    let n_shown = guess.names.len().min(MOST_COLUMNS);
    let cut = |cell: &String| -> String {
        let cut: String = cell.chars().take(CELL_CHARS).collect();
        if cut.len() < cell.len() { cut + "\u{2026}" } else { cut }
    };
    let head = guess.names.iter().take(n_shown).map(cut).collect();
    let mut rows: Vec<Vec<String>> = vec![head];
    for row in &guess.rows {
        let cells = row.iter().map(cut).chain(std::iter::repeat(String::new()));
        rows.push(cells.take(n_shown).collect());
    }
    let table = text_table(&vec![Side::Right; n_shown], &rows);
    match guess.names.len() - n_shown {
        0 => table,
        n_more => format!("{table}and {n_more} more columns\n"),
    }
}

fn doubts(guess: &Guess) -> String {
    if guess.doubts.is_empty() {
        return "The file itself says all of this. Compare it with the plate's own description \
                before you use it."
            .to_owned();
    }
    let lines: Vec<String> =
        guess.doubts.iter().map(|doubt| format!("  {}", words(doubt))).collect();
    format!("Look at these before you use it:\n{}", lines.join("\n"))
}

fn words(doubt: &GuessDoubt) -> String {
    match doubt {
        GuessDoubt::Unit { column, unit } => {
            format!(
                "{column}: the file names no unit; {unit} was taken by the size of the numbers."
            )
        }
        GuessDoubt::Axes => {
            "x was taken for right and y for forward; the plate's description says \
                             how its axes lie to the person. A minus in front turns one round."
                .to_owned()
        }
        GuessDoubt::Rate => {
            "No column of times is known: 100 samples a second were taken.".to_owned()
        }
    }
}
