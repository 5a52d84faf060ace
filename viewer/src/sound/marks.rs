//! Cues as marks to be seen, for who hears none: the same advice, in the same order, with the same
//! patience. A cue sounds for a moment; its mark stands for as long as what it says lasts.

use std::time::Duration;

use super::cue::{Cue, GuidedCue};
use super::guidance::{Advisor, Guidance};
use super::trial_cues::{Progress, TEN_LEFT, has_ten_left};

/// So long the mark of the beginning stands (our own choice).
const BEGINS: Duration = Duration::from_secs(2);

/// The marks of one stand.
#[derive(Debug, Clone, Default)]
pub(crate) struct CueMarks {
    advisor: Advisor,
}

impl CueMarks {
    /// The mark of a stand that shows nothing but its beginning and its end.
    pub(crate) fn measured(progress: Progress) -> Option<Cue> {
        match progress {
            Progress::Waiting => None,
            Progress::Holding { elapsed, .. } => (elapsed < BEGINS).then_some(Cue::Start),
            Progress::Ended => Some(Cue::End),
            Progress::Stopped => Some(Cue::Stop),
        }
    }

    /// The mark of a guided stand; to be asked some times a second.
    pub(crate) fn guided(&mut self, progress: Progress, guidance: Guidance) -> Option<Cue> {
        let Progress::Holding { elapsed, left } = progress else { return Self::measured(progress) };
        // For the time of each state alone: nothing is said.
        self.advisor.advise(elapsed, guidance, false);
        let advice = self.advisor.lasting().map(|advice| GuidedCue::from(advice).into());
        let ten_left = left <= TEN_LEFT && has_ten_left(elapsed + left);
        Self::measured(progress).or(advice).or(ten_left.then_some(Cue::TenSecondsLeft))
    }
}

#[cfg(test)]
mod tests {
    use super::super::guidance::{Position, WobbleZone};
    use super::*;

    const WELL: Guidance = Guidance { wobble: WobbleZone::Inside, position: Position::Held };

    /// The marks of a hold, each with the time in milliseconds from which it stands.
    fn marks(hold_s: u64, guidance: impl Fn(u64) -> Guidance) -> Vec<(u64, Option<Cue>)> {
        let mut marks = CueMarks::default();
        let mut seen: Vec<(u64, Option<Cue>)> = Vec::new();
        for at in (0..hold_s * 1000).step_by(50) {
            let [elapsed, left] = [at, hold_s * 1000 - at].map(Duration::from_millis);
            let progress = Progress::Holding { elapsed, left };
            let mark = marks.guided(progress, guidance(at));
            if seen.last().is_none_or(|(_, last)| *last != mark) {
                seen.push((at, mark));
            }
        }
        seen
    }

    #[test]
    fn while_all_is_well_only_the_frame_is_seen() {
        let frame = [(0, Some(Cue::Start)), (2_000, None)];
        assert_eq!(marks(15, |_| WELL), frame);
        let [begin, quiet] = frame;
        assert_eq!(marks(20, |_| WELL), [begin, quiet, (10_000, Some(Cue::TenSecondsLeft))]);
    }

    #[test]
    fn calmer_is_seen_before_back_to_the_middle() {
        let both = Guidance { wobble: WobbleZone::Over, position: Position::Lost };
        let lost = Guidance { wobble: WobbleZone::Inside, position: Position::Lost };
        let found = marks(15, |at| if at < 8_000 { both } else { lost });
        // Too much is over once the wobble has been less for a second.
        assert_eq!(
            found,
            [(0, Some(Cue::Start)), (2_000, Some(Cue::TooMuch)), (9_000, Some(Cue::PositionLost))]
        );
    }

    #[test]
    fn at_the_edge_of_the_window_a_mark_stands_still_and_a_moment_beyond_it_shows_none() {
        let over = Guidance { wobble: WobbleZone::Over, ..WELL };
        let hovers = marks(15, |at| if at % 500 < 250 { over } else { WELL });
        assert_eq!(hovers, [(0, Some(Cue::Start)), (2_000, Some(Cue::TooMuch))]);
        let moment = marks(15, |at| if (5_000..5_300).contains(&at) { over } else { WELL });
        assert_eq!(moment, [(0, Some(Cue::Start)), (2_000, None)]);
        let little = Guidance { wobble: WobbleZone::Under, ..WELL };
        let waits = marks(15, |at| if at < 4_000 { WELL } else { little });
        assert_eq!(waits.last(), Some(&(7_000, Some(Cue::TooLittle))), "three seconds of patience");
    }
}
