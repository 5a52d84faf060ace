//! What is to be stood, and whether it may be.

use analysis::readiness::Answers;
use analysis::{Condition, Facing, Pull, Stance, Surface, TrialKind, Vision};

use crate::sound::OpenSoundError;
use crate::standing::{Reference, StandNow};
use crate::strings::{Language, StandWords, typed};
use crate::window::clinic::Desk;

/// What a stand is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Errand {
    /// To be compared and judged.
    #[default]
    Measured,
    /// To train, with live cues.
    Guided,
    /// To get used to it.
    Practice,
    /// To know where the weight is with the band on.
    Reference,
    /// To find the condition to begin with.
    Find,
}

impl Errand {
    /// All, in the order of their words.
    pub const ALL: [Self; 5] =
        [Self::Measured, Self::Guided, Self::Practice, Self::Reference, Self::Find];

    /// What the trial is recorded as.
    pub const fn kind(self) -> TrialKind {
        match self {
            Self::Measured => TrialKind::Measured,
            // Both show the wobble, and feedback changes it.
            Self::Guided | Self::Find => TrialKind::Guided,
            Self::Practice | Self::Reference => TrialKind::Practice,
        }
    }

    /// Whether the wobble shows meanwhile.
    pub(super) fn shows_wobble(self) -> bool {
        self.kind() == TrialKind::Guided
    }

    /// Seconds of the record and of settling that are asked for at first; `hold_s` and `settle_s` are
    /// the plan's. Measured: 60 s after 10 s of standing; the rest is our own choice.
    fn seconds(self, hold_s: f64, settle_s: Option<f64>) -> [f64; 2] {
        match self {
            Self::Measured => [60.0, settle_s.unwrap_or(10.0)],
            Self::Guided => [hold_s, 2.0],
            Self::Practice => [30.0, settle_s.unwrap_or(2.0)],
            Self::Reference => [15.0, settle_s.unwrap_or(2.0)],
            Self::Find => [15.0, 2.0],
        }
    }
}

/// Which board was picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BoardPick {
    /// The one plugged in.
    #[default]
    Plugged,
    /// The one at the address typed.
    Address,
    /// A simulated one.
    Simulated,
}

impl BoardPick {
    /// All, in the order of their words.
    pub(super) const ALL: [Self; 3] = [Self::Plugged, Self::Address, Self::Simulated];
}

/// A stand as it was asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct StandAsk {
    /// On what and how.
    pub condition: Condition,
    /// What for.
    pub errand: Errand,
    /// Which board.
    pub board: BoardPick,
    /// Its address, if it was typed.
    pub address: String,
    /// Height of the sole above the cells, in millimetres.
    pub sole_height_mm: Option<f64>,
    /// Which way the person faces.
    pub facing: Facing,
    /// Length of the record, in seconds.
    pub record_s: f64,
    /// Time to settle first, in seconds.
    pub settle_s: f64,
}

impl StandAsk {
    /// Whether a real person closes their eyes.
    pub(crate) fn closes_eyes(&self) -> bool {
        closes_eyes(self.condition, self.board)
    }
}

/// Nobody closes their eyes on a simulated board.
fn closes_eyes(condition: Condition, board: BoardPick) -> bool {
    condition.vision == Vision::Closed && board != BoardPick::Simulated
}

/// What the screen shows besides what it remembers itself.
#[derive(Debug, Clone, Copy)]
pub struct StandView<'a> {
    /// The person who is chosen; `None` for nobody, or before they are read.
    pub desk: Option<&'a Desk>,
    /// Whether an earlier session waits for the clinician's decision.
    pub latched: bool,
    /// The stand under way.
    pub now: Option<StandNow>,
    /// Where the weight is to be in the stand under way, if that is known.
    pub(crate) reference: Option<Reference>,
    /// Why nothing can be heard, if that is so.
    pub no_sound: Option<&'a OpenSoundError>,
    /// Whether the notes of the sound check went to a device that plays still.
    pub notes_played: bool,
    /// Whether the person confirmed in this session that they hear the sound, and it plays still.
    pub heard: bool,
}

impl StandView<'_> {
    /// Why nobody may stand at a condition on a board, in words; `None` if they may.
    pub(crate) fn forbidden_at(
        &self,
        condition: Condition,
        board: BoardPick,
        words: &StandWords,
    ) -> Option<&'static str> {
        self.forbidden(words).or(self.needs_sound(condition, board).then_some(words.not_heard))
    }

    /// Whether eyes would close that no sound check was made for.
    pub(super) fn needs_sound(&self, condition: Condition, board: BoardPick) -> bool {
        closes_eyes(condition, board) && !self.heard
    }

    /// Why nobody may stand, in words; `None` if they may.
    pub(crate) fn forbidden(&self, words: &StandWords) -> Option<&'static str> {
        let desk = self.desk?;
        let answers = desk.session.as_ref().map_or_else(Answers::default, |open| open.answers);
        let signs = [
            answers.warning_sign,
            answers.fall,
            answers.leg_pain_further_down,
            answers.numbness_or_weakness,
        ];
        let ceiling = desk.plan().map(|plan| plan.thresholds.pain_ceiling);
        let pain = answers.pain_at_start.map(|pain| f64::from(pain.points()));
        if signs.contains(&Some(true)) {
            Some(words.stop_answered)
        } else if ceiling.zip(pain).is_some_and(|(ceiling, pain)| ceiling < pain) {
            Some(words.too_much_pain)
        } else if self.latched {
            Some(words.stop_latched)
        } else {
            None
        }
    }

    /// Ends of the wobble window in millimetres: the plan's, or the common ones.
    pub(crate) fn window_mm(&self) -> [f64; 2] {
        let limits = self.desk.and_then(Desk::plan).map(|plan| plan.thresholds).unwrap_or_default();
        [limits.wobble_lower_mm, limits.wobble_upper_mm]
    }

    /// What can be stood: the plan's conditions, or common ones without a plan.
    pub(super) fn conditions(&self) -> Vec<Condition> {
        if let Some(plan) = self.desk.and_then(Desk::plan) {
            return plan.conditions.iter().map(|planned| planned.condition).collect();
        }
        let common = |surface| {
            Stance::ALL[..3].iter().flat_map(move |&stance| {
                Vision::ALL.iter().map(move |&vision| Condition::unaided(surface, stance, vision))
            })
        };
        common(Surface::Firm).chain(common(Surface::Foam)).collect()
    }

    /// The plan's hold at a condition, in seconds.
    fn hold_s(&self, condition: Condition) -> f64 {
        let plan = self.desk.and_then(Desk::plan);
        let planned = plan
            .and_then(|plan| plan.conditions.iter().find(|planned| planned.condition == condition));
        planned.map_or(35.0, |planned| planned.dose.hold_s)
    }
}

/// What was chosen and typed about the next stand.
#[derive(Debug, Default)]
pub(super) struct Setup {
    pub(super) condition: Option<Condition>,
    pub(super) errand: Errand,
    pub(super) board: BoardPick,
    pub(super) address: String,
    /// Length of the record and time to settle, as typed; empty until something is chosen.
    pub(super) seconds: [String; 2],
    pub(super) sole_mm: String,
    pub(super) facing: Option<Facing>,
    pub(super) pull: Option<Pull>,
    /// The feet stand on their outlines.
    pub(super) on_outlines: bool,
}

impl Setup {
    /// The condition chosen, or the first.
    pub(super) fn condition(&self, view: &StandView<'_>) -> Option<Condition> {
        self.condition.or_else(|| view.conditions().first().copied())
    }

    /// Puts in the seconds that go with what is chosen.
    pub(super) fn suggest(&mut self, words: &Language, view: &StandView<'_>) {
        let Some(condition) = self.condition(view) else { return };
        let settle_s = view.desk.and_then(Desk::plan).and_then(|plan| plan.settle_s);
        let seconds = self.errand.seconds(view.hold_s(condition), settle_s);
        self.seconds = seconds.map(words.shortest);
    }

    /// What is asked for; which field cannot be read, if one cannot.
    pub(super) fn ask<'a>(
        &self,
        words: &'a StandWords,
        view: &StandView<'_>,
    ) -> Result<StandAsk, &'a str> {
        let condition = self.condition(view).ok_or(words.condition_field)?;
        // The weight is told by where it stands on the board: the feet have to be where they were.
        if self.errand == Errand::Reference && !self.on_outlines {
            return Err(words.outlines_field);
        }
        let [record, settle] = &self.seconds;
        let sole = self.sole_mm.trim();
        let sole_height_mm = if sole.is_empty() {
            None
        } else {
            Some(number(sole, 0.0..=500.0).ok_or(words.sole_field)?)
        };
        Ok(StandAsk {
            condition,
            errand: self.errand,
            board: self.board,
            address: self.address.trim().to_owned(),
            sole_height_mm,
            facing: self.facing.unwrap_or(Facing::Front),
            record_s: number(record, 5.0..=3600.0).ok_or(words.seconds_fields[0])?,
            settle_s: number(settle, 0.0..=120.0).ok_or(words.seconds_fields[1])?,
        })
    }
}

/// A number as it was typed, if it lies in its range.
pub(super) fn number(text: &str, allowed: std::ops::RangeInclusive<f64>) -> Option<f64> {
    typed(text).filter(|value| allowed.contains(value))
}
