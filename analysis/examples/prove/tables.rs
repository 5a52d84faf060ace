//! The tables, in Markdown.

use analysis::readiness::proof::{
    Counts, DaySpread, EDGE_MM, FIGURES, Figure, HowMuchRule, Tally, Target, VirtualPerson,
    coverage as coverage_of,
};
use analysis::readiness::{ModelPriors, Thresholds, TrialLength};
use analysis::{Condition, Stance, Surface, Vision};

use crate::Proof;

/// Short heads of the same figures, in the same order.
const FIGURE_HEADS: [&str; 5] = [
    "edge: advance per decision",
    "edge: any advance in 8 looks",
    "0.75: advance by the 5th",
    "1.25: step back by the 3rd",
    "0.9: step back per decision",
];

const DAY_SPREADS: [f64; 3] = [0.12, 0.15, 0.20];

pub(crate) fn targets(proof: &Proof) {
    println!("| truth | figure | target | day spread | probability alone | 4a alone | full rule |");
    println!("|---|---|---|---|---|---|---|");
    for day_log_sd in DAY_SPREADS {
        let counted = each_truth(proof, Thresholds::default(), |share| {
            VirtualPerson::at_ease(share * EDGE_MM, day_log_sd)
        });
        for (figure, counts) in FIGURES.iter().zip(&counted) {
            let Figure { truth, question, .. } = figure;
            let tallies = HowMuchRule::ALL.iter().map(|&part| counts.tally(part, *question));
            let cells = tallies.map(percent).collect::<Vec<_>>().join(" | ");
            let target = target(figure);
            println!("| {truth} | {} | {target} | {day_log_sd:.2} | {cells} |", question.key());
        }
    }
    println!();
}

fn target(figure: &Figure) -> String {
    let (sign, rate) = match figure.target {
        Target::AtMost(rate) => ("<=", rate),
        Target::AtLeast(rate) => (">=", rate),
    };
    let spreads: Vec<String> =
        figure.target_day_log_sd.iter().map(|sd| format!("{sd:.2}")).collect();
    format!("{sign} {:.0} % at {}", 100.0 * rate, spreads.join(", "))
}

/// How the figures move with the limit on the share of windows over the range, on the seeds from 0
/// on: defaults are chosen there and reported elsewhere.
pub(crate) fn choice_of_share(proof: &Proof) {
    let proof = Proof { courses: proof.courses / 5, first_seed: 0 };
    println!("{} courses a row, seeds from 0, day spread 0.15, full rule\n", proof.courses);
    println!("| largest median share over | {} |", FIGURE_HEADS.join(" | "));
    println!("|---|---|---|---|---|---|");
    for share_over in [0.15, 0.20, 0.25, 0.30] {
        let limits = Thresholds { share_over, ..Thresholds::default() };
        let counted =
            each_truth(&proof, limits, |share| VirtualPerson::at_ease(share * EDGE_MM, 0.15));
        println!("| {share_over:.2} | {} |", full_rule_cells(&counted));
    }
    println!();
}

fn full_rule_cells(counted: &[Counts]) -> String {
    let cells = FIGURES.iter().zip(counted).map(|(figure, counts)| percent(figure.tally(counts)));
    cells.collect::<Vec<_>>().join(" | ")
}

pub(crate) fn by_session(proof: &Proof) {
    let proof = proof.of_courses(proof.courses / 5);
    println!("{} courses a row, day spread 0.15, full rule\n", proof.courses);
    println!("| truth | verdict | by the 3rd | 4th | 5th | 6th | 8th | 10th scored session |");
    println!("|---|---|---|---|---|---|---|---|");
    for share in [0.6, 0.75, 0.9, 1.0, 1.1, 1.25] {
        let counts =
            proof.count(&VirtualPerson::at_ease(share * EDGE_MM, 0.15), Thresholds::default());
        let row = |verdict: &str, of: &dyn Fn(usize) -> Tally| {
            let cells = [3, 4, 5, 6, 8, 10].map(|n| percent(of(n)));
            println!("| {share} x the edge | {verdict} | {} |", cells.join(" | "));
        };
        row("advance", &|n| counts.advanced_by(n));
        row("step back", &|n| counts.stepped_back_by(n));
    }
    println!();
}

pub(crate) fn sensitivity(proof: &Proof) {
    let proof = proof.of_courses(proof.courses / 5);
    println!("{} courses a row\n", proof.courses);
    println!("| changed | {} |", FIGURE_HEADS.join(" | "));
    println!("|---|---|---|---|---|---|");
    for (name, change) in changes() {
        let counted = each_truth(&proof, Thresholds::default(), |share| {
            let mut person = VirtualPerson::at_ease(share * EDGE_MM, 0.15);
            change(&mut person);
            person
        });
        println!("| {name} | {} |", full_rule_cells(&counted));
    }
    println!();
}

/// The counts behind each figure; a truth asked twice is simulated once.
fn each_truth(
    proof: &Proof,
    limits: Thresholds,
    person: impl Fn(f64) -> VirtualPerson,
) -> Vec<Counts> {
    let mut counted: Vec<Counts> = Vec::new();
    for (index, figure) in FIGURES.iter().enumerate() {
        let share = &figure.share_of_edge;
        let before =
            FIGURES[..index].iter().position(|other| other.share_of_edge.total_cmp(share).is_eq());
        let counts = match before {
            Some(before) => counted[before].clone(),
            None => proof.count(&person(*share), limits),
        };
        counted.push(counts);
    }
    counted
}

type Changed = (&'static str, fn(&mut VirtualPerson));

fn changes() -> Vec<Changed> {
    vec![
        ("nothing", |_| {}),
        ("day spread 0.10", |person| person.day_log_sd = 0.10),
        ("day spread 0.25", |person| person.day_log_sd = 0.25),
        ("trial spread 0.11", |person| person.trial_log_sd = 0.11),
        ("trial spread 0.22", |person| person.trial_log_sd = 0.22),
        ("2 trials a session", |person| person.trials_per_session = 2),
        ("5 trials a session", |person| person.trials_per_session = 5),
        ("60 s, trial spread 0.11", |person| {
            person.length = TrialLength::Clinic;
            person.trial_log_sd = 0.11;
        }),
        ("every second day missed", |person| person.missed_day_probability = 0.5),
        ("2 in 3 days missed", |person| person.missed_day_probability = 2.0 / 3.0),
        ("wobble shrinks 10 % a week", |person| person.change_per_week = 0.9),
        ("wobble grows 10 % a week", |person| person.change_per_week = 1.1),
        ("board noise 10 %", |person| person.board_noise_log_sd = 0.10),
        ("board scale error 5 %", |person| person.calibration_log_sd = 0.05),
        ("step-off in 2 % of trials", |person| person.step_off_probability = 0.02),
        ("2 % of sessions make pain rise by 2", |person| person.flare_probability = 0.02),
        ("5 % of sessions unanswered", |person| person.silence_probability = 0.05),
        ("feels 4, said honestly", |person| person.felt_difficulty = 4.0),
        ("feels 4, understated by 0.8 (0.4 on 5)", |person| {
            person.felt_difficulty = 4.0;
            person.understated_by = 0.8;
        }),
        ("feels 5, said honestly", |person| person.felt_difficulty = 5.0),
        ("feels 5, understated by 0.8", |person| {
            person.felt_difficulty = 5.0;
            person.understated_by = 0.8;
        }),
    ]
}

pub(crate) fn coverage(proof: &Proof) {
    println!("| spreads | sessions x trials | 95 % interval holds the level |");
    println!("|---|---|---|");
    let foam = Condition::unaided(Surface::Foam, Stance::HipWidth, Vision::Open);
    let priors = ModelPriors::wobble(foam, TrialLength::Home);
    let spreads = [
        ("both drawn from their beliefs", DaySpread::FromPrior),
        ("day 0.10, trial 0.155", DaySpread::Fixed(0.10)),
        ("day 0.15, trial 0.155", DaySpread::Fixed(0.15)),
        ("day 0.20, trial 0.155", DaySpread::Fixed(0.20)),
        ("day 0.25, trial 0.155", DaySpread::Fixed(0.25)),
    ];
    for (name, spread) in spreads {
        for size in [(3, 2), (3, 3), (5, 3), (10, 3)] {
            let seeds = proof.first_seed..proof.first_seed + proof.courses;
            let tally = coverage_of(priors, spread, size, seeds);
            println!("| {name} | {} x {} | {} |", size.0, size.1, percent(tally));
        }
    }
    println!();
}

fn percent(tally: Tally) -> String {
    let (lower, upper) = tally.interval();
    format!("{:.1} ({:.1} to {:.1})", 100.0 * tally.rate(), 100.0 * lower, 100.0 * upper)
}
