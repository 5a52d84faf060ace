//! The verdict: the rules in their order, and everything that was looked at on the way.

use super::advance;
use super::course::{Course, Moment};
use super::criterion::{Criterion, Finding, Rule, Settle, Which, met, threshold};
use super::evidence::{LeftOut, Used};
use super::next_condition::{Expectation, NextWobble};
use super::plan::{NotInPlan, StepPlan};
use super::situation::Situation;
use super::steady;
use super::step_back;
use super::stop;
use crate::condition::Condition;
use crate::keyed::keyed_enum;

keyed_enum! {
    /// The advice, in the words used everywhere.
    pub enum Verdict ("verdict") {
        /// Go on to the next condition.
        Advance = "advance",
        /// Go on with this one.
        Stay = "stay",
        /// Go back to the easier one.
        StepBack = "step back",
        /// No exercise until a clinician has reviewed.
        StopAndReview = "stop and review",
        /// Nothing can be said yet.
        NotEnoughData = "not enough data",
        /// Everything for an advance holds, and this is the plan's last condition.
        PlanComplete = "plan complete, review",
    }
}

keyed_enum! {
    /// Something to be said beside the verdict.
    pub enum Note ("note") {
        /// Little wobble, felt hard.
        LittleWobbleFeltHard = "little-wobble-felt-hard",
        /// The wobble got wider, and nothing else says that it got worse.
        WiderButNotWorse = "wider-but-not-worse",
        /// Pain differs between the sessions compared: sway is not read as balance.
        PainDiffers = "pain-differs",
        /// The first session at a condition is learning and is not scored.
        FirstSessionIsLearning = "first-session-is-learning",
        /// Every new condition is tried under supervision first.
        FirstTimeSupervised = "first-time-supervised",
    }
}

/// Where the person's wobble lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WobbleEstimate {
    /// Median of the belief, millimetres.
    pub median_mm: f64,
    /// Lower end of the 95 % interval, millimetres.
    pub lower_mm: f64,
    /// Upper end of the 95 % interval, millimetres.
    pub upper_mm: f64,
    /// Probability of lying at or under the window's upper end.
    pub at_most_upper: f64,
    /// Probability of lying at or under the window's lower end.
    pub at_most_lower: f64,
}

/// The advice with its reasons and its evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStep {
    /// The advice.
    pub verdict: Verdict,
    /// The condition judged.
    pub condition: Condition,
    /// The plan's condition before it.
    pub easier: Option<Condition>,
    /// The plan's condition after it.
    pub harder: Option<Condition>,
    /// Everything evaluated, in the order of the rules.
    pub criteria: Vec<Criterion>,
    /// What was scored.
    pub used: Used,
    /// What was not, at this condition, and why.
    pub left_out: Vec<LeftOut>,
    /// Where the wobble lies; `None` without a scored trial.
    pub wobble: Option<WobbleEstimate>,
    /// Wobble expected at the next condition, if anything is known of it.
    pub next_wobble: Option<NextWobble>,
    /// To be said beside the verdict.
    pub notes: Vec<Note>,
}

impl NextStep {
    /// The criteria that made the verdict: the calls to stop or step back, what is missing, or
    /// everything an advance rests on.
    pub fn reasons(&self) -> Vec<&Criterion> {
        let of = |rule: Rule| self.criteria.iter().filter(move |found| found.which.rule() == rule);
        match self.verdict {
            Verdict::StopAndReview => of(Rule::Stop).filter(|found| found.holds()).collect(),
            Verdict::StepBack => of(Rule::StepBack).filter(|found| found.holds()).collect(),
            Verdict::NotEnoughData => {
                let missing: Vec<_> = of(Rule::Evidence).filter(|found| found.blocks()).collect();
                if missing.is_empty() {
                    of(Rule::Advance).filter(|found| found.which == Which::AnswersKnown).collect()
                } else {
                    missing
                }
            }
            Verdict::Stay => of(Rule::Advance).filter(|found| found.blocks()).collect(),
            Verdict::Advance | Verdict::PlanComplete => {
                of(Rule::Evidence).chain(of(Rule::Advance)).collect()
            }
        }
    }
}

/// What the rules say at one moment, before verdicts of several days are held together.
pub(crate) struct Judgement {
    pub(crate) verdict: Verdict,
    pub(crate) criteria: Vec<Criterion>,
    next: Option<Expectation>,
}

/// Judges whether the person should go on to a harder condition, stay, or go back.
///
/// `course`: everything known, in any order; `now`: the moment of the question. The condition
/// judged is the one of the last decision, or the plan's first.
///
/// The answer is advice to a clinician about wobble, ratings and reports; it says nothing of a
/// person's health.
///
/// # Errors
/// [`NotInPlan`] if the plan is empty or does not hold the condition decided on.
pub fn next_step(course: &Course, plan: &StepPlan, now: Moment) -> Result<NextStep, NotInPlan> {
    let place = plan.place(course, now.at_us)?;
    let situation = Situation::today(course, plan, place, now);
    let judgement = decide(&situation);
    let wobble =
        situation.posterior.as_ref().zip(situation.level).map(|(belief, level)| WobbleEstimate {
            median_mm: level.median_mm,
            lower_mm: belief.quantile(0.025).exp(),
            upper_mm: belief.quantile(0.975).exp(),
            at_most_upper: level.at_most_upper,
            at_most_lower: level.at_most_lower,
        });
    Ok(NextStep {
        verdict: judgement.verdict,
        condition: place.current,
        easier: place.easier,
        harder: place.harder,
        notes: notes(&situation, &judgement),
        next_wobble: judgement.next.as_ref().map(Expectation::wobble),
        criteria: judgement.criteria,
        used: situation.evidence.used(),
        left_out: situation.evidence.left_out.clone(),
        wobble,
    })
}

/// As [`next_step`], also where the plan no longer holds the condition decided on: it is then judged
/// as the plan's last. A stop is not lifted by a plan without the condition it came at.
///
/// # Errors
/// [`NotInPlan`] if the plan is empty.
pub fn next_step_in_any_plan(
    course: &Course,
    plan: &StepPlan,
    now: Moment,
) -> Result<NextStep, NotInPlan> {
    match next_step(course, plan, now) {
        Err(NotInPlan::Condition { condition }) => {
            let mut with_it = plan.clone();
            with_it.conditions.push(condition);
            next_step(course, &with_it, now)
        }
        step => step,
    }
}

/// The verdict of today, which for an advance takes several days.
pub(crate) fn decide(situation: &Situation<'_>) -> Judgement {
    let mut judgement = judge(situation);
    if judgement.verdict == Verdict::Advance {
        let agreeing = agreeing(situation);
        judgement.verdict = match (agreeing.holds(), situation.place.harder) {
            (false, _) => Verdict::Stay,
            (true, Some(_)) => Verdict::Advance,
            (true, None) => Verdict::PlanComplete,
        };
        judgement.criteria.push(agreeing);
    }
    judgement
}

/// The rules in their order. "Advance" here is the verdict of one day; several must agree.
fn judge(situation: &Situation<'_>) -> Judgement {
    let mut criteria = stop::criteria(situation);
    let step_back = step_back::criteria(situation);
    let back = step_back::called_for(&step_back);
    criteria.extend(step_back::no_easier_condition(situation, back));
    let stop = criteria.iter().any(Criterion::holds);
    let evidence = advance::evidence_criteria(situation);
    let enough = evidence.iter().all(Criterion::holds);
    let next = situation.expected_next();
    let needs = advance::criteria(situation, next.as_ref());
    let blocking: Vec<Which> =
        needs.iter().filter(|need| need.blocks()).map(|need| need.which).collect();
    let verdict = if stop {
        Verdict::StopAndReview
    } else if back {
        Verdict::StepBack
    } else if !enough || blocking == [Which::AnswersKnown] {
        Verdict::NotEnoughData
    } else if blocking.is_empty() {
        Verdict::Advance
    } else {
        Verdict::Stay
    };
    criteria.extend(step_back);
    criteria.extend(evidence);
    criteria.extend(needs);
    Judgement { verdict, criteria, next }
}

/// How many scored days in a row, the latest included, gave the verdict "advance".
fn agreeing(situation: &Situation<'_>) -> Criterion {
    let needed = usize::from(situation.limits.agreeing_verdicts);
    let days: Vec<i32> = situation.evidence.scored().map(|day| day.day).collect();
    let mut agreeing: Vec<i32> = days.last().copied().into_iter().collect();
    for &day in days.iter().rev().skip(1) {
        if needed <= agreeing.len() || judge(&situation.as_of(day)).verdict != Verdict::Advance {
            break;
        }
        agreeing.push(day);
    }
    agreeing.reverse();
    let missing = needed.saturating_sub(agreeing.len());
    let more = Settle::AgreeAgain(u16::try_from(missing).unwrap_or(u16::MAX));
    Criterion::new(Which::Agreeing, met(missing == 0))
        .with_value(Some(agreeing.len() as f64), threshold!(situation.limits, agreeing_verdicts))
        .on_days(agreeing)
        .settled_by(more)
}

fn notes(situation: &Situation<'_>, judgement: &Judgement) -> Vec<Note> {
    let compared = steady::compare(situation);
    let felt_hard = judgement.criteria.iter().any(|found| {
        found.settle == Some(Settle::LookForBracing) && found.finding == Finding::NotMet
    });
    let learning = situation
        .evidence
        .left_out
        .iter()
        .any(|left| left.why == super::evidence::WhyLeftOut::Learning);
    let said = |note, holds: bool| holds.then_some(note);
    [
        said(Note::LittleWobbleFeltHard, felt_hard),
        said(
            Note::WiderButNotWorse,
            compared.is_some_and(|found| found.is_wider() && !found.others_agree),
        ),
        said(Note::PainDiffers, compared.is_some_and(|found| found.pain_differs)),
        said(Note::FirstSessionIsLearning, learning),
        said(Note::FirstTimeSupervised, judgement.verdict == Verdict::Advance),
    ]
    .into_iter()
    .flatten()
    .collect()
}
