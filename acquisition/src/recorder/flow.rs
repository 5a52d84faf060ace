//! The course of a trial, driven by frames alone: zero, load, standing still, settling, record, end.

use board_wire::{Corner, Status};

use super::policy::{
    LOAD_ON_NEWTONS, OTHER_PERSON_KG, OTHER_PERSON_PATIENCE_S, OTHER_PERSON_SHARE,
    RATED_LOAD_NEWTONS, STANDARD_GRAVITY, STEP_OFF_S, STEP_OFF_SHARE, STILL_RANGE_SHARE, STILL_S,
    ZERO_FRESH_S, ZERO_PATIENCE_S, ZERO_S,
};
use super::refusal::Refusal;
use super::zero_keeper::{ZeroKeeper, ZeroTrouble};
use crate::board_session::BoardFrame;
use crate::calibration::Calibration;
use crate::forces::forces_from_counts;
use crate::stored_trial::Ending;
use crate::zero::Zero;

/// Where a trial stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// The empty board is being read; `trouble` says what keeps it from being a zero.
    Zeroing {
        /// `None` as long as nothing is wrong.
        trouble: Option<ZeroTrouble>,
    },
    /// Waiting for somebody to step on.
    AwaitingLoad,
    /// Somebody is on the board but not yet still.
    AwaitingStillness,
    /// The load is far from the recorded mass: waiting to hear whether this is the same person.
    ConfirmingPerson {
        /// What the board reads, in kilograms.
        measured_kg: f64,
        /// What is recorded of the person, in kilograms.
        recorded_kg: f64,
    },
    /// Standing still; the record has not begun.
    Settling,
    /// Being recorded.
    Recording,
    /// Over.
    Ended(Ending),
}

/// What to do with the frame that was pushed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Step {
    /// It is no part of the record.
    Watch,
    /// The record begins with it.
    Begin(Beginning),
    /// It belongs to the record.
    Record,
    /// The record ended before it.
    End(Ending),
}

/// What is known when a record begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Beginning {
    /// What the empty board read.
    pub(super) zero: Zero,
    /// How long the person had stood still, in seconds.
    pub(super) settled_s: f64,
}

/// What a trial asks for.
#[derive(Debug, Clone)]
pub(super) struct FlowPlan {
    pub(super) calibration: Calibration,
    pub(super) settle_s: f64,
    pub(super) record_s: f64,
    pub(super) body_mass_kg: Option<f64>,
    pub(super) forbidden: Option<&'static str>,
}

/// The state of one trial. It knows no clock but the board's and touches nothing.
#[derive(Debug)]
pub(super) struct TrialFlow {
    plan: FlowPlan,
    keeper: ZeroKeeper,
    state: State,
    /// When the present stage began, by the board's clock.
    stage_us: u64,
    now_us: u64,
    same_person: bool,
}

#[derive(Debug, Clone, Copy)]
enum State {
    Unborn,
    Zeroing,
    AwaitingLoad(Zero),
    AwaitingStillness(Zero, Still),
    Confirming(Standing, f64),
    Settling(Standing),
    Recording(Standing),
    Ended(Ending),
}

/// The load since it was last unsteady.
#[derive(Debug, Clone, Copy)]
struct Still {
    since_us: u64,
    low_newtons: f64,
    high_newtons: f64,
    sum_newtons: f64,
    n_frames: u64,
}

/// Somebody who stood still.
#[derive(Debug, Clone, Copy)]
struct Standing {
    zero: Zero,
    still_since_us: u64,
    load_newtons: f64,
    /// Since when the load has been too low, if it is.
    off_since_us: Option<u64>,
}

impl TrialFlow {
    /// A trial that waits for its first frame.
    ///
    /// # Errors
    /// [`Refusal::Forbidden`], and [`Refusal::Overload`] if the recorded mass alone is more than the
    /// board is rated for.
    pub(super) fn new(plan: FlowPlan) -> Result<Self, Refusal> {
        if let Some(reason) = plan.forbidden {
            return Err(Refusal::Forbidden { reason });
        }
        if let Some(mass_kg) = plan.body_mass_kg {
            refuse_overload(mass_kg * STANDARD_GRAVITY)?;
        }
        Ok(Self {
            plan,
            keeper: ZeroKeeper::default(),
            state: State::Unborn,
            stage_us: 0,
            now_us: 0,
            same_person: false,
        })
    }

    /// Where the trial stands.
    pub(super) fn stage(&self) -> Stage {
        match self.state {
            State::Unborn => Stage::Zeroing { trouble: None },
            State::Zeroing => Stage::Zeroing { trouble: self.keeper.trouble() },
            State::AwaitingLoad(_) => Stage::AwaitingLoad,
            State::AwaitingStillness(..) => Stage::AwaitingStillness,
            State::Confirming(standing, recorded_kg) => Stage::ConfirmingPerson {
                measured_kg: standing.load_newtons / STANDARD_GRAVITY,
                recorded_kg,
            },
            State::Settling(_) => Stage::Settling,
            State::Recording(_) => Stage::Recording,
            State::Ended(ending) => Stage::Ended(ending),
        }
    }

    /// How long the present stage has lasted, in seconds of board time; settling counts from when
    /// the person stood still.
    pub(super) fn stage_elapsed_s(&self) -> f64 {
        let since_us = match self.state {
            State::Settling(standing) => standing.still_since_us,
            _ => self.stage_us,
        };
        seconds(self.now_us - since_us)
    }

    /// How long the present stage takes, in seconds, where that is known.
    pub(super) fn stage_asked_s(&self) -> Option<f64> {
        match self.state {
            State::Unborn | State::Zeroing => Some(ZERO_S as f64),
            State::Settling(_) => Some(self.plan.settle_s),
            State::Recording(_) => Some(self.plan.record_s),
            _ => None,
        }
    }

    /// The zero in force, once there is one.
    pub(super) fn zero(&self) -> Option<Zero> {
        match self.state {
            State::Unborn | State::Zeroing | State::Ended(_) => self.keeper.zero(),
            State::AwaitingLoad(zero) | State::AwaitingStillness(zero, _) => Some(zero),
            State::Confirming(standing, _)
            | State::Settling(standing)
            | State::Recording(standing) => Some(standing.zero),
        }
    }

    /// Whoever stands there is the person of the trial.
    pub(super) fn confirm_person(&mut self) {
        self.same_person = true;
    }

    /// Whoever stands there is somebody else.
    ///
    /// # Errors
    /// [`Refusal::OtherPerson`], if that is what was asked.
    pub(super) fn deny_person(&mut self) -> Result<(), Refusal> {
        match self.state {
            State::Confirming(standing, recorded_kg) => Err(Refusal::OtherPerson {
                measured_kg: standing.load_newtons / STANDARD_GRAVITY,
                recorded_kg,
            }),
            _ => Ok(()),
        }
    }

    /// The trial is over, for a reason that no frame shows.
    pub(super) fn end(&mut self, ending: Ending) {
        self.enter(State::Ended(ending));
    }

    /// Takes the next frame.
    ///
    /// # Errors
    /// [`Refusal`] if the trial may not begin; it is over then.
    pub(super) fn push(&mut self, frame: &BoardFrame) -> Result<Step, Refusal> {
        self.now_us = frame.time_us;
        match self.state {
            State::Unborn => {
                refuse_dead_corner(frame)?;
                self.enter(State::Zeroing);
                self.push_zeroing(frame)?;
            }
            State::Zeroing => self.push_zeroing(frame)?,
            State::AwaitingLoad(zero) => self.push_awaiting_load(frame, zero),
            State::AwaitingStillness(zero, still) => {
                self.push_awaiting_stillness(frame, zero, still)?;
            }
            State::Confirming(standing, recorded_kg) => {
                self.push_confirming(frame, standing, recorded_kg)?;
            }
            State::Settling(standing) => return Ok(self.push_settling(frame, standing)),
            State::Recording(standing) => return Ok(self.push_recording(frame, standing)),
            State::Ended(ending) => return Ok(Step::End(ending)),
        }
        Ok(Step::Watch)
    }

    fn enter(&mut self, state: State) {
        self.state = state;
        self.stage_us = self.now_us;
    }

    fn push_zeroing(&mut self, frame: &BoardFrame) -> Result<(), Refusal> {
        self.keeper.push(frame, &self.plan.calibration);
        if let Some(zero) = self.keeper.zero()
            && self.is_fresh(&zero)
        {
            self.enter(State::AwaitingLoad(zero));
            return Ok(());
        }
        if ZERO_PATIENCE_S * 1_000_000 <= self.now_us - self.stage_us {
            return Err(match self.keeper.trouble() {
                Some(ZeroTrouble::Loaded { load_newtons }) => Refusal::Loaded { load_newtons },
                Some(ZeroTrouble::Unrest { corner, range_newtons }) => {
                    Refusal::Unrest { corner, range_newtons }
                }
                None => Refusal::TooFewFrames,
            });
        }
        Ok(())
    }

    fn push_awaiting_load(&mut self, frame: &BoardFrame, zero: Zero) {
        let load_newtons = self.load_newtons(frame, &zero);
        if LOAD_ON_NEWTONS <= load_newtons {
            self.keeper.interrupt();
            self.enter(State::AwaitingStillness(zero, Still::begin(self.now_us, load_newtons)));
            return;
        }
        self.keeper.push(frame, &self.plan.calibration);
        match self.keeper.zero() {
            Some(newest) if self.is_fresh(&newest) => self.state = State::AwaitingLoad(newest),
            _ => self.enter(State::Zeroing),
        }
    }

    fn push_awaiting_stillness(
        &mut self,
        frame: &BoardFrame,
        zero: Zero,
        still: Still,
    ) -> Result<(), Refusal> {
        let load_newtons = self.load_newtons(frame, &zero);
        if load_newtons < LOAD_ON_NEWTONS {
            self.enter(State::AwaitingLoad(zero));
            return Ok(());
        }
        let still = still.and(self.now_us, load_newtons);
        if seconds(self.now_us - still.since_us) < STILL_S {
            self.state = State::AwaitingStillness(zero, still);
            return Ok(());
        }
        let load_newtons = still.mean_newtons();
        refuse_overload(load_newtons)?;
        refuse_dead_corner(frame)?;
        let standing =
            Standing { zero, still_since_us: still.since_us, load_newtons, off_since_us: None };
        self.enter(match self.plan.body_mass_kg {
            Some(recorded_kg) if !self.same_person && is_far(load_newtons, recorded_kg) => {
                State::Confirming(standing, recorded_kg)
            }
            _ => State::Settling(standing),
        });
        Ok(())
    }

    fn push_confirming(
        &mut self,
        frame: &BoardFrame,
        standing: Standing,
        recorded_kg: f64,
    ) -> Result<(), Refusal> {
        let (standing, stepped_off) = self.watch_step_off(frame, standing);
        if stepped_off {
            self.enter(State::AwaitingLoad(standing.zero));
        } else if self.same_person {
            self.enter(State::Settling(standing));
        } else if OTHER_PERSON_PATIENCE_S <= seconds(self.now_us - self.stage_us) {
            let measured_kg = standing.load_newtons / STANDARD_GRAVITY;
            return Err(Refusal::OtherPerson { measured_kg, recorded_kg });
        } else {
            self.state = State::Confirming(standing, recorded_kg);
        }
        Ok(())
    }

    fn push_settling(&mut self, frame: &BoardFrame, standing: Standing) -> Step {
        let (standing, stepped_off) = self.watch_step_off(frame, standing);
        if stepped_off {
            self.enter(State::AwaitingLoad(standing.zero));
            return Step::Watch;
        }
        let settled_s = seconds(self.now_us - standing.still_since_us);
        if settled_s < self.plan.settle_s {
            self.state = State::Settling(standing);
            return Step::Watch;
        }
        self.enter(State::Recording(standing));
        Step::Begin(Beginning { zero: standing.zero, settled_s })
    }

    fn push_recording(&mut self, frame: &BoardFrame, standing: Standing) -> Step {
        if self.plan.record_s <= seconds(self.now_us - self.stage_us) {
            self.end(Ending::HoldReached);
            return Step::End(Ending::HoldReached);
        }
        let (standing, stepped_off) = self.watch_step_off(frame, standing);
        if stepped_off {
            self.end(Ending::StepOff);
            return Step::End(Ending::StepOff);
        }
        self.state = State::Recording(standing);
        Step::Record
    }

    /// Whether the load has been too low for too long.
    fn watch_step_off(&self, frame: &BoardFrame, mut standing: Standing) -> (Standing, bool) {
        let load_newtons = self.load_newtons(frame, &standing.zero);
        if STEP_OFF_SHARE * standing.load_newtons <= load_newtons {
            standing.off_since_us = None;
            return (standing, false);
        }
        let since_us = *standing.off_since_us.get_or_insert(self.now_us);
        (standing, STEP_OFF_S <= seconds(self.now_us - since_us))
    }

    fn load_newtons(&self, frame: &BoardFrame, zero: &Zero) -> f64 {
        forces_from_counts(frame.counts, zero, &self.plan.calibration).iter().sum()
    }

    fn is_fresh(&self, zero: &Zero) -> bool {
        // The zero's time is that of its middle; half its length is granted on top.
        self.now_us.saturating_sub(zero.board_time_us) <= (ZERO_FRESH_S + ZERO_S / 2) * 1_000_000
    }
}

impl Still {
    fn begin(now_us: u64, load_newtons: f64) -> Self {
        Self {
            since_us: now_us,
            low_newtons: load_newtons,
            high_newtons: load_newtons,
            sum_newtons: load_newtons,
            n_frames: 1,
        }
    }

    /// With one more frame; begins anew when the load has moved too much.
    fn and(self, now_us: u64, load_newtons: f64) -> Self {
        let longer = Self {
            since_us: self.since_us,
            low_newtons: self.low_newtons.min(load_newtons),
            high_newtons: self.high_newtons.max(load_newtons),
            sum_newtons: self.sum_newtons + load_newtons,
            n_frames: self.n_frames + 1,
        };
        let range_newtons = longer.high_newtons - longer.low_newtons;
        if range_newtons <= STILL_RANGE_SHARE * longer.mean_newtons() {
            longer
        } else {
            Self::begin(now_us, load_newtons)
        }
    }

    fn mean_newtons(&self) -> f64 {
        self.sum_newtons / self.n_frames as f64
    }
}

/// The board itself tells of a cell that is not connected.
fn refuse_dead_corner(frame: &BoardFrame) -> Result<(), Refusal> {
    let status = Status::from_bits(frame.status);
    match Corner::ALL.into_iter().find(|&corner| status.contains(Status::open_bridge(corner))) {
        Some(corner) => Err(Refusal::DeadCorner { corner: corner.index() }),
        None => Ok(()),
    }
}

fn refuse_overload(load_newtons: f64) -> Result<(), Refusal> {
    if load_newtons <= RATED_LOAD_NEWTONS {
        return Ok(());
    }
    Err(Refusal::Overload { load_newtons, rated_newtons: RATED_LOAD_NEWTONS })
}

fn is_far(load_newtons: f64, recorded_kg: f64) -> bool {
    let difference_kg = (load_newtons / STANDARD_GRAVITY - recorded_kg).abs();
    OTHER_PERSON_KG < difference_kg && OTHER_PERSON_SHARE * recorded_kg < difference_kg
}

/// Divided, not multiplied by 1e-6: 200,000 us must be the 0.2 s somebody wrote.
fn seconds(us: u64) -> f64 {
    us as f64 / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::tests::square_board;
    use crate::test_stand::{Stand, zero_error_counts};

    const RATE: u64 = 250;

    /// What became of a trial.
    #[derive(Debug, Default)]
    struct Course {
        /// Every stage that was entered, in order.
        stages: Vec<Stage>,
        beginning: Option<Beginning>,
        n_recorded: usize,
        ended: Option<Ending>,
        /// Board time at which it was over.
        over_us: u64,
        refusal: Option<Refusal>,
    }

    fn plan() -> FlowPlan {
        FlowPlan {
            calibration: square_board(),
            settle_s: 10.0,
            record_s: 20.0,
            body_mass_kg: Some(60.0),
            forbidden: None,
        }
    }

    fn run(flow: &mut TrialFlow, stand: &Stand) -> Course {
        let mut course = Course::default();
        for frame in &stand.frames {
            course.over_us = frame.time_us;
            match flow.push(frame) {
                Ok(Step::Watch) => {}
                Ok(Step::Begin(beginning)) => {
                    course.beginning = Some(beginning);
                    course.n_recorded += 1;
                }
                Ok(Step::Record) => course.n_recorded += 1,
                Ok(Step::End(ending)) => course.ended = Some(ending),
                Err(refusal) => course.refusal = Some(refusal),
            }
            let stage = flow.stage();
            let kind = std::mem::discriminant(&stage);
            if course.stages.last().is_none_or(|last| std::mem::discriminant(last) != kind) {
                course.stages.push(stage);
            }
            if course.ended.is_some() || course.refusal.is_some() {
                break;
            }
        }
        course
    }

    fn course(stand: &Stand) -> Course {
        run(&mut TrialFlow::new(plan()).unwrap(), stand)
    }

    #[test]
    fn a_whole_trial_holds_as_many_frames_as_the_clock_allows() {
        let course = course(&Stand::at(RATE).empty(7.0).person(40.0, 60.0));
        let none = Stage::Zeroing { trouble: None };
        let wanted = [
            none,
            Stage::AwaitingLoad,
            Stage::AwaitingStillness,
            Stage::Settling,
            Stage::Recording,
            Stage::Ended(Ending::HoldReached),
        ];
        assert_eq!(course.stages, wanted);
        assert_eq!(course.n_recorded, 20 * 250);
        // On at 7 s, settled 10 s, recorded 20 s.
        assert_eq!(course.over_us, 37_000_000);
        let beginning = course.beginning.unwrap();
        assert!((beginning.settled_s - 10.0).abs() < 1e-9, "{beginning:?}");
        assert!(zero_error_counts(&beginning.zero) < 1e-6, "{beginning:?}");
        // The five whole seconds before the step: 1 s to 6 s, or 2 s to 7 s.
        assert!(beginning.zero.board_time_us >= 3_500_000, "{beginning:?}");
    }

    #[test]
    fn stepping_off_ends_a_record_after_a_moment_but_a_jolt_does_not() {
        let standing = Stand::at(RATE).empty(7.0).person(15.0, 60.0);
        let left = course(&standing.empty(5.0));
        assert_eq!(left.ended, Some(Ending::StepOff));
        assert_eq!(left.over_us, 22_200_000);
        assert_eq!(left.n_recorded, 5 * 250 + 50);
        let jolt = Stand::at(RATE).empty(7.0).person(15.0, 60.0).empty(0.19).person(30.0, 60.0);
        assert_eq!(course(&jolt).ended, Some(Ending::HoldReached));
    }

    #[test]
    fn stepping_off_before_the_record_only_waits_again() {
        let stand = Stand::at(RATE).empty(7.0).person(8.0, 60.0).empty(3.0).person(40.0, 60.0);
        let course = course(&stand);
        assert_eq!(course.ended, Some(Ending::HoldReached));
        assert_eq!(course.over_us, 48_000_000);
        let n_waits = course.stages.iter().filter(|&&stage| stage == Stage::AwaitingLoad).count();
        assert_eq!(n_waits, 2);
    }

    #[test]
    fn lost_frames_do_not_lengthen_the_record() {
        let stand = Stand::at(RATE).empty(7.0).person(15.0, 60.0).loses(1.5).person(30.0, 60.0);
        let course = course(&stand);
        assert_eq!(course.ended, Some(Ending::HoldReached));
        assert_eq!(course.over_us, 37_000_000);
        assert_eq!(course.n_recorded, 20 * 250 - 375);
    }

    #[test]
    fn a_weight_left_on_the_board_is_refused() {
        let course = course(&Stand::at(RATE).carries(70.0, |_| [40.0; 4]));
        match course.refusal {
            Some(Refusal::Loaded { load_newtons }) => {
                assert!((load_newtons - 204.0).abs() < 0.01, "{load_newtons}");
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(course.over_us, 60_000_000);
    }

    #[test]
    fn somebody_who_never_leaves_the_board_makes_no_zero() {
        let course = course(&Stand::at(RATE).person(70.0, 60.0));
        assert!(matches!(course.refusal, Some(Refusal::Unrest { .. })), "{:?}", course.refusal);
    }

    #[test]
    fn a_drift_of_a_warming_board_passes_and_a_faster_one_does_not() {
        // 0.6 N/K at 0.5 K a minute is 0.005 N a second.
        let warming = Stand::at(RATE).carries(10.0, |t| [0.005 * t, 0.0, 0.0, 0.0]);
        assert_eq!(course(&warming).stages.last(), Some(&Stage::AwaitingLoad));
        let broken = Stand::at(RATE).carries(70.0, |t| [0.0, 0.0, 0.1 * t, 0.0]);
        let refusal = course(&broken).refusal;
        assert!(matches!(refusal, Some(Refusal::Unrest { corner: 2, .. })), "{refusal:?}");
    }

    #[test]
    fn a_foot_that_comes_down_slowly_is_not_in_the_zero() {
        let stand = Stand::at(RATE)
            .empty(7.0)
            .carries(3.0, |t| [0.0, 0.0, 30.0 * t, 0.0])
            .person(40.0, 60.0);
        let zero = course(&stand).beginning.unwrap().zero;
        assert!(zero_error_counts(&zero) < 1e-6, "{zero:?}");
    }

    #[test]
    fn a_zero_of_more_than_a_minute_ago_is_taken_again() {
        let fidget = |t: f64| [20.0 * (t * 5.0).sin(), 0.0, 0.0, 0.0];
        let stand = Stand::at(RATE).empty(7.0).carries(70.0, fidget).person(20.0, 60.0);
        let course = course(&stand);
        assert_eq!(course.beginning, None);
        let last = course.stages.last();
        assert!(matches!(last, Some(Stage::Zeroing { trouble: Some(_) })), "{last:?}");
    }

    #[test]
    fn more_than_the_rated_load_is_refused_by_record_and_by_measurement() {
        let heavy = FlowPlan { body_mass_kg: Some(130.1), ..plan() };
        assert!(matches!(TrialFlow::new(heavy).unwrap_err(), Refusal::Overload { .. }));
        let allowed = FlowPlan { body_mass_kg: Some(130.0), ..plan() };
        assert!(TrialFlow::new(allowed).is_ok());
        let measured = course(&Stand::at(RATE).empty(7.0).person(20.0, 131.0)).refusal.unwrap();
        let wanted = "1285 N is more than the board is rated for (1275 N)";
        assert_eq!(measured.to_string(), wanted);
    }

    #[test]
    fn another_part_of_the_program_may_forbid_a_trial() {
        let forbidden = FlowPlan { forbidden: Some("the sound was not checked"), ..plan() };
        let refusal = TrialFlow::new(forbidden).unwrap_err();
        assert_eq!(refusal.to_string(), "the sound was not checked");
    }

    #[test]
    fn a_corner_that_the_board_calls_dead_is_refused_before_and_on_the_board() {
        let dead = Status::open_bridge(Corner::RearLeft).bits();
        for from_s in [0, 8] {
            let mut stand = Stand::at(RATE).empty(7.0).person(20.0, 60.0);
            for frame in stand.frames.iter_mut().skip(from_s * 250) {
                frame.status |= dead;
            }
            let refusal = course(&stand).refusal;
            assert_eq!(refusal, Some(Refusal::DeadCorner { corner: 2 }), "from {from_s} s");
        }
    }

    #[test]
    fn a_load_far_from_the_recorded_mass_waits_for_a_word() {
        let stand = Stand::at(RATE).empty(7.0).person(20.0, 67.0);
        let mut flow = TrialFlow::new(plan()).unwrap();
        let asked = run(&mut flow, &stand);
        match asked.stages.last() {
            Some(&Stage::ConfirmingPerson { measured_kg, recorded_kg }) => {
                assert!((measured_kg - 67.0).abs() < 0.1 && (recorded_kg - 60.0).abs() < 1e-12);
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(asked.beginning, None);
        let unanswered = course(&Stand::at(RATE).empty(7.0).person(63.0, 67.0)).refusal.unwrap();
        let wanted = "the board carries 67.0 kg, but the person's mass is recorded as 60.0 kg";
        assert_eq!(unanswered.to_string(), wanted);
        let denied = flow.deny_person().unwrap_err().to_string();
        assert!(denied.starts_with("the board carries 67."), "{denied}");
        let mut confirmed = TrialFlow::new(plan()).unwrap();
        confirmed.confirm_person();
        assert!(run(&mut confirmed, &stand).beginning.is_some());
        let close = course(&Stand::at(RATE).empty(7.0).person(20.0, 65.5));
        assert!(close.beginning.is_some());
        let light = FlowPlan { body_mass_kg: Some(30.0), ..plan() };
        let child = run(
            &mut TrialFlow::new(light).unwrap(),
            &Stand::at(RATE).empty(7.0).person(20.0, 34.9),
        );
        assert!(child.beginning.is_some());
    }

    #[test]
    fn somebody_who_cannot_stand_still_is_waited_for() {
        let stand = Stand::at(RATE)
            .empty(7.0)
            .carries(5.0, |t| [150.0 + 60.0 * (10.0 * t).sin(); 4])
            .person(40.0, 60.0);
        let course = course(&stand);
        assert_eq!(course.ended, Some(Ending::HoldReached));
        assert!(42_000_000 <= course.over_us && course.over_us <= 42_100_000, "{}", course.over_us);
    }
}
