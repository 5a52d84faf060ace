//! What a comparison is made from, read from trial files.

use std::path::Path;

use acquisition::results::{MeasuredFile, measure_with_trace};
use acquisition::trial_file::{OpenTrialError, TrialReader};
use analysis::{Analyser, MeasuredTrial, NotAvailable, Processing, Settings, Spectrum, Trace};

/// One trial of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedTrial {
    /// The file with its facts, and its measures if it has any.
    pub file: MeasuredFile,
    /// What is drawn, if anything can be.
    pub drawn: Result<DrawnTrial, NotAvailable>,
}

/// What is drawn of a trial: all of it made from the same processed record as the measures.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnTrial {
    /// Path of the centre of pressure.
    pub path: Trace,
    /// Power spectral density of both axes.
    pub spectrum: Spectrum,
}

impl ComparedTrial {
    /// Reads and measures a trial file.
    ///
    /// # Errors
    /// [`OpenTrialError`] if it cannot be opened. A trial that cannot be measured is no error.
    pub fn read(
        path: &Path,
        reader: &TrialReader,
        analyser: &mut Analyser,
    ) -> Result<Self, OpenTrialError> {
        let (file, trace) = measure_with_trace(path, reader, analyser, Processing::Standard)?;
        Ok(Self::of(file, trace, analyser))
    }

    /// From a trial that is read and measured: what is drawn is made with the same settings.
    pub fn of(
        file: MeasuredFile,
        trace: Result<Trace, NotAvailable>,
        analyser: &mut Analyser,
    ) -> Self {
        let settings = match &file.found {
            Ok(found) => found.measured.measures.settings,
            Err(_) => Settings::standard(file.facts.body_height_m),
        };
        let drawn = trace.and_then(|trace| {
            let path = analyser.processed(&trace, &settings)?;
            let spectrum = analyser.spectrum(&trace, &settings)?;
            Ok(DrawnTrial { path, spectrum })
        });
        Self { file, drawn }
    }

    /// The measures, if there are any.
    pub fn measured(&self) -> Option<&MeasuredTrial> {
        self.file.found.as_ref().ok().map(|found| &found.measured)
    }
}
