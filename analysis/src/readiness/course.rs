//! What is known of one person's course: sessions, answers, trials and the clinician's decisions.

use crate::condition::Condition;
use crate::cop::Plane;
use crate::keyed::keyed_enum;
use crate::trial::{Setup, TrialKind};

/// The moment for which a question is asked; the caller reads the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    /// Local calendar day, counted from any fixed day.
    pub day: i32,
    /// The same moment in microseconds of universal time.
    pub at_us: i64,
}

/// Everything a judgement may draw on, in any order.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    /// All sessions of the person from the first on, whatever their condition.
    pub sessions: Vec<Session>,
    /// All decisions of clinicians; a review or a signed plan is one.
    pub decisions: Vec<Decision>,
}

/// What a clinician decided, and when: the condition to go on with.
///
/// A decision that names the same condition as the one before it is a review; any decision newer
/// than a reason to stop releases it.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// When, in microseconds of universal time.
    pub at_us: i64,
    /// Who decided.
    pub author: String,
    /// The condition the person goes on with.
    pub condition: Condition,
}

/// The trials and answers of one occasion.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// Unique id; a second session with the same id is the same session imported twice.
    pub id: String,
    /// Local calendar day on which it began.
    pub day: i32,
    /// When it ended, in microseconds of universal time.
    pub ended_us: i64,
    /// What the person answered.
    pub answers: Answers,
    /// What they stood on, in order.
    pub exercises: Vec<Exercise>,
}

/// The questions of a session. `None` is "not asked or not answered", never zero and never no.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Answers {
    /// Pain before the first trial.
    pub pain_at_start: Option<Rating>,
    /// Worst pain while exercising.
    pub worst_pain_during: Option<Rating>,
    /// Pain at the end.
    pub pain_after: Option<Rating>,
    /// Pain the next morning.
    pub next_morning: Option<NextMorning>,
    /// A fall since the last session, or in this one.
    pub fall: Option<bool>,
    /// Any warning sign: "anything new?".
    pub warning_sign: Option<bool>,
    /// Leg pain that reaches further down than before.
    pub leg_pain_further_down: Option<bool>,
    /// New numbness or weakness.
    pub numbness_or_weakness: Option<bool>,
}

impl Answers {
    /// The pain and warning questions of the session itself are all answered; the next morning is
    /// another question.
    pub(crate) fn are_complete(&self) -> bool {
        let pain = [self.pain_at_start, self.worst_pain_during, self.pain_after];
        let signs =
            [self.fall, self.warning_sign, self.leg_pain_further_down, self.numbness_or_weakness];
        pain.iter().all(Option::is_some) && signs.iter().all(Option::is_some)
    }

    /// Largest known rise in pain over the start, points.
    pub(crate) fn pain_rise(&self) -> Option<f64> {
        let start = self.pain_at_start?;
        let later = [
            self.worst_pain_during,
            self.pain_after,
            self.next_morning.map(|morning| morning.pain),
        ];
        later.into_iter().flatten().map(|pain| pain.rise_from(start)).max_by(f64::total_cmp)
    }
}

/// Pain on the morning after a session, asked at the next start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NextMorning {
    /// How much pain.
    pub pain: Rating,
    /// When it was answered, in microseconds of universal time.
    pub answered_us: i64,
}

/// A whole number from 0 to 10: pain (10 is the worst imaginable) or felt difficulty (0 is very
/// easy, 10 is cannot).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rating(u8);

impl Rating {
    /// A rating, or `None` above 10.
    pub const fn new(points: u8) -> Option<Self> {
        if points <= 10 { Some(Self(points)) } else { None }
    }

    /// Points from 0 to 10.
    pub const fn points(self) -> u8 {
        self.0
    }

    /// How many points this one lies above `before`; negative if it lies below.
    pub fn rise_from(self, before: Self) -> f64 {
        f64::from(self.0) - f64::from(before.0)
    }
}

/// One condition stood in one session.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// Surface, stance, vision, support and band.
    pub condition: Condition,
    /// How hard it felt, asked afterwards.
    pub difficulty: Option<Rating>,
    /// "Did you touch anything?": a fingertip is too light to be seen in the load.
    pub touched_something: Option<bool>,
    /// Every stand, of whatever kind.
    pub trials: Vec<TrialEvidence>,
}

/// What a judgement needs of one stand.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialEvidence {
    /// Unique id of the trial.
    pub id: String,
    /// Only measured trials are judged.
    pub kind: TrialKind,
    /// Length, board, pad and plane.
    pub measured: WhereMeasured,
    /// The measures, or `None` if the recording was rejected for measures.
    pub sway: Option<Sway>,
    /// The person stepped off before the end.
    pub stepped_off: bool,
    /// The load or a helper showed support that the condition does not plan.
    pub unplanned_support: bool,
    /// Where the weight was against this session's reference, if a reference was taken.
    pub neutral_offset: Option<NeutralOffset>,
}

keyed_enum! {
    /// Planned length of a measured stand; the two are never compared.
    pub enum TrialLength ("length of trial") {
        /// 60 s, in the clinic.
        Clinic = "60-s",
        /// 35 s, at home.
        Home = "35-s",
    }
}

/// What must agree before two trials enter one judgement, besides the condition.
#[derive(Debug, Clone, PartialEq)]
pub struct WhereMeasured {
    /// How long the stand was to last.
    pub length: TrialLength,
    /// Board, height of the sole and way of facing.
    pub setup: Setup,
    /// Which pad, towels or cushions; empty for the bare plate.
    pub pad: String,
    /// Plane of the centre of pressure the measures were made from.
    pub plane: Plane,
}

/// The measures of one trial that the rule reads (standard processing).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sway {
    /// Median wobble over the windows, millimetres.
    pub wobble_median_mm: f64,
    /// Share of windows over the wobble window, 0 to 1.
    pub share_over: f64,
    /// Mean velocity of the centre of pressure, millimetres per second.
    pub mean_velocity_mm_per_s: f64,
    /// How many windows of 5 s the medians rest on.
    pub n_wobble_windows: u32,
    /// Spread (SD of the logarithm) that the board's noise adds to one trial's wobble.
    pub board_noise_log_sd: f64,
    /// Standard uncertainty of the board's scale, as a fraction: shared by all its trials.
    pub calibration_log_sd: f64,
}

/// Mean body centre of a trial minus the session's reference at the same condition, band included.
///
/// It shows where the weight is, not the shape of the spine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NeutralOffset {
    /// Millimetres, positive toward the band's pull.
    pub toward_pull_mm: f64,
    /// Standard uncertainty of the reference itself, millimetres.
    pub reference_uncertainty_mm: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ratings_end_at_ten() {
        assert_eq!(Rating::new(10).map(Rating::points), Some(10));
        assert_eq!(Rating::new(11), None);
    }

    #[test]
    fn a_fall_in_pain_is_a_negative_rise() {
        let rating = |points| Rating::new(points).unwrap();
        assert!((rating(2).rise_from(rating(5)) + 3.0).abs() < 1e-12);
    }
}
