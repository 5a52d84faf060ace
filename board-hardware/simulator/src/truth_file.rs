//! What really was, frame by frame, as a table for tests.

use std::fs::File;
use std::path::Path;

use board_simulator::board::Truth;
use board_simulator::scene::Place;

/// Lines between two flushes, so that a killed program leaves all but the last moment.
const FLUSH_EVERY: u32 = 100;

/// A CSV file with one line per conversion.
///
/// Places are millimetres from the centre of the board; they are empty while nothing presses.
#[derive(Debug)]
pub(crate) struct TruthFile {
    writer: csv::Writer<File>,
    n_unflushed: u32,
}

impl TruthFile {
    /// A new file with its header line.
    pub(crate) fn create(path: &Path) -> Result<Self, csv::Error> {
        let mut writer = csv::Writer::from_path(path)?;
        writer.write_record([
            "stand",
            "sequence",
            "time_us",
            "force_newtons",
            "plate_ml_mm",
            "plate_ap_mm",
            "sole_ml_mm",
            "sole_ap_mm",
            "body_ml_mm",
            "body_ap_mm",
        ])?;
        writer.flush()?;
        Ok(Self { writer, n_unflushed: 0 })
    }

    /// Adds one conversion, whether or not its frame was sent.
    pub(crate) fn write(&mut self, truth: Truth) -> Result<(), csv::Error> {
        let Truth { stand, sequence, time, load } = truth;
        let place = |of: fn(&Place) -> f64, place: &Place| {
            if load.force_newtons == 0.0 { String::new() } else { of(place).to_string() }
        };
        let mut record = vec![
            stand.to_string(),
            sequence.0.to_string(),
            time.us().to_string(),
            load.force_newtons.to_string(),
        ];
        for point in [&load.plate, &load.sole, &load.body] {
            record.push(place(|p| p.ml_mm, point));
            record.push(place(|p| p.ap_mm, point));
        }
        self.writer.write_record(record)?;
        self.n_unflushed += 1;
        if self.n_unflushed == FLUSH_EVERY {
            self.flush()?;
        }
        Ok(())
    }

    /// Hands everything to the operating system.
    pub(crate) fn flush(&mut self) -> Result<(), csv::Error> {
        self.n_unflushed = 0;
        Ok(self.writer.flush()?)
    }
}
