//! One thing the rule looked at: what was found, against what, and what would settle it.

use super::thresholds::Origin;
use crate::keyed::keyed_enum;

keyed_enum! {
    /// What a criterion is about, in the order of the rules.
    pub enum Which ("criterion") {
        /// A warning sign was reported.
        WarningSign = "warning-sign",
        /// Leg pain reaches further down.
        LegPainFurtherDown = "leg-pain-further-down",
        /// New numbness or weakness.
        NumbnessOrWeakness = "numbness-or-weakness",
        /// A fall.
        Fall = "fall",
        /// Pain rose while exercising.
        PainDuring = "pain-during",
        /// Pain was higher at the end.
        PainAfter = "pain-after",
        /// Pain was higher the next morning.
        PainNextMorning = "pain-next-morning",
        /// Pain before the start was above the ceiling.
        PainAtStart = "pain-at-start",
        /// A step back was called for, and the plan has no easier condition.
        NoEasierCondition = "no-easier-condition",
        /// Stepped off, or used support that was not planned, in too many recent sessions.
        Events = "events",
        /// The wobble is over the window.
        TooWide = "too-wide",
        /// The weight lies too far toward the band's pull.
        OffsetBeyond = "offset-beyond",
        /// Enough scored sessions on different days.
        ScoredSessions = "scored-sessions",
        /// Enough scored trials.
        ScoredTrials = "scored-trials",
        /// The wobble is in the window or under it.
        InWindow = "in-window",
        /// Few windows are over it.
        ShareOver = "share-over",
        /// It felt easy.
        FeltEasy = "felt-easy",
        /// No worse than before.
        Steady = "steady",
        /// No step-off and no unplanned support of late.
        NoEvents = "no-events",
        /// The weight lies where the reference was.
        OffsetWithin = "offset-within",
        /// The next condition is likely to stay in reach.
        NextInReach = "next-in-reach",
        /// Pain and warning answers of late are known.
        AnswersKnown = "answers-known",
        /// Enough verdicts in a row agree.
        Agreeing = "agreeing",
    }
}

/// Which rule a criterion belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// Stop and review: a criterion that holds calls for it.
    Stop,
    /// Step back: a criterion that holds calls for it.
    StepBack,
    /// Evidence: every criterion must hold.
    Evidence,
    /// Advance: every criterion must hold.
    Advance,
}

impl Which {
    /// The rule this criterion is part of.
    pub const fn rule(self) -> Rule {
        match self {
            Self::WarningSign
            | Self::LegPainFurtherDown
            | Self::NumbnessOrWeakness
            | Self::Fall
            | Self::PainDuring
            | Self::PainAfter
            | Self::PainNextMorning
            | Self::PainAtStart
            | Self::NoEasierCondition => Rule::Stop,
            Self::Events | Self::TooWide | Self::OffsetBeyond => Rule::StepBack,
            Self::ScoredSessions | Self::ScoredTrials => Rule::Evidence,
            Self::InWindow
            | Self::ShareOver
            | Self::FeltEasy
            | Self::Steady
            | Self::NoEvents
            | Self::OffsetWithin
            | Self::NextInReach
            | Self::AnswersKnown
            | Self::Agreeing => Rule::Advance,
        }
    }
}

/// What was found about a criterion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finding {
    /// It holds.
    Met,
    /// It does not hold.
    NotMet,
    /// What it needs was not measured or not answered. Never read as "holds".
    NotKnown,
    /// Nothing may be concluded from what was measured; the settle says what would help.
    NotJudged,
    /// It asks for nothing here: no band is used, or nothing is known of the next condition.
    NotApplicable,
}

/// A limit and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// The limit, in the unit of the criterion's value.
    pub value: f64,
    /// Where it comes from.
    pub origin: Origin,
}

/// What would turn a criterion that does not hold into one that does, or make it known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Settle {
    /// A clinician's review newer than the report.
    Review,
    /// So many more scored sessions, each on another day.
    MoreSessions(u16),
    /// So many more scored trials.
    MoreTrials(u16),
    /// Trials with less wobble, or more of them if the estimate is wide.
    LessWobble,
    /// Fewer windows over the range.
    FewerOver,
    /// Ratings at or below the limit in each of the last sessions.
    EasierRatings,
    /// A look, in the clinic, for bracing: little wobble that feels hard.
    LookForBracing,
    /// A rating after every exercise.
    RateDifficulty,
    /// Another session that shows no worsening.
    SteadySession,
    /// Another session with pain within the limit of the one compared.
    SimilarPain,
    /// Sessions without a step-off or a touch.
    SessionsWithoutEvent,
    /// The question "did you touch anything?" answered.
    AnswerTouched,
    /// A reference with the band at the start of each session.
    TakeReference,
    /// Weight closer to the reference.
    CloserToReference,
    /// The next condition tried in the clinic.
    TryNextInClinic,
    /// Pain and warning questions answered.
    AnswerQuestions,
    /// The same verdict on so many more days.
    AgreeAgain(u16),
    /// An easier condition in the plan.
    EasierCondition,
}

/// One thing the rule evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct Criterion {
    /// What it is about.
    pub which: Which,
    /// What was found.
    pub finding: Finding,
    /// The number it rests on, if it rests on one; the unit is the threshold's.
    pub value: Option<f64>,
    /// The limit for `value`.
    pub threshold: Option<Threshold>,
    /// How probable it is that `value` is on the side asked for, 0 to 1.
    pub probability: Option<f64>,
    /// The limit for `probability`.
    pub needed_probability: Option<Threshold>,
    /// Days of the sessions it rests on, in order.
    pub days: Vec<i32>,
    /// What would settle it, if it is not settled.
    pub settle: Option<Settle>,
}

impl Criterion {
    pub(crate) fn new(which: Which, finding: Finding) -> Self {
        Self {
            which,
            finding,
            value: None,
            threshold: None,
            probability: None,
            needed_probability: None,
            days: Vec::new(),
            settle: None,
        }
    }

    pub(crate) fn with_value(mut self, value: Option<f64>, threshold: Threshold) -> Self {
        self.value = value;
        self.threshold = Some(threshold);
        self
    }

    pub(crate) fn with_probability(mut self, probability: Option<f64>, needed: Threshold) -> Self {
        self.probability = probability;
        self.needed_probability = Some(needed);
        self
    }

    pub(crate) fn on_days(mut self, days: impl IntoIterator<Item = i32>) -> Self {
        self.days = days.into_iter().collect();
        self
    }

    /// Keeps what would settle it, if it is not met.
    pub(crate) fn settled_by(mut self, settle: Settle) -> Self {
        if self.finding != Finding::Met {
            self.settle = Some(settle);
        }
        self
    }

    /// Whether it holds: for a reason to stop or step back that is a call to do so.
    pub fn holds(&self) -> bool {
        self.finding == Finding::Met
    }

    /// Whether it stands in the way of an advance, if it is one of that rule's needs.
    pub fn blocks(&self) -> bool {
        !matches!(self.finding, Finding::Met | Finding::NotApplicable)
    }
}

/// The limit of this key with its origin.
macro_rules! threshold {
    ($thresholds:expr, $field:ident) => {
        $crate::readiness::criterion::Threshold {
            value: f64::from($thresholds.$field),
            origin: $thresholds.origin(stringify!($field)),
        }
    };
}
pub(crate) use threshold;

/// Whether a probability reaches a limit. Both are compared at 9 decimals: machines agree to that,
/// and a tie counts as reached.
pub(crate) fn reaches(probability: f64, limit: f64) -> bool {
    (limit * 1e9).round() <= (probability * 1e9).round()
}

/// The finding of a statement that is either so or not.
pub(crate) fn met(holds: bool) -> Finding {
    if holds { Finding::Met } else { Finding::NotMet }
}

#[cfg(test)]
mod tests {
    use super::super::thresholds::Thresholds;
    use super::*;

    #[test]
    fn a_tie_counts_as_reached() {
        assert!(reaches(0.95, 0.95));
        assert!(reaches(0.95 - 1e-12, 0.95));
        assert!(!reaches(0.95 - 1e-8, 0.95));
    }

    #[test]
    fn thresholds_carry_their_origin() {
        let limits = Thresholds { share_over: 0.3, ..Thresholds::default() };
        assert_eq!(threshold!(limits, share_over).origin, Origin::Plan);
        assert_eq!(threshold!(limits, pain_ceiling).origin, Origin::OwnChoice);
    }
}
