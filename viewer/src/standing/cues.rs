//! From a trial under way to what is heard: start and end for all, advice for guided ones alone.

use std::time::Duration;

use acquisition::{Ending, LiveView, Progress, Stage};
use analysis::{MeanPosition, TrialKind};

use crate::sound::{
    Guidance, GuidedFeed, LiveFeed, MeasuredFeed, Position, Progress as Heard, WobbleZone,
};

/// What a trial publishes for the sound.
pub(crate) struct Cues {
    feed: Feed,
    wobble_window_mm: [f64; 2],
    reference: Option<Reference>,
    heard: Heard,
}

/// Where the weight is to be, and how far it may go from there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reference {
    /// Where it stood at the start of the session.
    pub(crate) position: MeanPosition,
    /// How far it may go, in millimetres, before the reference's own uncertainty.
    pub(crate) tolerance_mm: f64,
}

enum Feed {
    Measured(MeasuredFeed),
    Guided(GuidedFeed),
}

impl Cues {
    /// For a trial of this kind.
    pub(crate) fn begin(sound: &LiveFeed, kind: TrialKind, wobble_window_mm: [f64; 2]) -> Self {
        let feed = match kind {
            TrialKind::Guided => Feed::Guided(sound.begin_guided()),
            TrialKind::Measured | TrialKind::Practice => Feed::Measured(sound.begin_measured()),
        };
        Self { feed, wobble_window_mm, reference: None, heard: Heard::Waiting }
    }

    /// Says where the weight is to be; without it nobody is told that the position is lost.
    pub(crate) fn set_reference(&mut self, reference: Option<Reference>) {
        self.reference = reference;
    }

    /// Takes where the trial stands.
    pub(crate) fn progress(&mut self, progress: &Progress) {
        self.heard = progress_of(progress);
        self.publish(progress.live.as_ref());
    }

    /// Takes the newest frame.
    pub(crate) fn live(&self, live: &LiveView) {
        if matches!(self.feed, Feed::Guided(_)) {
            self.publish(Some(live));
        }
    }

    fn publish(&self, live: Option<&LiveView>) {
        match &self.feed {
            Feed::Measured(feed) => feed.publish(self.heard),
            Feed::Guided(feed) => {
                let guidance = guidance_of(live, self.wobble_window_mm, self.reference);
                feed.publish(self.heard, guidance);
            }
        }
    }
}

/// Where a trial stands, as its cues see it.
pub(crate) fn progress_of(progress: &Progress) -> Heard {
    match progress.stage {
        Stage::Recording => {
            let elapsed = seconds(progress.elapsed_s);
            let asked = seconds(progress.asked_s.unwrap_or_default());
            Heard::Holding { elapsed, left: asked.saturating_sub(elapsed) }
        }
        Stage::Ended(Ending::HoldReached) => Heard::Ended,
        Stage::Ended(_) => Heard::Stopped,
        Stage::Zeroing { .. }
        | Stage::AwaitingLoad
        | Stage::AwaitingStillness
        | Stage::ConfirmingPerson { .. }
        | Stage::Settling => Heard::Waiting,
    }
}

/// What a guided trial is guided by.
pub(crate) fn guidance_of(
    live: Option<&LiveView>,
    window_mm: [f64; 2],
    reference: Option<Reference>,
) -> Guidance {
    Guidance { wobble: wobble_zone(live, window_mm), position: position_of(live, reference) }
}

/// Where the wobble of the last seconds lies against its window.
pub(crate) fn wobble_zone(live: Option<&LiveView>, window_mm: [f64; 2]) -> WobbleZone {
    zone_of(live.and_then(|live| live.sway).map(|sway| sway.wobble_mm), window_mm)
}

/// Whether the body centre of the last seconds is where the reference was.
pub(crate) fn position_of(live: Option<&LiveView>, reference: Option<Reference>) -> Position {
    let mean = live.and_then(|live| live.sway).map(|sway| sway.mean_body_centre);
    match (mean, reference) {
        (Some(mean), Some(Reference { position, tolerance_mm })) => {
            if position.is_left(mean, tolerance_mm) { Position::Lost } else { Position::Held }
        }
        _ => Position::Unknown,
    }
}

/// Where a wobble lies against its window, whose ends belong to it.
pub(crate) fn zone_of(wobble_mm: Option<f64>, [lower_mm, upper_mm]: [f64; 2]) -> WobbleZone {
    match wobble_mm {
        None => WobbleZone::Unknown,
        Some(wobble_mm) if wobble_mm < lower_mm => WobbleZone::Under,
        Some(wobble_mm) if upper_mm < wobble_mm => WobbleZone::Over,
        Some(_) => WobbleZone::Inside,
    }
}

fn seconds(seconds: f64) -> Duration {
    Duration::try_from_secs_f64(seconds.max(0.0)).unwrap_or_default()
}
