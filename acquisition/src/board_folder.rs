//! What is kept of a board: its calibrations and its dead-weight checks, in a folder of its own.
//!
//! Every file is written once, beside its place, synced and only then named; nothing is overwritten.
//! The highest version is the one in force.

mod calibration_file;
mod check_files;
mod versioned_file;

use std::path::{Path, PathBuf};

pub use calibration_file::{BadCalibrationFile, read_calibration};
pub use check_files::{BadDeadWeightFile, CheckedWith, findings_json};
pub use versioned_file::BoardFolderError;
use versioned_file::VersionedFiles;

use analysis::NoiseFloor;

use crate::board_test::{DeadWeight, Finding};
use crate::calibrate::CalibrationRecord;
use crate::calibration::Calibration;

/// The folder of one board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardFolder {
    board_id: String,
    calibrations: VersionedFiles,
    dead_weights: VersionedFiles,
    tests: VersionedFiles,
}

impl BoardFolder {
    /// The folder of the board with this 96-bit id inside a data folder; nothing is made yet.
    ///
    /// # Errors
    /// [`BoardFolderError::BoardId`] for an id that is none, and so cannot name a folder.
    pub fn new(data_folder: &Path, board_id: &str) -> Result<Self, BoardFolderError> {
        let digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
        if board_id.len() != 24 || !board_id.bytes().all(digit) {
            return Err(BoardFolderError::BoardId { found: board_id.chars().take(40).collect() });
        }
        let folder = data_folder.join("boards").join(board_id);
        let calibrations = VersionedFiles::new(&folder, "calibration");
        let dead_weights = VersionedFiles::new(&folder, "dead-weight");
        let tests = VersionedFiles::new(&folder, "board-tests");
        Ok(Self { board_id: board_id.to_owned(), calibrations, dead_weights, tests })
    }

    /// The version the next calibration will have.
    ///
    /// # Errors
    /// [`BoardFolderError`] if the folder cannot be read.
    pub fn next_calibration_version(&self) -> Result<u32, BoardFolderError> {
        self.calibrations.next_version()
    }

    /// Keeps a calibration; gives its file.
    ///
    /// # Errors
    /// [`BoardFolderError`]; one that exists already is never overwritten.
    pub fn store_calibration(
        &self,
        record: &CalibrationRecord,
    ) -> Result<PathBuf, BoardFolderError> {
        let json = calibration_file::to_json(record)?;
        self.calibrations.store(record.calibration.version, &json)
    }

    /// The files of all calibrations, oldest first.
    ///
    /// # Errors
    /// [`BoardFolderError`] if the folder cannot be read. A board without a folder has none.
    pub fn calibration_files(&self) -> Result<Vec<PathBuf>, BoardFolderError> {
        Ok(self.calibrations.list()?.into_iter().map(|(_, path)| path).collect())
    }

    /// The newest calibration; `None` if the board has none.
    ///
    /// # Errors
    /// [`BoardFolderError`] if it cannot be read: an older one is never used in its place.
    pub fn newest_calibration(&self) -> Result<Option<CalibrationRecord>, BoardFolderError> {
        let Some((_, path)) = self.calibrations.list()?.pop() else { return Ok(None) };
        self.calibration_in(&path).map(Some)
    }

    /// The calibration in a file, if it is this board's.
    ///
    /// # Errors
    /// [`BoardFolderError`] if it cannot be read, or belongs to another board.
    pub fn calibration_in(&self, path: &Path) -> Result<CalibrationRecord, BoardFolderError> {
        let damaged = |source| BoardFolderError::Calibration { path: path.to_owned(), source };
        let record = read_calibration(path).map_err(damaged)?;
        if record.calibration.board_id != self.board_id {
            return Err(BoardFolderError::OtherBoard {
                path: path.to_owned(),
                found: record.calibration.board_id,
                wanted: self.board_id.clone(),
            });
        }
        Ok(record)
    }

    /// Keeps a dead-weight check; gives its file.
    ///
    /// # Errors
    /// [`BoardFolderError`].
    pub fn store_dead_weight(
        &self,
        shown: &DeadWeight,
        with: &CheckedWith,
    ) -> Result<PathBuf, BoardFolderError> {
        let json = check_files::dead_weight_json(shown, with)?;
        self.dead_weights.store(self.dead_weights.next_version()?, &json)
    }

    /// What the newest dead-weight check says of the board's noise; `None` if there was none.
    ///
    /// # Errors
    /// [`BoardFolderError`] if it cannot be read.
    pub fn newest_noise_floor(&self) -> Result<Option<NoiseFloor>, BoardFolderError> {
        let Some((_, path)) = self.dead_weights.list()?.pop() else { return Ok(None) };
        let damaged = |source| BoardFolderError::DeadWeight { path: path.clone(), source };
        let bytes = versioned_file::bounded(&path).map_err(|source| damaged(source.into()))?;
        check_files::noise_floor(&bytes).map(Some).map_err(damaged)
    }

    /// Keeps what the acceptance tests found; gives the file.
    ///
    /// # Errors
    /// [`BoardFolderError`].
    pub fn store_tests(
        &self,
        findings: &[Finding],
        with: &CheckedWith,
    ) -> Result<PathBuf, BoardFolderError> {
        let json = check_files::tests_json(findings, with)?;
        self.tests.store(self.tests.next_version()?, &json)
    }

    /// What forces are computed with: the newest calibration, or the design's numbers for a board
    /// that was never calibrated; `gain` is that of its converter.
    ///
    /// # Errors
    /// As [`newest_calibration`](Self::newest_calibration).
    pub fn calibration_in_force(&self, gain: u8) -> Result<Calibration, BoardFolderError> {
        let newest = self.newest_calibration()?.map(|record| record.calibration);
        Ok(newest.unwrap_or_else(|| Calibration::nominal(&self.board_id, gain)))
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::calibrate::{HoldOutCheck, Jig, Purpose, Spot, SpotRecord};
    use crate::calibration::tests::square_board;
    use crate::wall_time::WallTime;

    const BOARD: &str = "0123456789abcdef01234567";

    fn record(version: u32) -> CalibrationRecord {
        let spot = Spot { ml_mm: -150.0, ap_mm: 150.0, purpose: Purpose::HoldOut };
        CalibrationRecord {
            calibration: Calibration {
                version,
                covariance: Some(Box::new([[1e-9; 12]; 12])),
                ..square_board()
            },
            made: WallTime::new(1_700_000_000_000_000, 3600).unwrap(),
            program: "footing 0.1.0".to_owned(),
            temperature_c: Some(21.5),
            mass_kg: 20.0,
            jig: Jig::Fine,
            spots: vec![SpotRecord {
                spot,
                counts: [1.5, -2.0, 0.1, 1e6],
                left_newtons: 0.01,
                left_ml_mm: -0.2,
                left_ap_mm: 0.1 + 0.2,
            }],
            chi_square: 30.0,
            degrees_of_freedom: 33,
            corner_load_spread: 4e-4,
            hold_out: Some(HoldOutCheck { n_spots: 1, radial_rms_mm: 0.3, largest_mm: 0.4 }),
            largest_uncertainty_mm: 0.57,
        }
    }

    #[test]
    fn the_newest_calibration_comes_back_as_it_was_and_nothing_is_overwritten() {
        let data = tempfile::tempdir().unwrap();
        let folder = BoardFolder::new(data.path(), BOARD).unwrap();
        assert_eq!(folder.newest_calibration().unwrap(), None);
        assert_eq!(folder.calibration_in_force(128).unwrap().version, 0, "the design's numbers");
        for version in [1, 2, 10_000] {
            folder.store_calibration(&record(version)).unwrap();
        }
        assert_eq!(folder.next_calibration_version().unwrap(), 10_001);
        assert_eq!(folder.newest_calibration().unwrap(), Some(record(10_000)));
        let again = folder.store_calibration(&record(2)).unwrap_err();
        assert!(matches!(again, BoardFolderError::Exists { .. }), "{again}");
        assert_eq!(folder.calibration_files().unwrap().len(), 3);
    }

    #[test]
    fn a_damaged_calibration_is_refused_and_no_older_one_takes_its_place() {
        let data = tempfile::tempdir().unwrap();
        let folder = BoardFolder::new(data.path(), BOARD).unwrap();
        folder.store_calibration(&record(1)).unwrap();
        let path = folder.store_calibration(&record(2)).unwrap();
        let whole = fs::read_to_string(&path).unwrap();
        for (from, to) in [
            ("\"format_version\": 1", "\"format_version\": 2"),
            ("footing-calibration", "something-else"),
            ("\"fine\"", "\"finer\""),
            ("\"mass_kg\": 20.0", "\"mass_kg\": -20.0"),
            ("0.001", "0.0"),
            ("hold-out\"", "held\""),
            ("\"program\"", "\"programme\""),
            ("{", ""),
        ] {
            fs::write(&path, whole.replace(from, to)).unwrap();
            let refused = folder.calibration_in_force(128).unwrap_err();
            assert!(matches!(refused, BoardFolderError::Calibration { .. }), "{from}: {refused}");
        }
        fs::write(&path, vec![b' '; 300 * 1024]).unwrap();
        assert!(folder.newest_calibration().is_err(), "larger than any calibration");
    }

    #[test]
    fn the_newest_noise_floor_is_the_one_that_counts() {
        let data = tempfile::tempdir().unwrap();
        let folder = BoardFolder::new(data.path(), BOARD).unwrap();
        assert_eq!(folder.newest_noise_floor().unwrap(), None);
        let with = CheckedWith {
            board_id: BOARD.to_owned(),
            at: WallTime::new(1_700_000_000_000_000, 0).unwrap(),
            calibration: "one".to_owned(),
            temperature_c: None,
        };
        let floor = |path_rate_mm_per_s| NoiseFloor {
            path_rate_mm_per_s,
            uncertainty_mm_per_s: 0.05,
            load_newtons: 196.0,
        };
        let shown = |path_rate_mm_per_s| DeadWeight {
            cell_rms_newtons: [0.04; 4],
            frames_per_s: 250.0,
            sd_ml_mm: 0.03,
            sd_ap_mm: 0.04,
            largest_line_mm: 0.005,
            largest_line_hz: 3.0,
            floor: floor(path_rate_mm_per_s),
            seconds: 60.0,
        };
        folder.store_dead_weight(&shown(1.6), &with).unwrap();
        let newest = folder.store_dead_weight(&shown(1.4), &with).unwrap();
        assert_eq!(folder.newest_noise_floor().unwrap(), Some(floor(1.4)));
        let text = fs::read_to_string(&newest).unwrap();
        fs::write(&newest, text.replace("1.4", "-1.4")).unwrap();
        assert!(matches!(
            folder.newest_noise_floor(),
            Err(BoardFolderError::DeadWeight { source: BadDeadWeightFile::Number { .. }, .. })
        ));
    }

    #[test]
    fn a_calibration_of_another_board_and_an_id_that_is_a_path_are_refused() {
        let data = tempfile::tempdir().unwrap();
        let folder = BoardFolder::new(data.path(), BOARD).unwrap();
        let path = folder.store_calibration(&record(1)).unwrap();
        let other = BoardFolder::new(data.path(), "ffffffffffffffffffffffff").unwrap();
        let refused = other.calibration_in(&path).unwrap_err();
        assert!(matches!(refused, BoardFolderError::OtherBoard { .. }), "{refused}");
        for bad in ["", "../../../../../../etc/pass", "0123456789ABCDEF01234567"] {
            assert!(BoardFolder::new(data.path(), bad).is_err(), "{bad}");
        }
    }
}
