//! What the records say of a person, made ready for the pages.

mod board;
mod chart;
mod courses;
mod patient;
mod results;

use std::collections::BTreeSet;

use acquisition::board_folder::{BoardFolder, BoardFolderError};
use acquisition::calibrate::CalibrationRecord;
use acquisition::library::Library;
use acquisition::records::TrialRecord;
use acquisition::records::{
    DecisionRecord, PersonCourse, PersonRecord, Plan, Records, RecordsError, WhyOutside,
};
use acquisition::trial_file::TrialReader;
use acquisition::{Origin, WallTime};
use analysis::readiness::{NextStep, NotInPlan, next_step};
use analysis::{Analyser, Condition, NoiseFloor, PersonCode, TrialKind, check_comparable};
use thiserror::Error;

use super::made_at::MadeAt;
use crate::window::compare::ComparedTrial;

pub use patient::Calls;

/// Why the records give no pages.
#[derive(Debug, Error)]
pub enum ReadPersonError {
    /// The records cannot be read.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// Nobody has this code.
    #[error("{person} is not in the records")]
    NoPerson {
        /// The code.
        person: PersonCode,
    },
    /// What is kept of the board cannot be read.
    #[error(transparent)]
    Board(#[from] BoardFolderError),
}

/// Everything the pages are made of, as it was known at the end of one day.
///
/// No clock is read: the same records and the same day give the same pages.
#[derive(Debug)]
pub struct PersonMaterial {
    person: PersonRecord,
    plan: Option<Plan>,
    known: PersonCourse,
    decisions: Vec<DecisionRecord>,
    step: Option<Result<NextStep, NotInPlan>>,
    /// One set a condition, in the order in which the conditions were first stood.
    sets: Vec<LatestSet>,
    board: BoardState,
    until: WallTime,
    days: Option<[i32; 2]>,
}

/// The measured trials of the latest day at one condition.
#[derive(Debug)]
struct LatestSet {
    condition: Condition,
    day: i32,
    /// Days with measured trials here, the latest included.
    n_days: usize,
    /// Trials that may stand beside the latest one, the earliest first.
    trials: Vec<ComparedTrial>,
    /// Trials that are not among them: how many could not be opened, and why others were left out.
    n_not_opened: usize,
    left_out: Vec<analysis::NotComparable>,
}

/// What the latest trial was measured with.
#[derive(Debug, Default)]
struct BoardState {
    latest: Option<(acquisition::TrialFacts, Origin)>,
    newest_calibration: Option<CalibrationRecord>,
    noise: Option<NoiseFloor>,
}

impl PersonMaterial {
    /// Reads what was known of `person` at `until`, the end of a day.
    ///
    /// Trials are read from their files, those of the latest day at each condition; so the time
    /// taken does not grow with the length of a course.
    ///
    /// # Errors
    /// [`ReadPersonError`]. A trial file that cannot be opened is no error: the page says so.
    pub fn read(
        records: &Records,
        library: &Library,
        reader: &TrialReader,
        person: &PersonCode,
        until: WallTime,
    ) -> Result<Self, ReadPersonError> {
        let found = records.person(person)?;
        let found = found.ok_or_else(|| ReadPersonError::NoPerson { person: person.clone() })?;
        let plan = records.plan_as_of(person, until)?;
        let known = records.course(person)?.until(until);
        let step =
            plan.as_ref().map(|plan| next_step(&known.course, &plan.step_plan(), until.moment()));
        let mut trials = records.history(person, &[])?.trials;
        trials.retain(|trial| trial.facts.started.unix_us <= until.unix_us);
        let mut decisions = records.decisions(person)?;
        decisions.retain(|decision| decision.made.unix_us <= until.unix_us);
        let days = || trials.iter().map(|trial| trial.facts.started.local_day());
        let days = days().min().zip(days().max()).map(|(first, last)| [first, last]);
        Ok(Self {
            sets: latest_sets(&trials, &known, library, reader),
            board: board_state(&trials, library, reader)?,
            person: found,
            plan,
            known,
            decisions,
            step,
            until,
            days,
        })
    }

    /// Midnight at the beginning of the day of the pages: a time that follows from the day alone, so
    /// that the bytes do too.
    fn made(&self) -> MadeAt {
        let text = self.until.to_string();
        let (date, rest) = text.split_at(text.find('T').unwrap_or(text.len()));
        let offset = rest.rfind(['+', '-']).map_or("+00:00", |at| &rest[at..]);
        let unknown =
            MadeAt { year: 1970, month: 1, day: 1, hour: 0, minute: 0, offset_minutes: 0 };
        format!("{date}T00:00:00{offset}").parse().unwrap_or(unknown)
    }
}

fn latest_sets(
    trials: &[TrialRecord],
    known: &PersonCourse,
    library: &Library,
    reader: &TrialReader,
) -> Vec<LatestSet> {
    let references: BTreeSet<&str> = known
        .outside
        .iter()
        .filter(|outside| outside.why == WhyOutside::Reference)
        .map(|outside| outside.id.as_str())
        .collect();
    let measured: Vec<&TrialRecord> = trials
        .iter()
        .filter(|trial| trial.facts.kind == TrialKind::Measured)
        .filter(|trial| !references.contains(trial.facts.id.as_str()))
        .collect();
    let mut conditions: Vec<Condition> = Vec::new();
    for trial in &measured {
        if !conditions.contains(&trial.facts.condition) {
            conditions.push(trial.facts.condition);
        }
    }
    let mut analyser = Analyser::new();
    let set = |condition: Condition| {
        let here: Vec<&&TrialRecord> =
            measured.iter().filter(|trial| trial.facts.condition == condition).collect();
        latest_set(condition, &here, library, reader, &mut analyser)
    };
    conditions.into_iter().map(set).collect()
}

fn latest_set(
    condition: Condition,
    here: &[&&TrialRecord],
    library: &Library,
    reader: &TrialReader,
    analyser: &mut Analyser,
) -> LatestSet {
    let days: BTreeSet<i32> = here.iter().map(|trial| trial.facts.started.local_day()).collect();
    let day = days.last().copied().unwrap_or(0);
    let (mut trials, mut n_not_opened) = (Vec::new(), 0);
    for trial in here.iter().filter(|trial| trial.facts.started.local_day() == day) {
        match ComparedTrial::read(&library.trial_path(&trial.facts.id), reader, analyser) {
            Ok(trial) => trials.push(trial),
            Err(_) => n_not_opened += 1,
        }
    }
    let left_out = keep_comparable(&mut trials);
    LatestSet { condition, day, n_days: days.len(), trials, n_not_opened, left_out }
}

/// Keeps the trials that may stand beside the latest measured one; those that nothing could be
/// measured in stay too, for what is said of them.
fn keep_comparable(trials: &mut Vec<ComparedTrial>) -> Vec<analysis::NotComparable> {
    let latest = trials.iter().rev().find_map(ComparedTrial::measured).cloned();
    let Some(latest) = latest else { return Vec::new() };
    let mut left_out = Vec::new();
    trials.retain(|trial| {
        let Some(measured) = trial.measured() else { return true };
        let fits = check_comparable(&[&latest], &[measured]);
        left_out.extend(fits.as_ref().err().cloned());
        fits.is_ok()
    });
    left_out
}

fn board_state(
    trials: &[TrialRecord],
    library: &Library,
    reader: &TrialReader,
) -> Result<BoardState, ReadPersonError> {
    let mut analyser = Analyser::new();
    let latest = trials.iter().rev().find_map(|trial| {
        let path = library.trial_path(&trial.facts.id);
        ComparedTrial::read(&path, reader, &mut analyser).ok()
    });
    let Some(latest) = latest else { return Ok(BoardState::default()) };
    let (facts, origin) = (latest.file.facts, latest.file.origin);
    let (newest_calibration, noise) = match &origin {
        Origin::Board(board) => {
            let folder = BoardFolder::new(library.folder(), &board.board_id)?;
            (folder.newest_calibration()?, folder.newest_noise_floor()?)
        }
        Origin::Imported(_) => (None, None),
    };
    Ok(BoardState { latest: Some((facts, origin)), newest_calibration, noise })
}
