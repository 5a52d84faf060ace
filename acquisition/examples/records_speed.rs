//! How fast records of many trials open, and one person's course is read.
//!
//! Usage: `cargo run --release -p acquisition --example records_speed [TRIALS] [FOLDER]`
//!
//! Generates records (100,000 trials of 500 people unless told otherwise; no trial files) in FOLDER,
//! or in a temporary folder that is removed afterwards, and prints the times.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use acquisition::library::Library;
use acquisition::records::{Measurement, Records, TrialRecord};
use acquisition::{TrialFacts, WallTime};
use analysis::{Condition, Facing, MEASURES, PersonCode, Processing, Setup, TrialKind};
use anyhow::{Context as _, Result};

const TRIALS_PER_PERSON: usize = 200;
const TRIALS_PER_SESSION: usize = 8;
const BATCH: usize = 5_000;

/// What the course of a person shows.
const COURSE_MEASURES: &[&str] =
    &["wobble_median", "share_over", "mean_velocity", "ellipse_area", "mean_frequency"];

#[expect(clippy::print_stdout, reason = "printing the figures is what it is for")]
fn main() -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    let n_trials: usize = match arguments.next() {
        Some(text) => text.parse().context("the number of trials")?,
        None => 100_000,
    };
    let temporary = tempfile::tempdir()?;
    let folder = arguments.next().map_or_else(|| temporary.path().to_owned(), PathBuf::from);
    let library = Library::open(&folder)?;

    let begun = Instant::now();
    generate(&library, n_trials)?;
    let database = folder.join("records.sqlite");
    let n_mebibytes = std::fs::metadata(&database)?.len() >> 20;
    println!("generated {n_trials} trials in {:.1} s: {n_mebibytes} MiB", seconds(begun.elapsed()));

    let begun = Instant::now();
    let records = Records::open(&library)?;
    let n_people = records.people()?.len();
    println!("opened, {n_people} people listed: {:.1} ms", 1e3 * seconds(begun.elapsed()));

    let (mut courses, mut judged): (Vec<Duration>, Vec<Duration>) = (Vec::new(), Vec::new());
    for index in (0..n_people).step_by((n_people / 50).max(1)) {
        let begun = Instant::now();
        let history = records.history(&code(index)?, COURSE_MEASURES)?;
        courses.push(begun.elapsed());
        anyhow::ensure!(history.trials.len() <= TRIALS_PER_PERSON, "too many trials");
        anyhow::ensure!(!history.trials.is_empty(), "no trials");
        let begun = Instant::now();
        let course = records.course(&code(index)?)?.course;
        judged.push(begun.elapsed());
        anyhow::ensure!(!course.sessions.is_empty(), "no sessions");
    }
    for (what, mut times) in [("course as shown", courses), ("course as judged", judged)] {
        times.sort();
        let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
        println!(
            "one person's {what}, {TRIALS_PER_PERSON} trials, {} people: median {:.1} ms, worst {:.1} ms",
            times.len(),
            1e3 * seconds(median),
            1e3 * seconds(worst)
        );
    }
    Ok(())
}

fn seconds(duration: Duration) -> f64 {
    duration.as_secs_f64()
}

fn code(person: usize) -> Result<PersonCode> {
    Ok(format!("P-{person:05}").parse()?)
}

fn generate(library: &Library, n_trials: usize) -> Result<()> {
    let mut records = Records::open(library)?;
    let indices: Vec<usize> = (0..n_trials).collect();
    for batch in indices.chunks(BATCH) {
        let trials: Result<Vec<TrialRecord>> = batch.iter().map(|&index| trial(index)).collect();
        records.put_trials(&trials?)?;
    }
    Ok(())
}

/// A trial as if it had been recorded; its numbers only have to be of the usual size.
fn trial(index: usize) -> Result<TrialRecord> {
    let number = index as f64;
    let person = index / TRIALS_PER_PERSON;
    let session = index / TRIALS_PER_SESSION;
    let value = |place: usize| 1.0 + ((number + 1.0) * (place as f64 + 1.0)).sin().abs() * 40.0;
    let condition: Condition =
        if index.is_multiple_of(2) { "foam/together/open" } else { "foam/together/closed" }
            .parse()?;
    Ok(TrialRecord {
        facts: TrialFacts {
            id: format!("018f4e2a-7c00-7123-8abc-{index:012x}"),
            person: code(person)?,
            session: Some(format!("018f4e2a-7c00-7123-9abc-{session:012x}")),
            plan: None,
            condition,
            kind: TrialKind::Measured,
            setup: Setup {
                board: "0123456789abcdef01234567".to_owned(),
                sole_height_mm: Some(60.0),
                facing: Facing::Front,
            },
            body_height_m: Some(1.7),
            body_mass_kg: Some(70.0),
            started: WallTime::new(1_700_000_000_000_000 + i64::try_from(index)? * 60_000_000, 0)?,
            settled_s: 12.0,
            asked_s: 35.0,
            program: "footing 0.1.0".to_owned(),
        },
        digest: format!("{index:064x}").parse()?,
        n_samples: 35_000,
        ended: Some(acquisition::Ending::HoldReached),
        calibration: Some(acquisition::CalibrationKind::Fitted),
        measurement: Measurement {
            processing: Processing::Standard,
            program: "footing 0.1.0".to_owned(),
            body_height_assumed: false,
            flags: Some(Vec::new()),
            not_available: None,
            values: MEASURES
                .iter()
                .enumerate()
                .map(|(place, measure)| (measure.key.to_owned(), value(place)))
                .collect(),
            position: None,
        },
    })
}
