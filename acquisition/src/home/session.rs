//! The course of one session at home.

use std::collections::BTreeSet;

use analysis::readiness::{Answers, Course, NextMorning, Rating, Session, Thresholds};
use analysis::{Condition, PersonCode, Pull, Surface};

use super::answer::{Answer, Deed, NotAsked, StandOutcome, StandShown};
use super::ask::{Ask, Missing, Part, Reached, Sign, Stand};
use super::lock::Lock;
use super::offer::Circumstances;
use super::search::{Search, after_stand, search_of};
use super::settings::HomeSettings;
use crate::records::{ExerciseAnswers, GuidedBy, Place, Plan, Reference, Release, SessionRecord};
use crate::stored_trial::Ending;
use crate::wall_time::WallTime;

/// After so many stands in a row that ended on the floor there are no more (our own choice).
const STEP_OFFS_IN_A_ROW: usize = 2;

/// How many days after a session its next morning is asked about (our own choice); later it counts as
/// not known.
const MORNING_REMEMBERED_DAYS: i32 = 3;

/// The pad's name where the home gave it none.
const PAD: &str = "home";

/// What is known when a session is begun.
#[derive(Debug, Clone)]
pub struct Known {
    /// Who practises.
    pub person: PersonCode,
    /// What the home has set up.
    pub settings: HomeSettings,
    /// The plan in force.
    pub plan: Option<Plan>,
    /// Sessions and decisions so far, without the session that is gone on with.
    pub course: Course,
    /// The condition the person is at; `None` if the plan does not say.
    pub place: Option<Condition>,
    /// The last session that was ended: its id, its local day, and whether its next morning is known.
    pub last: Option<(String, i32, bool)>,
    /// How many sessions were ended on each local day of late.
    pub n_ended_today: usize,
    /// The conditions of the stands of earlier days.
    pub stood_before: BTreeSet<Condition>,
    /// A session that was cut off, with its stands.
    pub cut_off: Option<(SessionRecord, Vec<StandDone>)>,
    /// Which way the band pulls at a condition, as it was told last.
    pub pulls: Vec<(Condition, Pull)>,
    /// The id for a session that is begun.
    pub new_id: String,
}

/// A stand of this session that came to its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandDone {
    /// On what and how.
    pub condition: Condition,
    /// What for.
    pub part: Part,
    /// Why it ended.
    pub ended: Ending,
    /// What its record shows.
    pub shown: StandShown,
}

/// A session at home; see the [module](super).
#[derive(Debug, Clone)]
pub struct HomeSession {
    pub(super) known: Known,
    record: Option<SessionRecord>,
    pub(super) stands: Vec<StandDone>,
    pub(super) run: ThisRun,
    lock: Option<Lock>,
}

/// What was settled since the program was started, and is settled again at the next start.
#[derive(Debug, Clone, Default)]
pub(super) struct ThisRun {
    settled: BTreeSet<Settled>,
    pub(super) circumstances: Circumstances,
    rests_from_us: Option<i64>,
    sound_lost_unseen: bool,
    pub(super) search: Search,
}

/// Something that is settled once a start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Settled {
    /// The person wants more sessions today than the plan asks for.
    More,
    /// They have read what of a session that was cut off is kept.
    Kept,
    /// They were asked about the morning.
    Morning,
    /// The room is ready.
    Room,
    /// The sound is as loud as they want it.
    Volume,
    /// The empty board is alive.
    Board,
    /// They want no more stands.
    Enough,
}

impl ThisRun {
    fn is(&self, settled: Settled) -> bool {
        self.settled.contains(&settled)
    }

    /// Settles it; nothing is to be recorded.
    fn settle(&mut self, settled: Settled) -> bool {
        self.settled.insert(settled);
        false
    }
}

impl HomeSession {
    /// A session that is about to begin, or to go on, at `now`.
    pub fn new(known: Known, now: WallTime) -> Self {
        let (record, stands) = match known.cut_off.clone() {
            Some((record, stands)) => (Some(record), stands),
            None => (None, Vec::new()),
        };
        let mut session = Self { known, record, stands, run: ThisRun::default(), lock: None };
        session.take_search(search_of(&session.stands));
        session.look_for_lock(now);
        session
    }

    /// Who practises.
    pub fn person(&self) -> &PersonCode {
        &self.known.person
    }

    /// What the home has set up.
    pub fn settings(&self) -> &HomeSettings {
        &self.known.settings
    }

    /// The limits of the plan, or the defaults before there is one.
    pub fn limits(&self) -> Thresholds {
        self.known.plan.as_ref().map_or_else(Thresholds::default, |plan| plan.thresholds)
    }

    /// The session as it is recorded so far; `None` before the first answer.
    pub fn record(&self) -> Option<&SessionRecord> {
        self.record.as_ref()
    }

    /// What is asked at `now`.
    pub fn ask(&self, now: WallTime) -> Ask {
        self.missing()
            .or_else(|| self.lock.clone().map(Ask::Locked))
            .or_else(|| self.before_the_stands(now))
            .unwrap_or_else(|| self.stands_and_after(now))
    }

    fn missing(&self) -> Option<Ask> {
        let settings = &self.known.settings;
        [
            (settings.emergency_number.is_none(), Missing::EmergencyNumber),
            (settings.clinic_contact.is_none(), Missing::ClinicContact),
            (self.known.plan.is_none(), Missing::Plan),
        ]
        .into_iter()
        .find_map(|(is_missing, what)| is_missing.then_some(Ask::Missing(what)))
    }

    fn before_the_stands(&self, now: WallTime) -> Option<Ask> {
        let plan = self.known.plan.as_ref()?;
        let ended = self.record.as_ref().is_some_and(|record| record.ended_unix_us.is_some());
        if ended {
            return Some(Ask::Done(self.reached(plan)));
        }
        let planned = plan.sessions_per_day;
        if self.record.is_none()
            && usize::from(planned) <= self.known.n_ended_today
            && !self.run.is(Settled::More)
        {
            return Some(Ask::MoreThanPlanned { planned });
        }
        if self.known.cut_off.is_some() && !self.run.is(Settled::Kept) {
            return Some(Ask::Kept { n_stands: self.stands.len() });
        }
        if !self.run.is(Settled::Morning) && self.morning_session(now).is_some() {
            return Some(Ask::NextMorning);
        }
        let answers = self.answers();
        let unanswered = Sign::ALL.iter().find(|sign| answer_to(&answers, **sign).is_none());
        if let Some(&sign) = unanswered {
            return Some(Ask::Sign(sign));
        }
        answers.pain_at_start.is_none().then_some(Ask::PainBefore)
    }

    /// The last session, if nobody asked about its next morning and it is still remembered.
    fn morning_session(&self, now: WallTime) -> Option<&str> {
        let (id, day, is_known) = self.known.last.as_ref()?;
        let days_since = now.local_day().saturating_sub(*day);
        (!is_known && (1..=MORNING_REMEMBERED_DAYS).contains(&days_since)).then_some(id)
    }

    fn stands_and_after(&self, now: WallTime) -> Ask {
        if let Some(ask) = self.about_stands(now) {
            return ask;
        }
        let answers = self.answers();
        let exercise = self.stood_at().and_then(|condition| self.exercise(condition));
        if self.stood_at().is_some() {
            if exercise.is_none_or(|asked| asked.touched_something.is_none()) {
                return Ask::Touched;
            }
            if exercise.is_none_or(|asked| asked.difficulty.is_none()) {
                return Ask::Difficulty;
            }
        }
        if answers.worst_pain_during.is_none() { Ask::WorstPain } else { Ask::PainAfter }
    }

    /// What is left to do on the board and to settle before; `None` when that is over.
    fn about_stands(&self, now: WallTime) -> Option<Ask> {
        let run = &self.run;
        if run.sound_lost_unseen {
            return Some(Ask::SoundWasLost);
        }
        // A last question that was answered is not followed by another stand.
        let asks_last = self.stood_at().and_then(|condition| self.exercise(condition));
        let is_past = asks_last.is_some_and(|asked| asked.touched_something.is_some());
        if run.is(Settled::Enough) || is_past || self.steps_off_again() {
            return None;
        }
        let planned = self.here();
        if planned.is_some() && self.next_stand().is_none() {
            return None;
        }
        if !run.is(Settled::Room) {
            return Some(Ask::Room);
        }
        let Some(planned) = planned else { return Some(Ask::NothingReleased) };
        if planned.release == Release::Accompanied && run.circumstances.company.is_none() {
            return Some(Ask::Company);
        }
        if self.circumstances().sound.is_none() {
            let is_set = run.is(Settled::Volume);
            return Some(if is_set { Ask::SoundCheck } else { Ask::Volume });
        }
        let stand = self.next_stand()?;
        if !run.is(Settled::Board) {
            return Some(Ask::BoardCheck);
        }
        if run.search == Search::Unasked && self.stands.is_empty() && self.can_search() {
            return Some(Ask::FindStance);
        }
        if matches!(run.search, Search::Stood(..)) {
            return Some(Ask::HeldOnOrHurt);
        }
        let rest_us = micros(planned.dose.rest_s);
        match run.rests_from_us.map(|from_us| from_us.saturating_add(rest_us)) {
            Some(until_unix_us) if now.unix_us < until_unix_us => {
                Some(Ask::Rest { until_unix_us, then: stand })
            }
            _ => Some(Ask::Stand(stand)),
        }
    }

    /// Whether the person is guided by sight alone.
    pub fn is_guided_by_sight(&self) -> bool {
        self.known.plan.as_ref().is_some_and(|plan| plan.guided_by == GuidedBy::Sight)
    }

    fn steps_off_again(&self) -> bool {
        let last = self.stands.iter().rev().take(STEP_OFFS_IN_A_ROW);
        let n_off = last.filter(|stand| stand.ended == Ending::StepOff).count();
        n_off == STEP_OFFS_IN_A_ROW
    }

    /// The condition the questions afterwards are about: the last one stood.
    fn stood_at(&self) -> Option<Condition> {
        self.stands.last().map(|stand| stand.condition)
    }

    fn exercise(&self, condition: Condition) -> Option<&ExerciseAnswers> {
        self.record.as_ref()?.exercises.iter().find(|asked| asked.condition == condition)
    }

    fn answers(&self) -> Answers {
        self.record.as_ref().map_or_else(Answers::default, |record| record.answers)
    }

    fn reached(&self, plan: &Plan) -> Reached {
        let n_of = |part| {
            let reached =
                |stand: &&StandDone| stand.part == part && stand.ended == Ending::HoldReached;
            self.stands.iter().filter(reached).count()
        };
        let condition = self.stood_at();
        let planned = plan.conditions.iter().find(|planned| Some(planned.condition) == condition);
        Reached {
            n_measured: n_of(Part::Measured),
            n_guided: n_of(Part::Guided),
            n_planned: planned.map_or(0, |planned| planned.dose.holds.into()),
        }
    }

    /// Takes an answer at `now` and says what is to be recorded.
    ///
    /// # Errors
    /// [`NotAsked`] for an answer that does not fit; nothing has changed then.
    pub fn answer(&mut self, answer: Answer, now: WallTime) -> Result<Deed, NotAsked> {
        let asked = self.ask(now);
        let is_saved = match (asked, answer) {
            (Ask::Kept { .. }, _) => self.run.settle(Settled::Kept),
            (Ask::MoreThanPlanned { .. }, Answer::Yes) => self.run.settle(Settled::More),
            (Ask::NextMorning, Answer::Points(pain)) => return Ok(self.take_morning(pain, now)),
            (Ask::NextMorning, Answer::Continue) => self.run.settle(Settled::Morning),
            (Ask::Sign(sign), Answer::Yes) => self.change(now, |s| put_sign(s, sign, true)),
            (Ask::Sign(sign), Answer::No) => self.change(now, |s| put_sign(s, sign, false)),
            (Ask::PainBefore, Answer::Points(pain)) => {
                self.change(now, |session| session.answers.pain_at_start = Some(pain))
            }
            (Ask::Room, Answer::Yes) => self.run.settle(Settled::Room),
            (Ask::Company, answer @ (Answer::Yes | Answer::No)) => {
                self.run.circumstances.company = Some(answer == Answer::Yes);
                false
            }
            (Ask::Volume, Answer::Continue) => self.run.settle(Settled::Volume),
            // No to the volume: there is nothing to be heard at all.
            (Ask::Volume, answer @ Answer::No)
            | (Ask::SoundCheck, answer @ (Answer::Yes | Answer::No)) => {
                self.run.circumstances.sound = Some(answer == Answer::Yes);
                false
            }
            (Ask::BoardCheck, Answer::BoardReady) => self.run.settle(Settled::Board),
            (Ask::FindStance, answer @ (Answer::Yes | Answer::No)) => {
                self.begin_search(answer == Answer::Yes)
            }
            (Ask::HeldOnOrHurt, Answer::No) => self.go_on_searching(),
            (Ask::Stand(stand), Answer::SoundGone) if stand.heard => {
                self.run.circumstances.sound = None;
                false
            }
            (Ask::Stand(stand), Answer::Stood(outcome)) => self.take_stand(stand, &outcome, now),
            (Ask::SoundWasLost, Answer::Continue) => {
                self.run.sound_lost_unseen = false;
                false
            }
            (
                Ask::Room
                | Ask::NothingReleased
                | Ask::Company
                | Ask::Volume
                | Ask::SoundCheck
                | Ask::BoardCheck
                | Ask::FindStance
                | Ask::HeldOnOrHurt
                | Ask::Stand(_)
                | Ask::Rest { .. }
                // That the sound was lost is told all the same.
                | Ask::SoundWasLost,
                Answer::Enough,
            )
            | (Ask::HeldOnOrHurt, Answer::Yes) => self.run.settle(Settled::Enough),
            (Ask::Touched, answer @ (Answer::Yes | Answer::No)) => {
                let touched = answer == Answer::Yes;
                self.change_exercise(now, |asked| asked.touched_something = Some(touched))
            }
            (Ask::Difficulty, Answer::Points(felt)) => {
                self.change_exercise(now, |asked| asked.difficulty = Some(felt))
            }
            (Ask::WorstPain, Answer::Points(pain)) => {
                self.change(now, |session| session.answers.worst_pain_during = Some(pain))
            }
            (Ask::PainAfter, Answer::Points(pain)) => self.change(now, |session| {
                session.answers.pain_after = Some(pain);
                session.ended_unix_us = Some(now.unix_us.max(session.started.unix_us));
            }),
            _ => return Err(NotAsked),
        };
        self.look_for_lock(now);
        Ok(match &self.record {
            Some(record) if is_saved => Deed::Save(Box::new(record.clone())),
            _ => Deed::Nothing,
        })
    }

    fn take_morning(&mut self, pain: Rating, now: WallTime) -> Deed {
        self.run.settle(Settled::Morning);
        let Some(id) = self.morning_session(now).map(str::to_owned) else { return Deed::Nothing };
        let morning = NextMorning { pain, answered_us: now.unix_us };
        if let Some(session) = self.known.course.sessions.iter_mut().find(|known| known.id == id) {
            session.answers.next_morning = Some(morning);
        }
        if let Some(last) = &mut self.known.last {
            last.2 = true;
        }
        self.look_for_lock(now);
        Deed::SaveMorning { session: id, morning }
    }

    fn take_stand(&mut self, stand: Stand, outcome: &StandOutcome, now: WallTime) -> bool {
        self.run.rests_from_us = Some(now.unix_us);
        if outcome.ended == Ending::BoardLost {
            self.run.settled.remove(&Settled::Board);
        }
        let Some(trial) = outcome.trial.clone() else { return false };
        let Stand { condition, part, .. } = stand;
        let StandOutcome { ended, shown, .. } = *outcome;
        let done = StandDone { condition, part, ended, shown };
        self.stands.push(done);
        if part == Part::Find {
            self.take_search(after_stand(&done));
        }
        if part == Part::Reference && ended == Ending::HoldReached && shown.has_position {
            let pulls = &self.known.pulls;
            let pull = pulls.iter().find(|(known, _)| *known == condition).map(|(_, pull)| *pull);
            let reference = Reference { trial: trial.clone(), pull };
            self.change_exercise(now, |asked| asked.reference = Some(reference));
        }
        if !outcome.sound_lost {
            return self.change_exercise(now, |_| {});
        }
        self.run.sound_lost_unseen = true;
        self.run.circumstances.sound = None;
        self.change_exercise(now, |asked| asked.sound_lost.push(trial))
    }

    /// Where the search has come to; without one there are no more stands today.
    fn take_search(&mut self, search: Option<Search>) {
        match search {
            Some(search) => self.run.search = search,
            None => {
                self.run.settle(Settled::Enough);
            }
        }
    }

    fn change(&mut self, now: WallTime, change: impl FnOnce(&mut SessionRecord)) -> bool {
        let known = &self.known;
        let record = self.record.get_or_insert_with(|| SessionRecord {
            id: known.new_id.clone(),
            person: known.person.clone(),
            plan: known.plan.as_ref().map(|plan| plan.id.clone()),
            place: Place::Home,
            started: now,
            ended_unix_us: None,
            answers: Answers::default(),
            exercises: Vec::new(),
        });
        change(record);
        true
    }

    fn change_exercise(
        &mut self,
        now: WallTime,
        change: impl FnOnce(&mut ExerciseAnswers),
    ) -> bool {
        let Some(condition) = self.stood_at() else { return false };
        let pad = (condition.surface != Surface::Firm)
            .then(|| self.known.settings.pad.clone().unwrap_or_else(|| PAD.to_owned()));
        self.change(now, |session| {
            let exercises = &mut session.exercises;
            let known = exercises.iter().position(|asked| asked.condition == condition);
            let index = known.unwrap_or_else(|| {
                exercises.push(ExerciseAnswers { pad, ..ExerciseAnswers::new(condition) });
                exercises.len() - 1
            });
            change(&mut exercises[index]);
        })
    }

    /// A report that stops ends the session at once, so that its time is that of the report.
    fn look_for_lock(&mut self, now: WallTime) {
        let Some(plan) = &self.known.plan else { return };
        let mut course = self.known.course.clone();
        if let Some(record) = &self.record {
            course.sessions.push(Session {
                id: record.id.clone(),
                day: record.started.local_day(),
                ended_us: record.ended_unix_us.unwrap_or(now.unix_us),
                answers: record.answers,
                exercises: Vec::new(),
            });
        }
        self.lock = Lock::of(&course, &plan.step_plan(), now.moment());
        if self.lock.is_some()
            && let Some(record) = &mut self.record
        {
            record.ended_unix_us.get_or_insert(now.unix_us.max(record.started.unix_us));
        }
    }
}

fn answer_to(answers: &Answers, sign: Sign) -> Option<bool> {
    match sign {
        Sign::Warning => answers.warning_sign,
        Sign::NumbnessOrWeakness => answers.numbness_or_weakness,
        Sign::LegPain => answers.leg_pain_further_down,
        Sign::Fall => answers.fall,
    }
}

fn put_sign(session: &mut SessionRecord, sign: Sign, said: bool) {
    let answers = &mut session.answers;
    *match sign {
        Sign::Warning => &mut answers.warning_sign,
        Sign::NumbnessOrWeakness => &mut answers.numbness_or_weakness,
        Sign::LegPain => &mut answers.leg_pain_further_down,
        Sign::Fall => &mut answers.fall,
    } = Some(said);
}

#[expect(clippy::cast_possible_truncation, reason = "a rest is at most an hour")]
fn micros(seconds: f64) -> i64 {
    (seconds * 1e6).round() as i64
}
