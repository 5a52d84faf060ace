//! What is heard during a stand: from the recorder's live numbers to the cues.

use std::time::Duration;

use acquisition::{Ending, LiveView, Progress as RecordProgress, Stage};
use analysis::TrialKind;
use analysis::readiness::Thresholds;

use crate::sound::{
    Guidance, GuidedFeed, LiveFeed, MeasuredFeed, Phrase, Position, Progress, SessionCue,
    SoundOutput, SoundState, WobbleZone,
};

/// The loudspeaker of a session.
pub(crate) struct SessionSound {
    feed: LiveFeed,
    output: Option<SoundOutput>,
}

impl SessionSound {
    /// Opens the sound device, if there is one.
    pub(crate) fn open() -> Self {
        let feed = LiveFeed::new();
        let output = SoundOutput::open(&feed).ok();
        Self { feed, output }
    }

    /// Whether there is a device that plays.
    pub(crate) fn plays(&mut self) -> bool {
        self.output.as_mut().is_some_and(|output| output.state() == SoundState::Playing)
    }

    /// Plays the notes of the sound check.
    pub(crate) fn check(&self) {
        self.feed.ask(SessionCue::SoundCheck);
    }

    /// Has a phrase said.
    pub(crate) fn say(&self, phrase: Phrase) {
        self.feed.say(phrase);
    }

    /// The sound of one stand.
    pub(crate) fn begin(&self, kind: TrialKind, limits: Thresholds) -> StandSound {
        StandSound::of(&self.feed, kind, limits)
    }
}

enum Cues {
    Measured(MeasuredFeed),
    Guided(GuidedFeed),
}

/// The cues of one stand.
pub(crate) struct StandSound {
    cues: Cues,
    limits: Thresholds,
    zone: WobbleZone,
    progress: Progress,
}

impl StandSound {
    /// The sound of a stand of this kind, into `feed`.
    pub(super) fn of(feed: &LiveFeed, kind: TrialKind, limits: Thresholds) -> Self {
        let cues = match kind {
            TrialKind::Guided => Cues::Guided(feed.begin_guided()),
            TrialKind::Measured | TrialKind::Practice => Cues::Measured(feed.begin_measured()),
        };
        Self { cues, limits, zone: WobbleZone::Unknown, progress: Progress::Waiting }
    }

    /// Takes where the stand is.
    pub(crate) fn progress(&mut self, at: &RecordProgress) {
        let seconds = |seconds: f64| Duration::from_secs_f64(seconds.max(0.0));
        self.progress = match at.stage {
            Stage::Recording => {
                let asked_s = at.asked_s.unwrap_or(0.0);
                Progress::Holding {
                    elapsed: seconds(at.elapsed_s),
                    left: seconds(asked_s - at.elapsed_s),
                }
            }
            Stage::Ended(Ending::HoldReached) => Progress::Ended,
            Stage::Ended(_) => Progress::Stopped,
            Stage::Zeroing { .. }
            | Stage::AwaitingLoad
            | Stage::AwaitingStillness
            | Stage::ConfirmingPerson { .. }
            | Stage::Settling => Progress::Waiting,
        };
        self.publish();
    }

    /// Takes the newest live numbers.
    pub(crate) fn live(&mut self, live: &LiveView) {
        if let Some(sway) = live.sway {
            self.zone = zone(sway.wobble_mm, &self.limits);
            self.publish();
        }
    }

    fn publish(&self) {
        match &self.cues {
            Cues::Measured(feed) => feed.publish(self.progress),
            Cues::Guided(feed) => {
                let guidance = Guidance { wobble: self.zone, position: Position::Held };
                feed.publish(self.progress, guidance);
            }
        }
    }
}

/// Where the wobble is against the plan's window.
pub(crate) fn zone(wobble_mm: f64, limits: &Thresholds) -> WobbleZone {
    if wobble_mm < limits.wobble_lower_mm {
        WobbleZone::Under
    } else if limits.wobble_upper_mm < wobble_mm {
        WobbleZone::Over
    } else {
        WobbleZone::Inside
    }
}
