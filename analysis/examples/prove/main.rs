//! Proves the next-step rule by simulation: prints the tables of `analysis/docs/readiness.md` and
//! writes its plot.
//!
//! `cargo run --release -p analysis --example prove -- [COURSES] [FIRST_SEED] [PLOT.svg]`

#![expect(clippy::print_stdout, reason = "the tables are the output of the program")]

mod plot;
mod tables;

use std::num::NonZero;
use std::thread;

use analysis::readiness::Thresholds;
use analysis::readiness::proof::{Counts, VirtualPerson, count};

/// Seeds on which defaults may be chosen; reports start at [`FIRST_REPORTED_SEED`].
const FIRST_REPORTED_SEED: u64 = 1_000_000;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let courses = arguments.next().map_or(Ok(20_000), |text| text.parse())?;
    let first_seed = arguments.next().map_or(Ok(FIRST_REPORTED_SEED), |text| text.parse())?;
    let proof = Proof { courses, first_seed };
    println!("{courses} courses a row, seeds from {first_seed}\n");
    tables::targets(&proof);
    tables::choice_of_share(&proof);
    tables::by_session(&proof);
    tables::sensitivity(&proof);
    tables::coverage(&proof);
    if let Some(path) = arguments.next() {
        std::fs::write(path, plot::verdicts_against_wobble(&proof))?;
    }
    Ok(())
}

/// How many courses, and from which seed on.
struct Proof {
    courses: u64,
    first_seed: u64,
}

impl Proof {
    /// The same seeds, from the first on, but so many.
    fn of_courses(&self, courses: u64) -> Self {
        Self { courses, first_seed: self.first_seed }
    }

    /// Counts over all seeds, spread over the machine's cores; the sum does not depend on how.
    fn count(&self, person: &VirtualPerson, thresholds: Thresholds) -> Counts {
        let n_threads = thread::available_parallelism().map_or(1, NonZero::get) as u64;
        let seeds = self.first_seed..self.first_seed + self.courses;
        thread::scope(|scope| {
            let workers: Vec<_> = (0..n_threads)
                .map(|worker| {
                    let own = seeds.clone().filter(move |seed| seed % n_threads == worker);
                    scope.spawn(move || count(person, thresholds, own))
                })
                .collect();
            let mut sum = Counts::default();
            for worker in workers {
                sum.add(&worker.join().expect("a worker ends by returning its counts"));
            }
            sum
        })
    }
}
