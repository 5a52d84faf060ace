//! What must hold after any interruption, once the program has started again.

use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::Path;

use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::trial_file::{self, TrialReader};
use acquisition::{StoredTrial, journal};
use analysis::Analyser;

use crate::paced_board::{INTERVAL_US, counts};
use crate::paced_port::RECORD_FRAME;
use crate::worker::imported;

/// The promise, in microseconds of board time.
pub(crate) const MOST_LOST_US: u64 = 200_000;

/// What the worker said it had when it was interrupted.
#[derive(Debug, Default, Clone)]
pub(crate) struct Claims {
    /// Trials recorded to their end, with how many frames each has.
    pub(crate) recorded: BTreeMap<String, usize>,
    /// Trials imported to the end.
    pub(crate) imported: Vec<String>,
    /// The trial being recorded, and the board time of the last frame taken into it.
    pub(crate) under_way: Option<(String, u64)>,
    /// The first word of the last line that was not about a frame.
    pub(crate) stage: String,
    /// What a person was told at the end.
    pub(crate) told: Option<String>,
}

impl Claims {
    /// Takes the next line the worker said; a line cut off in the middle claims nothing.
    pub(crate) fn hear(&mut self, line: &str) {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        if word == "frame" {
            if let (Some((_, last_us)), Ok(time_us)) = (&mut self.under_way, rest.parse()) {
                *last_us = time_us;
            }
            return;
        }
        if word == "told" {
            self.told = Some(rest.to_owned());
            return;
        }
        word.clone_into(&mut self.stage);
        match (word, rest.split_once(' ')) {
            ("record", _) => {
                self.under_way = Some((rest.to_owned(), u64::from(RECORD_FRAME * INTERVAL_US)));
            }
            ("seal", Some((id, n_frames))) => {
                self.under_way = None;
                self.recorded.insert(id.to_owned(), n_frames.parse().unwrap_or(0));
            }
            ("imported", _) => self.imported.push(rest.to_owned()),
            _ => {}
        }
    }
}

/// What a start of the program does before anything else; gives how much there was to do.
pub(crate) fn start(library: &Library) -> Result<usize, Box<dyn Error>> {
    let mut n_done = 0;
    for recovered in journal::recover_all(&library.journals_folder())? {
        let sealed = recovered?.seal(&library.trials_folder())?;
        if let Some(kept) = sealed.kept_journal {
            return Err(format!("{} was set aside", kept.display()).into());
        }
        n_done += 1;
    }
    let caught_up = Records::open(library)?.catch_up(&TrialReader::here(), &mut Analyser::new())?;
    match caught_up.refused.into_iter().next() {
        None => Ok(n_done + caught_up.indexed.len()),
        Some((path, error)) => Err(format!("{}: {error:?}", path.display()).into()),
    }
}

/// Starts again over what is left in `folder`; gives how much of the last record was lost, in
/// microseconds, if one was under way.
pub(crate) fn judge(
    folder: &Path,
    table: &Path,
    claims: &Claims,
) -> Result<Option<u64>, Box<dyn Error>> {
    let library = Library::open(folder)?;
    start(&library)?;
    ensure_nothing_half_visible(&library)?;
    let report = Records::open(&library)?.verify()?;
    if !report.findings.is_empty() {
        return Err(format!("{:?}", report.findings).into());
    }
    if start(&library)? != 0 {
        return Err("a second start found something to do".into());
    }
    let mut trials = BTreeMap::new();
    for path in library.trial_files()? {
        let trial = trial_file::open(&path)?;
        ensure_right(&trial, table)?;
        trials.insert(trial.facts.id.clone(), trial);
    }
    for (id, n_frames) in &claims.recorded {
        let n_kept = trials.get(id).map(|trial| trial.samples.n_samples());
        if n_kept != Some(*n_frames) {
            return Err(format!("{id} was recorded with {n_frames} frames, {n_kept:?} left").into());
        }
    }
    for id in &claims.imported {
        if !trials.contains_key(id) {
            return Err(format!("{id} was imported and is gone").into());
        }
    }
    let Some((id, taken_us)) = &claims.under_way else { return Ok(None) };
    let kept = trials.get(id).and_then(|trial| trial.samples.time_us.last().copied());
    let lost_us = taken_us.saturating_sub(kept.unwrap_or(u64::from(RECORD_FRAME * INTERVAL_US)));
    if MOST_LOST_US < lost_us {
        return Err(format!("{lost_us} us of {id} are lost").into());
    }
    Ok(Some(lost_us))
}

fn ensure_nothing_half_visible(library: &Library) -> Result<(), Box<dyn Error>> {
    if let Some(entry) = fs::read_dir(library.journals_folder())?.next() {
        return Err(format!("{} is still there", entry?.path().display()).into());
    }
    for folder in [library.trials_folder(), library.folder().join("people")] {
        for entry in fs::read_dir(folder)? {
            let path = entry?.path();
            let whole = path.extension().is_some_and(|ending| ending == "h5" || ending == "json");
            let hidden = path.file_name().is_some_and(|name| name.as_encoded_bytes()[0] == b'.');
            if !whole || hidden {
                return Err(format!("{} is half visible", path.display()).into());
            }
        }
    }
    Ok(())
}

/// Every number of a trial is the one that was measured.
fn ensure_right(trial: &StoredTrial, table: &Path) -> Result<(), Box<dyn Error>> {
    let samples = &trial.samples;
    let Some(raw) = &samples.raw else {
        let wanted = imported(table, &trial.facts.id)?;
        let right = samples.cop == wanted.samples.cop && samples.time_us == wanted.samples.time_us;
        return if right { Ok(()) } else { Err("an import has other numbers".into()) };
    };
    for ((&sequence, &time_us), kept) in
        samples.sequence.iter().zip(&samples.time_us).zip(&raw.counts)
    {
        let number = u32::try_from(sequence)?;
        if *kept != counts(number) || time_us != u64::from(number * INTERVAL_US) {
            return Err(format!("frame {sequence} has other numbers").into());
        }
    }
    Ok(())
}
