//! Counts over many courses, and the questions they answer.

use super::super::next_step::Verdict;
use super::super::thresholds::Thresholds;
use super::outcome::{CourseOutcome, FIRST_LOOK, LAST_LOOK, Look, run_course};
use super::person::VirtualPerson;
use super::tally::Tally;
use crate::keyed::keyed_enum;

keyed_enum! {
    /// How much of the rule is asked.
    pub enum HowMuchRule ("part of the rule") {
        /// Only the probability of being in or under the window, or over it.
        ProbabilityAlone = "probability alone",
        /// Rule 4a: the probability and the share of windows over.
        RuleA = "4a alone",
        /// Everything.
        Full = "full rule",
    }
}

keyed_enum! {
    /// What a course is asked.
    pub enum Question ("question") {
        /// "Advance" at one look, drawn from the eight. For the parts, one look is enough; the full
        /// rule shows "advance" only when two agree.
        AdvancePerDecision = "advance, per decision",
        /// "Advance" at any of the eight looks, two in a row.
        AnyAdvance = "any advance in 8 looks, two in a row",
        /// "Advance" by the fifth scored session, two in a row.
        AdvanceByFifth = "advance by the 5th scored session, two in a row",
        /// "Step back" by the third scored session.
        StepBackByThird = "step back by the 3rd scored session",
        /// "Step back" at one look, drawn from the eight.
        StepBackPerDecision = "step back, per decision",
        /// "Stop and review" at any look.
        AnyStop = "any stop and review",
    }
}

/// Answers of many courses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counts {
    courses: u64,
    hits: Vec<[u64; Question::ALL.len()]>,
    verdicts_at_fifth: [u64; Verdict::ALL.len()],
    first_advances: [u64; LAST_LOOK],
    first_steps_back: [u64; LAST_LOOK],
}

impl Default for Counts {
    fn default() -> Self {
        Self {
            courses: 0,
            hits: vec![[0; Question::ALL.len()]; HowMuchRule::ALL.len()],
            verdicts_at_fifth: [0; Verdict::ALL.len()],
            first_advances: [0; LAST_LOOK],
            first_steps_back: [0; LAST_LOOK],
        }
    }
}

impl Counts {
    /// How often the answer was yes.
    pub fn tally(&self, part: HowMuchRule, question: Question) -> Tally {
        Tally { hits: self.hits[part as usize][question as usize], of: self.courses }
    }

    /// How often the full rule gave this verdict after the fifth scored session.
    pub fn at_fifth(&self, verdict: Verdict) -> Tally {
        Tally { hits: self.verdicts_at_fifth[verdict as usize], of: self.courses }
    }

    /// How often the full rule had said "advance" by the n-th scored session.
    pub fn advanced_by(&self, n_scored: usize) -> Tally {
        Tally { hits: self.first_advances.iter().take(n_scored).sum(), of: self.courses }
    }

    /// How often the full rule had said "step back" by the n-th scored session.
    pub fn stepped_back_by(&self, n_scored: usize) -> Tally {
        Tally { hits: self.first_steps_back.iter().take(n_scored).sum(), of: self.courses }
    }

    /// Adds the counts of other seeds.
    pub fn add(&mut self, other: &Self) {
        self.courses += other.courses;
        for (row, more) in self.hits.iter_mut().zip(&other.hits) {
            add_each(row, more);
        }
        add_each(&mut self.verdicts_at_fifth, &other.verdicts_at_fifth);
        add_each(&mut self.first_advances, &other.first_advances);
        add_each(&mut self.first_steps_back, &other.first_steps_back);
    }

    fn record(&mut self, outcome: &CourseOutcome) {
        self.courses += 1;
        for &part in HowMuchRule::ALL {
            for &question in Question::ALL {
                let yes = answer(outcome, part, question);
                self.hits[part as usize][question as usize] += u64::from(yes);
            }
        }
        if let Some(look) = outcome.looks.get(4) {
            self.verdicts_at_fifth[look.verdict as usize] += 1;
        }
        let first =
            |verdict| outcome.looks.iter().take(LAST_LOOK).position(|look| look.verdict == verdict);
        if let Some(index) = first(Verdict::Advance) {
            self.first_advances[index] += 1;
        }
        if let Some(index) = first(Verdict::StepBack) {
            self.first_steps_back[index] += 1;
        }
    }
}

fn add_each(counts: &mut [u64], more: &[u64]) {
    for (count, more) in counts.iter_mut().zip(more) {
        *count += more;
    }
}

/// Runs one course for each seed and counts.
pub fn count(
    person: &VirtualPerson,
    thresholds: Thresholds,
    seeds: impl IntoIterator<Item = u64>,
) -> Counts {
    let mut counts = Counts::default();
    for seed in seeds {
        counts.record(&run_course(person, thresholds, seed));
    }
    counts
}

fn answer(outcome: &CourseOutcome, part: HowMuchRule, question: Question) -> bool {
    let looks = &outcome.looks;
    let advances = |look: &Look| match part {
        HowMuchRule::ProbabilityAlone => look.in_window,
        HowMuchRule::RuleA => look.rule_a,
        HowMuchRule::Full => look.verdict == Verdict::Advance,
    };
    let steps_back = |look: &Look| match part {
        HowMuchRule::ProbabilityAlone | HowMuchRule::RuleA => look.too_wide,
        HowMuchRule::Full => look.verdict == Verdict::StepBack,
    };
    // The full rule's own "advance" already is the second of two.
    let advance_by = |n_scored: usize| {
        let looks = &looks[..n_scored.min(looks.len())];
        match part {
            HowMuchRule::Full => looks.iter().any(advances),
            _ => looks.windows(2).any(|pair| pair.iter().all(advances)),
        }
    };
    match question {
        Question::AdvancePerDecision => looks.get(outcome.drawn).is_some_and(advances),
        Question::AnyAdvance => advance_by(LAST_LOOK),
        Question::AdvanceByFifth => advance_by(5),
        Question::StepBackByThird => looks.iter().take(FIRST_LOOK).any(steps_back),
        Question::StepBackPerDecision => looks.get(outcome.drawn).is_some_and(steps_back),
        Question::AnyStop => {
            part == HowMuchRule::Full
                && looks.iter().any(|look| look.verdict == Verdict::StopAndReview)
        }
    }
}
