//! What a person did at home against what the plan asks, for the clinic's review.

use analysis::readiness::{Answers, Rating, Thresholds};
use analysis::{PersonCode, QualityFlag, TrialKind, WOBBLE, keyed_enum};

use super::database::{Records, RecordsError};
use super::plan::{self, Plan};
use super::session::SessionRecord;
use super::trial_record::TrialRecord;
use crate::stored_trial::Ending;
use crate::wall_time::WallTime;

const INSIDE: &str = "share_inside";

keyed_enum! {
    /// Something of a session that a clinician looks at first, the gravest first.
    pub enum PracticeFlag ("flag of practice") {
        /// "Anything new?" was answered with yes.
        WarningSign = "warning-sign",
        /// New numbness or weakness.
        NumbnessOrWeakness = "numbness-or-weakness",
        /// Leg pain further down.
        LegPain = "leg-pain-further-down",
        /// A fall.
        Fall = "fall",
        /// Pain rose by as much as the plan stops at, or began above its ceiling.
        Pain = "pain",
        /// The person stepped off.
        SteppedOff = "stepped-off",
        /// The load or the answer shows that something was touched.
        Touched = "touched",
        /// Felt harder than easy, by the plan's limit.
        FeltHard = "felt-hard",
        /// The sound went away during a stand.
        SoundLost = "sound-lost",
        /// A stand is rejected for measures.
        Rejected = "stand-rejected",
        /// A question of the session has no answer.
        Unanswered = "unanswered",
        /// More sessions on one day than the plan asks for.
        TooOften = "more-than-planned",
    }
}

/// One session at a glance.
#[derive(Debug, Clone, PartialEq)]
pub struct PractisedSession {
    /// Its id.
    pub id: String,
    /// When it began.
    pub started: WallTime,
    /// What to look at first, the gravest first.
    pub flags: Vec<PracticeFlag>,
    /// Stands that were measured, guided, for practice.
    pub n_stands: [usize; 3],
    /// Mean of the measured stands' share of time inside the wobble window; `None` without one.
    pub inside: Option<f64>,
    /// Mean of the measured stands' median wobble, in millimetres; `None` without one.
    pub wobble_mm: Option<f64>,
}

/// Practice of one person over some days.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    /// Days looked at: those of the range on which there was a plan.
    pub n_days: u32,
    /// Sessions the plan asks for on those days.
    pub n_planned: u32,
    /// Sessions in the range, the earliest first.
    pub sessions: Vec<PractisedSession>,
}

impl Records {
    /// A person's sessions from `since` to `until`, each day and each session against the version
    /// of the plan that was in force then.
    ///
    /// # Errors
    /// [`RecordsError`].
    pub fn practice(
        &self,
        person: &PersonCode,
        since: WallTime,
        until: WallTime,
    ) -> Result<Practice, RecordsError> {
        let plans = self.plans(person)?;
        let history = self.history(person, &[INSIDE, WOBBLE])?;
        let in_range = |session: &&SessionRecord| {
            (since.unix_us..=until.unix_us).contains(&session.started.unix_us)
        };
        let of = |session: &SessionRecord| {
            let stands: Vec<&TrialRecord> = history
                .trials
                .iter()
                .filter(|trial| trial.facts.session.as_ref() == Some(&session.id))
                .collect();
            let plan = plan::in_force(&plans, session.started.unix_us);
            let limits = plan.map_or_else(Thresholds::default, |plan| plan.thresholds);
            practised(session, &stands, &limits)
        };
        let mut sessions: Vec<PractisedSession> =
            history.sessions.iter().filter(in_range).map(of).collect();
        mark_too_often(&mut sessions, &plans);
        let asked: Vec<u32> = planned_days(&plans, since, until).collect();
        Ok(Practice {
            n_days: u32::try_from(asked.len()).unwrap_or(u32::MAX),
            n_planned: asked.iter().sum(),
            sessions,
        })
    }
}

/// Sessions asked for on each day of the range on which there was a plan, by the version in force
/// at the end of that day; the first and the last day of the plan are included.
fn planned_days(plans: &[Plan], since: WallTime, until: WallTime) -> impl Iterator<Item = u32> {
    let begin = plans
        .first()
        .map_or(i32::MAX, |first| since.local_day().saturating_add(1).max(first.made.local_day()));
    (begin..=until.local_day()).map(|day| {
        let in_force = plans.iter().rfind(|plan| plan.made.local_day() <= day);
        in_force.map_or(0, |plan| u32::from(plan.sessions_per_day))
    })
}

fn mark_too_often(sessions: &mut [PractisedSession], plans: &[Plan]) {
    let days: Vec<i32> = sessions.iter().map(|session| session.started.local_day()).collect();
    for (index, session) in sessions.iter_mut().enumerate() {
        let earlier = days[..index].iter().filter(|day| **day == days[index]).count();
        let plan = plan::in_force(plans, session.started.unix_us);
        let per_day = plan.map_or(0, |plan| plan.sessions_per_day);
        if per_day != 0 && usize::from(per_day) <= earlier {
            session.flags.push(PracticeFlag::TooOften);
        }
    }
}

fn practised(
    session: &SessionRecord,
    stands: &[&TrialRecord],
    limits: &Thresholds,
) -> PractisedSession {
    let n_of = |kind| stands.iter().filter(|trial| trial.facts.kind == kind).count();
    let mean_of = |key: &str| {
        let measured = stands.iter().filter(|trial| trial.facts.kind == TrialKind::Measured);
        let values: Vec<f64> = measured
            .filter_map(|trial| trial.measurement.values.iter().find(|(known, _)| known == key))
            .map(|&(_, value)| value)
            .collect();
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    PractisedSession {
        id: session.id.clone(),
        started: session.started,
        flags: flags(session, stands, limits),
        n_stands: [TrialKind::Measured, TrialKind::Guided, TrialKind::Practice].map(n_of),
        inside: mean_of(INSIDE),
        wobble_mm: mean_of(WOBBLE),
    }
}

fn flags(
    session: &SessionRecord,
    stands: &[&TrialRecord],
    limits: &Thresholds,
) -> Vec<PracticeFlag> {
    let answers = &session.answers;
    let flagged = |wanted: &dyn Fn(QualityFlag) -> bool| {
        let of = |trial: &&&TrialRecord| {
            trial.measurement.flags.as_deref().unwrap_or_default().iter().any(|flag| wanted(*flag))
        };
        stands.iter().any(|trial| of(&trial))
    };
    let stepped_off = stands.iter().any(|trial| trial.ended == Some(Ending::StepOff))
        || flagged(&|flag| flag == QualityFlag::StepOff);
    let touched = flagged(&|flag| flag == QualityFlag::SupportUsed)
        || session.exercises.iter().any(|asked| asked.touched_something == Some(true));
    let hard = session
        .exercises
        .iter()
        .filter_map(|asked| asked.difficulty)
        .any(|felt| limits.easy_difficulty < f64::from(felt.points()));
    let sound_lost = session.exercises.iter().any(|asked| !asked.sound_lost.is_empty());
    [
        (PracticeFlag::WarningSign, answers.warning_sign == Some(true)),
        (PracticeFlag::NumbnessOrWeakness, answers.numbness_or_weakness == Some(true)),
        (PracticeFlag::LegPain, answers.leg_pain_further_down == Some(true)),
        (PracticeFlag::Fall, answers.fall == Some(true)),
        (PracticeFlag::Pain, pain_stops(answers, limits)),
        (PracticeFlag::SteppedOff, stepped_off),
        (PracticeFlag::Touched, touched),
        (PracticeFlag::FeltHard, hard),
        (PracticeFlag::SoundLost, sound_lost),
        (PracticeFlag::Rejected, flagged(&|flag| flag.rejects())),
        (PracticeFlag::Unanswered, !answered(answers)),
    ]
    .into_iter()
    .filter_map(|(flag, holds)| holds.then_some(flag))
    .collect()
}

fn pain_stops(answers: &Answers, limits: &Thresholds) -> bool {
    let Some(start) = answers.pain_at_start else { return false };
    let later = [
        answers.worst_pain_during,
        answers.pain_after,
        answers.next_morning.map(|morning| morning.pain),
    ];
    limits.pain_ceiling < f64::from(start.points())
        || later
            .into_iter()
            .flatten()
            .any(|pain| limits.pain_rise <= Rating::rise_from(pain, start))
}

/// Every question of the session itself; the next morning is another one.
fn answered(answers: &Answers) -> bool {
    let pain = [answers.pain_at_start, answers.worst_pain_during, answers.pain_after];
    let signs = [
        answers.warning_sign,
        answers.fall,
        answers.leg_pain_further_down,
        answers.numbness_or_weakness,
    ];
    pain.iter().all(Option::is_some) && signs.iter().all(Option::is_some)
}
