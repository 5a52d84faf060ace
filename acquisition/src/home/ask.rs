//! What a session at home asks for, one thing at a time.

use analysis::{Condition, TrialKind, keyed_enum};

use super::lock::Lock;

/// What is asked of the person now.
#[derive(Debug, Clone, PartialEq)]
pub enum Ask {
    /// Nothing may begin: something has to be set up first.
    Missing(Missing),
    /// Nothing may begin, or go on, before the clinic has looked at it.
    Locked(Lock),
    /// Nothing of the plan may be done here and now.
    NothingReleased,
    /// The plan's sessions of today are done; more only if the person insists. Yes or no.
    MoreThanPlanned {
        /// How many the plan asks for.
        planned: u8,
    },
    /// A session was cut off; what of it is kept, and that it goes on. Any answer goes on.
    Kept {
        /// How many stands are kept.
        n_stands: usize,
    },
    /// Pain on the morning after the last session, in points.
    NextMorning,
    /// Anything new? Yes or no.
    Sign(Sign),
    /// Pain before, in points.
    PainBefore,
    /// Support, floor, light, phone: is the room ready? Yes or no.
    Room,
    /// Is a second person there? Yes or no.
    Company,
    /// How loud the sound is to be; it is changed on the spot. Any answer but no goes on; no: there
    /// is no sound.
    Volume,
    /// Was the sound heard? Yes or no.
    SoundCheck,
    /// Is the empty board alive? Answered by the board.
    BoardCheck,
    /// Is today's stance to be found first, from easy to hard? Yes or no.
    FindStance,
    /// After a stand that finds the stance: did it take a hold, or hurt? Yes or no.
    HeldOnOrHurt,
    /// A stand on the board. Answered by the board.
    Stand(Stand),
    /// Rest until this moment, in microseconds of universal time; then it asks for more by itself.
    Rest {
        /// When the rest is over.
        until_unix_us: i64,
        /// What comes then.
        then: Stand,
    },
    /// The sound went away during the stand; what was recorded is kept and marked.
    SoundWasLost,
    /// "Did you touch anything?" Yes or no.
    Touched,
    /// How hard it felt, in points.
    Difficulty,
    /// Worst pain while exercising, in points.
    WorstPain,
    /// Pain at the end, in points.
    PainAfter,
    /// The end, with what was reached.
    Done(Reached),
}

/// What has to be set up before the first session.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// The local emergency number.
    EmergencyNumber,
    /// How to reach the clinic.
    ClinicContact,
    /// A plan from the clinic.
    Plan,
}

keyed_enum! {
    /// The questions of "anything new?", in the order in which they are asked.
    pub enum Sign ("sign") {
        /// The emergency group: bladder, bowel, saddle, both legs.
        Warning = "warning",
        /// New numbness or weakness.
        NumbnessOrWeakness = "numbness-or-weakness",
        /// Leg pain further down.
        LegPain = "leg-pain",
        /// A fall.
        Fall = "fall",
    }
}

/// A stand that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// On what and how.
    pub condition: Condition,
    /// What for.
    pub part: Part,
    /// Which of its kind, from 1.
    pub number: usize,
    /// How many of its kind.
    pub of: usize,
    /// How long to stand still before, in seconds.
    pub settle_s: f64,
    /// How long it lasts, in seconds.
    pub hold_s: f64,
    /// Whether its cues may sound: the person confirmed today that they hear them.
    pub heard: bool,
}

impl Stand {
    /// What its trial is recorded as.
    pub const fn kind(&self) -> TrialKind {
        self.part.kind()
    }
}

keyed_enum! {
    /// The parts of a session on the board, in their order.
    pub enum Part ("part") {
        /// Short stands from easy to hard, with the wobble shown.
        Find = "find",
        /// Where the weight is today, band included.
        Reference = "reference",
        /// To get used to it.
        Practice = "practice",
        /// Measured.
        Measured = "measured",
        /// Guided holds.
        Guided = "guided",
    }
}

impl Part {
    /// What a trial of it is recorded as.
    pub const fn kind(self) -> TrialKind {
        match self {
            // Both show the wobble, and feedback changes it.
            Self::Find | Self::Guided => TrialKind::Guided,
            Self::Reference | Self::Practice => TrialKind::Practice,
            Self::Measured => TrialKind::Measured,
        }
    }
}

/// What was reached in a session.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Reached {
    /// Measured stands done.
    pub n_measured: usize,
    /// Guided holds done.
    pub n_guided: usize,
    /// Guided holds of the plan.
    pub n_planned: usize,
}
