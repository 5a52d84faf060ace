//! `footing prove`: how often the rule for the next step is wrong, by simulation.

use analysis::readiness::Thresholds;
use analysis::readiness::proof::{Counts, FIGURES, Figure, Held, Target, count};
use rayon::prelude::*;

use super::arguments::ProveArguments;
use super::output::{self, Talk};
use super::text_table::{Side, text_table};

/// Spreads of wobble from day to day for which the figures are told (SD of the logarithm).
const DAY_SPREADS: [f64; 3] = [0.12, 0.15, 0.20];

pub(crate) fn run(arguments: &ProveArguments, talk: Talk) {
    let n_rows = (FIGURES.len() * DAY_SPREADS.len()) as u64;
    let bar = output::bar(talk, n_rows * arguments.courses, "Simulating");
    let mut rows = vec![
        ["a person", "question", "target", "day spread", "seen (95 % interval)", ""]
            .map(str::to_owned)
            .to_vec(),
    ];
    for day_log_sd in DAY_SPREADS {
        for figure in &FIGURES {
            let counts = counts(figure, day_log_sd, arguments, &bar);
            rows.push(row(figure, day_log_sd, &counts));
        }
    }
    bar.finish_and_clear();
    let (left, right) = (Side::Left, Side::Right);
    output::result(&format!(
        "{}\nCourses of virtual people a row: {}, seeds from {}. The intervals tell how exact the \
         simulation is, not whether real people are like these.\n",
        text_table(&[left, left, left, right, right, left], &rows),
        arguments.courses,
        arguments.seed,
    ));
}

fn counts(
    figure: &Figure,
    day_log_sd: f64,
    arguments: &ProveArguments,
    bar: &indicatif::ProgressBar,
) -> Counts {
    let person = figure.person(day_log_sd);
    let sum = |mut sum: Counts, more: Counts| {
        sum.add(&more);
        sum
    };
    (arguments.seed..arguments.seed.saturating_add(arguments.courses))
        .into_par_iter()
        .map(|seed| {
            bar.inc(1);
            count(&person, Thresholds::default(), [seed])
        })
        .reduce(Counts::default, sum)
}

fn row(figure: &Figure, day_log_sd: f64, counts: &Counts) -> Vec<String> {
    let tally = figure.tally(counts);
    let (lower, upper) = tally.interval();
    let (sign, rate) = match figure.target {
        Target::AtMost(rate) => ("at most", rate),
        Target::AtLeast(rate) => ("at least", rate),
    };
    let held = figure.held(tally, day_log_sd);
    vec![
        figure.truth.to_owned(),
        figure.question.key().to_owned(),
        if held.is_some() { format!("{sign} {:.0} %", 100.0 * rate) } else { "none".to_owned() },
        format!("{day_log_sd:.2}"),
        format!("{:.1} % ({:.1} to {:.1})", 100.0 * tally.rate(), 100.0 * lower, 100.0 * upper),
        match held {
            None => "told only",
            Some(Held::Met) => "met",
            Some(Held::NotSettled) => "not settled: more courses would tell",
            Some(Held::Missed) => "MISSED",
        }
        .to_owned(),
    ]
}
