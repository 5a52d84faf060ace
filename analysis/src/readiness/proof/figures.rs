//! The figures the rule is held to, with their targets.

use super::counts::{Counts, HowMuchRule, Question};
use super::person::VirtualPerson;
use super::tally::Tally;
use crate::wobble::WOBBLE_WINDOW_MM;

/// Upper end of the wobble window, millimetres.
pub const EDGE_MM: f64 = *WOBBLE_WINDOW_MM.end();

/// One figure: what a person truly is, what is asked of their courses, and what the answer should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Who the person is, in words.
    pub truth: &'static str,
    /// Their true wobble, in parts of [`EDGE_MM`].
    pub share_of_edge: f64,
    /// What is asked.
    pub question: Question,
    /// The rate asked for.
    pub target: Target,
    /// Spreads from day to day (SD of the logarithm) at which the target must hold.
    pub target_day_log_sd: &'static [f64],
}

/// A rate that is asked for, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// This or less.
    AtMost(f64),
    /// This or more.
    AtLeast(f64),
}

/// How a simulated rate stands to its target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Held {
    /// The whole 95 % interval is on the side asked for.
    Met,
    /// The target lies within the interval: more courses would settle it.
    NotSettled,
    /// The whole interval is on the other side.
    Missed,
}

/// Every figure, in the order of the tables.
pub const FIGURES: [Figure; 5] = [
    Figure {
        truth: "at the edge, easy",
        share_of_edge: 1.0,
        question: Question::AdvancePerDecision,
        target: Target::AtMost(0.05),
        target_day_log_sd: &[0.12, 0.15],
    },
    Figure {
        truth: "at the edge, easy",
        share_of_edge: 1.0,
        question: Question::AnyAdvance,
        target: Target::AtMost(0.10),
        target_day_log_sd: &[0.15],
    },
    Figure {
        truth: "0.75 x the edge, easy",
        share_of_edge: 0.75,
        question: Question::AdvanceByFifth,
        target: Target::AtLeast(0.80),
        target_day_log_sd: &[0.15],
    },
    Figure {
        truth: "1.25 x the edge",
        share_of_edge: 1.25,
        question: Question::StepBackByThird,
        target: Target::AtLeast(0.80),
        target_day_log_sd: &[0.12, 0.15, 0.20],
    },
    Figure {
        truth: "0.9 x the edge",
        share_of_edge: 0.9,
        question: Question::StepBackPerDecision,
        target: Target::AtMost(0.05),
        target_day_log_sd: &[0.12, 0.15, 0.20],
    },
];

impl Figure {
    /// A person who is as this figure says, with this spread from day to day.
    pub fn person(&self, day_log_sd: f64) -> VirtualPerson {
        VirtualPerson::at_ease(self.share_of_edge * EDGE_MM, day_log_sd)
    }

    /// What the full rule made of the courses of such people.
    pub fn tally(&self, counts: &Counts) -> Tally {
        counts.tally(HowMuchRule::Full, self.question)
    }

    /// How a rate stands to the target; `None` at a spread for which there is none.
    pub fn held(&self, tally: Tally, day_log_sd: f64) -> Option<Held> {
        let asked = self.target_day_log_sd.iter().any(|sd| (sd - day_log_sd).abs() < 1e-9);
        asked.then(|| self.target.held(tally))
    }
}

impl Target {
    fn held(self, tally: Tally) -> Held {
        let (lower, upper) = tally.interval();
        let (met, missed) = match self {
            Self::AtMost(rate) => (upper <= rate, rate < lower),
            Self::AtLeast(rate) => (rate <= lower, upper < rate),
        };
        match (met, missed) {
            (true, _) => Held::Met,
            (_, true) => Held::Missed,
            _ => Held::NotSettled,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Intervals as in `tally.rs`, from scipy: 33 of 1000 is 2.3 to 4.6 %.
    #[test]
    fn a_target_inside_the_interval_is_not_settled() {
        let tally = Tally { hits: 33, of: 1000 };
        for (target, held) in [
            (Target::AtMost(0.05), Held::Met),
            (Target::AtMost(0.04), Held::NotSettled),
            (Target::AtMost(0.02), Held::Missed),
            (Target::AtLeast(0.02), Held::Met),
            (Target::AtLeast(0.03), Held::NotSettled),
            (Target::AtLeast(0.05), Held::Missed),
        ] {
            assert_eq!(target.held(tally), held, "{target:?}");
        }
    }
}
