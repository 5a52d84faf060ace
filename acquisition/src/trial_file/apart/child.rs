//! The child's side: reads one file after the other, as asked.

use std::io::{self, Read, Write};
use std::path::Path;

use super::answer::{Found, MAX_ASK_BYTES, Wanted, asked, packed};
use super::limits::Limits;
use super::pipe::{receive, send};
use crate::results::PROGRAM;
use crate::trial_file::open;

/// Reads the trial files that a parent asks for on standard input, and hands them back on standard
/// output, until the parent has no more. For a process that was started for nothing else.
///
/// # Errors
/// The system gives no limits, or the pipe breaks.
pub fn serve(limits: &Limits) -> io::Result<()> {
    serve_watched(limits, &mut |_| {})
}

/// As [`serve`]; `watch` is told each path before its file is opened.
///
/// # Errors
/// As [`serve`].
pub fn serve_watched(limits: &Limits, watch: &mut dyn FnMut(&Path)) -> io::Result<()> {
    limits.confine()?;
    answer_all(limits, &mut io::stdin().lock(), &mut io::stdout().lock(), watch)
}

fn answer_all(
    limits: &Limits,
    input: &mut impl Read,
    output: &mut impl Write,
    watch: &mut dyn FnMut(&Path),
) -> io::Result<()> {
    send(output, PROGRAM.as_bytes())?;
    while let Some(packet) = receive(input, MAX_ASK_BYTES)? {
        let (wanted, path) = asked(&packet).ok_or(io::ErrorKind::InvalidData)?;
        limits.allow(std::fs::metadata(&path).map_or(0, |about| about.len()))?;
        watch(&path);
        send(output, &packed(&read(wanted, &path)))?;
    }
    Ok(())
}

fn read(wanted: Wanted, path: &Path) -> Found {
    let found = match wanted {
        Wanted::Trial => open::open_with_digest(path)
            .map(|(trial, digest)| Found::Trial(Box::new(trial), digest)),
        Wanted::Outline => open::outline(path).map(|outline| Found::Outline(Box::new(outline))),
    };
    found.unwrap_or_else(Found::Refused)
}
