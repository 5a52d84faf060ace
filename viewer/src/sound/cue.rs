//! What can be heard, and what can be heard where.

/// Everything that can be heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cue {
    /// The stand begins.
    Start,
    /// The wobble is over its window: calmer, please.
    TooMuch,
    /// The wobble is under its window: let go a little.
    TooLittle,
    /// The mean position has left the neutral one.
    PositionLost,
    /// Ten seconds are left.
    TenSecondsLeft,
    /// The stand is over: open your eyes.
    End,
    /// Stop: hold on and open your eyes.
    Stop,
    /// Every sound in one, for the person to confirm that they hear it.
    SoundCheck,
}

impl Cue {
    /// Every cue.
    pub const ALL: &'static [Self] = &[
        Self::Start,
        Self::TooMuch,
        Self::TooLittle,
        Self::PositionLost,
        Self::TenSecondsLeft,
        Self::End,
        Self::Stop,
        Self::SoundCheck,
    ];
}

/// What can be heard in a measured or practice trial. Feedback changes the sway it shows, so there
/// is no way to say more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeasuredCue {
    /// The stand begins.
    Start,
    /// The stand is over, however it ended.
    End,
}

/// What can be heard in a guided trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GuidedCue {
    /// The stand begins.
    Start,
    /// The wobble is over its window.
    TooMuch,
    /// The wobble is under its window.
    TooLittle,
    /// The mean position has left the neutral one.
    PositionLost,
    /// Ten seconds are left.
    TenSecondsLeft,
    /// The stand is over.
    End,
    /// The stand was stopped.
    Stop,
}

/// What can be heard between trials.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SessionCue {
    /// Stop: the session ends here.
    Stop,
    /// Every sound in one.
    SoundCheck,
}

impl From<MeasuredCue> for Cue {
    fn from(cue: MeasuredCue) -> Self {
        match cue {
            MeasuredCue::Start => Self::Start,
            MeasuredCue::End => Self::End,
        }
    }
}

impl From<GuidedCue> for Cue {
    fn from(cue: GuidedCue) -> Self {
        match cue {
            GuidedCue::Start => Self::Start,
            GuidedCue::TooMuch => Self::TooMuch,
            GuidedCue::TooLittle => Self::TooLittle,
            GuidedCue::PositionLost => Self::PositionLost,
            GuidedCue::TenSecondsLeft => Self::TenSecondsLeft,
            GuidedCue::End => Self::End,
            GuidedCue::Stop => Self::Stop,
        }
    }
}

impl From<SessionCue> for Cue {
    fn from(cue: SessionCue) -> Self {
        match cue {
            SessionCue::Stop => Self::Stop,
            SessionCue::SoundCheck => Self::SoundCheck,
        }
    }
}
