//! The next start after a cut, and whether it keeps the promise.

use std::collections::BTreeSet;
use std::error::Error;
use std::fs;
use std::path::Path;

use acquisition::library::Library;
use acquisition::records::{Finding, Records};
use acquisition::{journal, trial_file};
use analysis::Analyser;

use crate::life::RECORD_FRAME;
use crate::paced_board::{INTERVAL_US, counts};

/// The promise, in microseconds of board time.
const MOST_LOST_US: u64 = 200_000;

/// What a start found.
#[derive(Debug, Default)]
pub(crate) struct Verdict {
    /// Journals that were sealed at the start.
    pub(crate) n_recovered: usize,
    /// Sealed trials that the records did not know yet.
    pub(crate) n_indexed_late: usize,
    /// How much of the record under way is missing, in microseconds.
    pub(crate) lost_us: u64,
}

/// Starts in `folder` as the program does, and compares with what the child had said it had done.
///
/// # Errors
/// If the promise is broken, with how.
pub(crate) fn start_again(folder: &Path, said: &str) -> Result<Verdict, Box<dyn Error>> {
    let mut verdict = Verdict::default();
    let library = Library::open(folder)?;
    for recovered in journal::recover_all(&library.journals_folder())? {
        recovered?.seal(&library.trials_folder())?;
        verdict.n_recovered += 1;
    }
    let mut records = Records::open(&library)?;
    let mut analyser = Analyser::new();
    for finding in records.verify()?.findings {
        let Finding::NotRecorded { path } = finding else {
            return Err(format!("after the cut: {finding:?}").into());
        };
        records.index_trial(&path, &mut analyser)?;
        verdict.n_indexed_late += 1;
    }
    let findings = records.verify()?.findings;
    if !findings.is_empty() {
        return Err(format!("after the start: {findings:?}").into());
    }
    if fs::read_dir(library.journals_folder())?.next().is_some() {
        return Err("a journal is left over".into());
    }
    for path in library.trial_files()? {
        check_counts(&path)?;
    }
    for id in all(said, "sealed ").into_iter().chain(all(said, "indexed ")) {
        if records.trial(id)?.is_none() {
            return Err(format!("{id} was done and is gone").into());
        }
    }
    verdict.lost_us = lost_us(&library, said)?;
    if MOST_LOST_US < verdict.lost_us {
        return Err(format!("{} us are lost", verdict.lost_us).into());
    }
    Ok(verdict)
}

/// Whole lines only: the last may have been cut.
fn all<'a>(said: &'a str, what: &str) -> BTreeSet<&'a str> {
    let whole = said.rsplit_once('\n').map_or("", |(whole, _)| whole);
    whole.lines().filter_map(|line| line.strip_prefix(what)).collect()
}

/// A recorded trial holds exactly what the board sent.
fn check_counts(path: &Path) -> Result<(), Box<dyn Error>> {
    let samples = trial_file::open(path)?.samples;
    for (&sequence, kept) in samples.sequence.iter().zip(samples.raw.iter().flat_map(|r| &r.counts))
    {
        if *kept != counts(u32::try_from(sequence)?) {
            return Err(format!("{}: frame {sequence} is another", path.display()).into());
        }
    }
    Ok(())
}

/// How much of the last record is missing, against what the recorder had said it has.
fn lost_us(library: &Library, said: &str) -> Result<u64, Box<dyn Error>> {
    let Some(begun) = said.rfind("recording ") else { return Ok(0) };
    let last = &said[begun..];
    let id = last["recording ".len()..].lines().next().unwrap_or_default();
    let taken = all(last, "frame ").into_iter().filter_map(|us| us.parse::<u64>().ok()).max();
    let Some(taken_us) = taken else { return Ok(0) };
    let path = library.trial_path(id);
    // Without a trial, all from the first frame of the record on is lost.
    let kept_us = if path.exists() {
        trial_file::open(&path)?.samples.time_us.last().copied().unwrap_or(0)
    } else {
        u64::from(RECORD_FRAME * INTERVAL_US)
    };
    // The frame that reached the hold was shown too, but is no part of the record.
    let whole = last.contains("\nrecorded ");
    if whole && kept_us + u64::from(INTERVAL_US) < taken_us {
        return Err(format!("{id} was recorded to its end, but ends at {kept_us} us").into());
    }
    Ok(taken_us.saturating_sub(kept_us))
}
