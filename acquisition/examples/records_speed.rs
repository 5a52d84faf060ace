//! How fast records of many trials open, and one person's course is read.
//!
//! Usage: `cargo run --release -p acquisition --example records_speed [TRIALS] [FOLDER]`
//!
//! Generates records (100,000 trials of 500 people unless told otherwise; no trial files) in FOLDER,
//! or in a temporary folder that is removed afterwards, and prints the times.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use acquisition::library::Library;
use acquisition::records::Records;
use anyhow::{Context as _, Result};

use generated_records::{TRIALS_PER_PERSON, code, generate};

mod generated_records;

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
