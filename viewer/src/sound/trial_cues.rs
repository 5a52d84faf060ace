//! Which cue is due, from the state of a trial alone.

use std::time::Duration;

use super::cue::{GuidedCue, MeasuredCue};
use super::guidance::{Advice, Advisor, Guidance};

/// Where a stand is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Not begun.
    Waiting,
    /// Under way.
    Holding {
        /// Time since it began.
        elapsed: Duration,
        /// Time until the hold is reached.
        left: Duration,
    },
    /// The hold was reached.
    Ended,
    /// It ended before that.
    Stopped,
}

/// A start that was not said by then is not said any more: it would be untrue. So it is when the
/// sound device is opened in the middle of a stand.
const LATEST_START: Duration = Duration::from_millis(500);

/// When "ten seconds left" is said.
pub(super) const TEN_LEFT: Duration = Duration::from_secs(10);

/// Holds shorter than this are without it: it would follow the start too closely (our own choice).
const SHORTEST_WITH_TEN_LEFT: Duration = Duration::from_secs(20);

/// Whether a hold of such a length has its "ten seconds left".
pub(super) fn has_ten_left(hold: Duration) -> bool {
    SHORTEST_WITH_TEN_LEFT <= hold
}

/// No advice comes so shortly before "ten seconds left" or the end that it would run into it (our
/// own choice; the longest advice lasts 0.9 s).
const CLEAR_BEFORE: Duration = Duration::from_millis(1_500);

/// Start and end, each said once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Bounds {
    #[default]
    Before,
    Within,
    After,
}

enum Crossing {
    Start,
    End,
    Stop,
}

impl Bounds {
    fn advance(&mut self, progress: Progress) -> Option<Crossing> {
        match (*self, progress) {
            (Self::Before, Progress::Holding { elapsed, .. }) => {
                *self = Self::Within;
                (elapsed <= LATEST_START).then_some(Crossing::Start)
            }
            (Self::Within, Progress::Ended) => {
                *self = Self::After;
                Some(Crossing::End)
            }
            (Self::Within, Progress::Stopped) => {
                *self = Self::After;
                Some(Crossing::Stop)
            }
            _ => None,
        }
    }
}

/// The cues of a measured or practice trial: start and end. It is told nothing else and can say
/// nothing else.
#[derive(Debug, Clone, Default)]
pub struct MeasuredTrial {
    bounds: Bounds,
}

impl MeasuredTrial {
    /// The cue that is due, if any. A stand that never began has no end either.
    pub fn cue(&mut self, progress: Progress) -> Option<MeasuredCue> {
        self.bounds.advance(progress).map(|crossing| match crossing {
            Crossing::Start => MeasuredCue::Start,
            Crossing::End | Crossing::Stop => MeasuredCue::End,
        })
    }
}

/// The cues of a guided trial.
#[derive(Debug, Clone, Default)]
pub struct GuidedTrial {
    bounds: Bounds,
    advisor: Advisor,
    ten_left_is_over: bool,
}

impl GuidedTrial {
    /// The cue that is due, if any; to be asked at least every 20 ms.
    ///
    /// `now` is any clock that only goes forward; `progress` and `guidance` are the newest known.
    pub fn cue(
        &mut self,
        now: Duration,
        progress: Progress,
        guidance: Guidance,
    ) -> Option<GuidedCue> {
        if let Some(crossing) = self.bounds.advance(progress) {
            return Some(match crossing {
                Crossing::Start => {
                    self.advisor.hush(now);
                    GuidedCue::Start
                }
                Crossing::End => GuidedCue::End,
                Crossing::Stop => GuidedCue::Stop,
            });
        }
        let (Bounds::Within, Progress::Holding { elapsed, left }) = (self.bounds, progress) else {
            return None;
        };
        let has_ten_left = has_ten_left(elapsed + left);
        if left <= TEN_LEFT && !self.ten_left_is_over {
            self.ten_left_is_over = true;
            // Said late it would be untrue.
            if has_ten_left && TEN_LEFT <= left + Duration::from_millis(500) {
                self.advisor.hush(now);
                return Some(GuidedCue::TenSecondsLeft);
            }
        }
        let before_end = left <= CLEAR_BEFORE;
        let before_ten_left =
            has_ten_left && !self.ten_left_is_over && left <= TEN_LEFT + CLEAR_BEFORE;
        let free = !before_end && !before_ten_left;
        self.advisor.advise(now, guidance, free).map(GuidedCue::from)
    }
}

impl From<Advice> for GuidedCue {
    fn from(advice: Advice) -> Self {
        match advice {
            Advice::TooMuch => Self::TooMuch,
            Advice::PositionLost => Self::PositionLost,
            Advice::TooLittle => Self::TooLittle,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sound::guidance::{Position, WobbleZone};

    fn ms(ms: u64) -> Duration {
        Duration::from_millis(ms)
    }

    /// All cues of a hold with their times in milliseconds, asked every 10 ms.
    fn guided(hold_s: u64, guidance: impl Fn(u64) -> Guidance) -> Vec<(u64, GuidedCue)> {
        let mut trial = GuidedTrial::default();
        let mut cues = Vec::new();
        for at in (0..hold_s * 1000 + 2000).step_by(10) {
            let progress = if at < hold_s * 1000 {
                Progress::Holding { elapsed: ms(at), left: ms(hold_s * 1000 - at) }
            } else {
                Progress::Ended
            };
            cues.extend(trial.cue(ms(at), progress, guidance(at)).map(|cue| (at, cue)));
        }
        cues
    }

    const WELL: Guidance = Guidance { wobble: WobbleZone::Inside, position: Position::Held };

    #[test]
    fn while_all_is_well_only_the_frame_is_heard() {
        assert_eq!(
            guided(30, |_| WELL),
            [(0, GuidedCue::Start), (20_000, GuidedCue::TenSecondsLeft), (30_000, GuidedCue::End)]
        );
        assert_eq!(guided(15, |_| WELL), [(0, GuidedCue::Start), (15_000, GuidedCue::End)]);
    }

    #[test]
    fn a_measured_trial_has_start_and_end_once_each_however_it_ends() {
        for ending in [Progress::Ended, Progress::Stopped] {
            let mut trial = MeasuredTrial::default();
            let holding = |s| Progress::Holding { elapsed: ms(s), left: ms(60_000 - s) };
            let states = [
                Progress::Waiting,
                holding(0),
                holding(30_000),
                holding(55_000),
                ending,
                Progress::Ended,
                Progress::Stopped,
                holding(1),
            ];
            let cues: Vec<_> = states.into_iter().filter_map(|s| trial.cue(s)).collect();
            assert_eq!(cues, [MeasuredCue::Start, MeasuredCue::End]);
        }
    }

    #[test]
    fn a_stand_that_never_began_is_silent() {
        let mut trial = GuidedTrial::default();
        assert_eq!(trial.cue(ms(0), Progress::Waiting, WELL), None);
        assert_eq!(trial.cue(ms(10), Progress::Stopped, WELL), None);
    }

    #[test]
    fn a_step_off_is_heard_as_stop() {
        let mut trial = GuidedTrial::default();
        let holding = Progress::Holding { elapsed: ms(0), left: ms(30_000) };
        assert_eq!(trial.cue(ms(0), holding, WELL), Some(GuidedCue::Start));
        assert_eq!(trial.cue(ms(10), Progress::Stopped, WELL), Some(GuidedCue::Stop));
        assert_eq!(trial.cue(ms(20), Progress::Stopped, WELL), None);
    }

    /// Advice that runs into the two fixed cues would make three of one.
    #[test]
    fn advice_keeps_clear_of_the_fixed_cues() {
        for shift in (0..4000).step_by(130) {
            let bad = Guidance { wobble: WobbleZone::Over, position: Position::Lost };
            let cues = guided(30, |at| if at < 3000 + shift { WELL } else { bad });
            for pair in cues.windows(2) {
                let apart = pair[1].0 - pair[0].0;
                assert!(1_500 <= apart, "{pair:?}");
            }
            assert!(cues.contains(&(20_000, GuidedCue::TenSecondsLeft)));
        }
    }
}
