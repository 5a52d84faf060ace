//! One trial file, opened, brought onto an even grid and measured.

use std::path::{Path, PathBuf};

use analysis::{
    Analyser, Continuity, MeasuredTrial, NotAvailable, Processing, Quality, QualityFlag, Settings,
    Trace,
};

use crate::stored_trial::{LinkCounts, Origin, Samples, TrialFacts};
use crate::trial_file::{Digest, OpenTrialError, TrialReader};

/// A trial file and what was found in it.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredFile {
    /// Where the file lies.
    pub path: PathBuf,
    /// Digest of its content.
    pub digest: Digest,
    /// How many samples it has.
    pub n_samples: usize,
    /// Who stood, when, how and for how long.
    pub facts: TrialFacts,
    /// Where its samples come from.
    pub origin: Origin,
    /// What is known of its worth; `None` for an import without forces.
    pub quality: Option<Quality>,
    /// What was measured, or why nothing of it can be.
    pub found: Result<Found, NotAvailable>,
}

/// What was measured in a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// How whole the record was.
    pub continuity: Continuity,
    /// Every measure, with what must agree before it is compared.
    pub measured: MeasuredTrial,
}

impl MeasuredFile {
    /// What has to be said beside every number of this trial; `None` if its load is not known.
    pub fn flags(&self) -> Option<&[QualityFlag]> {
        self.quality.as_ref().map(|quality| &quality.flags[..])
    }

    /// What went wrong between board and program; nothing for an imported recording.
    pub fn link(&self) -> LinkCounts {
        match &self.origin {
            Origin::Board(board) => board.link,
            Origin::Imported(_) => LinkCounts::default(),
        }
    }
}

/// Opens and measures one trial file; `analyser` is kept from file to file for its plans.
///
/// # Errors
/// [`OpenTrialError`] if the file cannot be opened as a trial. A trial too poor to be measured is no
/// error: its place says why.
pub fn measure_file(
    path: &Path,
    reader: &TrialReader,
    analyser: &mut Analyser,
    processing: Processing,
) -> Result<MeasuredFile, OpenTrialError> {
    measure_with_trace(path, reader, analyser, processing).map(|(file, _)| file)
}

/// As [`measure_file`], with the samples of the trial as they were recorded.
///
/// # Errors
/// As [`measure_file`].
pub fn measure_with_samples(
    path: &Path,
    reader: &TrialReader,
    analyser: &mut Analyser,
    processing: Processing,
) -> Result<(MeasuredFile, Samples), OpenTrialError> {
    measure_whole(path, reader, analyser, processing).map(|(file, _, samples)| (file, samples))
}

/// As [`measure_file`], with the path of the centre of pressure on its even grid, for drawing.
/// A batch should not keep paths: a minute is 96 kB.
///
/// # Errors
/// As [`measure_file`].
pub fn measure_with_trace(
    path: &Path,
    reader: &TrialReader,
    analyser: &mut Analyser,
    processing: Processing,
) -> Result<(MeasuredFile, Result<Trace, NotAvailable>), OpenTrialError> {
    measure_whole(path, reader, analyser, processing).map(|(file, trace, _)| (file, trace))
}

type Whole = (MeasuredFile, Result<Trace, NotAvailable>, Samples);

fn measure_whole(
    path: &Path,
    reader: &TrialReader,
    analyser: &mut Analyser,
    processing: Processing,
) -> Result<Whole, OpenTrialError> {
    let (stored, digest) = reader.open_with_digest(path)?;
    let mut whole = None;
    let (found, trace) = match stored.trial() {
        Err(reason) => (Err(reason), Err(reason)),
        Ok((trial, continuity)) => {
            whole = Some(continuity);
            let settings = Settings { processing, body_height_m: trial.body_height_m };
            let measures = analyser.measure(&trial.trace, &settings);
            let measured = MeasuredTrial {
                person: trial.person,
                condition: trial.condition,
                kind: trial.kind,
                setup: trial.setup,
                measures,
            };
            (Ok(Found { continuity, measured }), Ok(trial.trace))
        }
    };
    let quality = stored.quality(whole);
    let file = MeasuredFile {
        path: path.to_owned(),
        digest,
        n_samples: stored.samples.n_samples(),
        facts: stored.facts,
        origin: stored.origin,
        quality,
        found,
    };
    Ok((file, trace, stored.samples))
}
