//! The empty board once more, after the person has stepped off.

use super::policy::{
    STEP_OFF_PATIENCE_S, STEPPED_OFF_NEWTONS, ZERO_AFTER_PATIENCE_S, ZERO_AFTER_REST_S,
};
use super::zero_keeper::ZeroKeeper;
use crate::board_session::BoardFrame;
use crate::calibration::Calibration;
use crate::forces::forces_from_counts;
use crate::zero::Zero;

/// What the frames after a record say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Afterwards {
    /// Go on.
    Waiting,
    /// The zero after.
    Zero(Zero),
    /// There will be none: nobody stepped off, or the board did not come to rest.
    None,
}

/// Waits for the load to leave and for creep to return, then reads the zero. It never learns
/// anything while something is on the board.
#[derive(Debug)]
pub(super) struct ZeroAfter {
    before: Zero,
    begun_us: u64,
    empty_since_us: Option<u64>,
    keeper: ZeroKeeper,
}

impl ZeroAfter {
    /// After a record that ended at `now_us` of board time and began with the zero `before`.
    pub(super) fn new(before: Zero, now_us: u64) -> Self {
        let keeper = ZeroKeeper::default();
        Self { before, begun_us: now_us, empty_since_us: None, keeper }
    }

    /// Takes the next frame.
    pub(super) fn push(&mut self, frame: &BoardFrame, calibration: &Calibration) -> Afterwards {
        let load: f64 = forces_from_counts(frame.counts, &self.before, calibration).iter().sum();
        if STEPPED_OFF_NEWTONS <= load {
            self.empty_since_us = None;
            self.keeper = ZeroKeeper::default();
            let waited_s = seconds(frame.time_us.saturating_sub(self.begun_us));
            return if waited_s < STEP_OFF_PATIENCE_S {
                Afterwards::Waiting
            } else {
                Afterwards::None
            };
        }
        let since_us = *self.empty_since_us.get_or_insert(frame.time_us);
        let empty_s = seconds(frame.time_us - since_us);
        if empty_s < ZERO_AFTER_REST_S {
            return Afterwards::Waiting;
        }
        self.keeper.push(frame, calibration);
        match self.keeper.zero() {
            Some(zero) => Afterwards::Zero(zero),
            None if ZERO_AFTER_PATIENCE_S <= empty_s => Afterwards::None,
            None => Afterwards::Waiting,
        }
    }
}

fn seconds(us: u64) -> f64 {
    us as f64 / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::tests::square_board;
    use crate::test_stand::{Stand, zero_error_counts};

    /// Runs the frames after the first seven empty seconds; gives what came of it and when.
    fn run(stand: &Stand) -> (Afterwards, u64) {
        let mut keeper = ZeroKeeper::default();
        let (first, rest) = stand.frames.split_at(7 * 250);
        for frame in first {
            keeper.push(frame, &square_board());
        }
        let mut after = ZeroAfter::new(keeper.zero().unwrap(), rest[0].time_us);
        for frame in rest {
            match after.push(frame, &square_board()) {
                Afterwards::Waiting => {}
                found => return (found, frame.time_us),
            }
        }
        panic!("the frames ended first");
    }

    #[test]
    fn the_zero_after_is_read_ten_seconds_after_stepping_off() {
        let (found, when_us) = run(&Stand::at(250).empty(7.0).person(5.0, 60.0).empty(30.0));
        let Afterwards::Zero(zero) = found else { panic!("{found:?}") };
        assert!(zero_error_counts(&zero) < 1e-6, "{zero:?}");
        // Off at 12 s, ten of rest, five to read; the sixth second shows that the fifth is whole.
        assert_eq!(when_us, 27_000_000);
        assert_eq!(zero.board_time_us, 24_500_000);
    }

    #[test]
    fn somebody_who_stays_on_gives_no_zero_and_is_not_waited_for_long() {
        let (found, when_us) = run(&Stand::at(250).empty(7.0).person(60.0, 60.0));
        assert_eq!((found, when_us), (Afterwards::None, 22_000_000));
    }

    #[test]
    fn somebody_who_steps_on_again_is_in_no_zero() {
        let again = Stand::at(250).empty(7.0).person(5.0, 60.0).empty(11.0).person(2.0, 60.0);
        let (found, when_us) = run(&again.empty(30.0));
        assert_eq!(found, Afterwards::None, "{when_us}: the patience is over when they step on");
        let sooner = Stand::at(250).empty(7.0).person(1.0, 60.0).empty(3.0).person(2.0, 60.0);
        let (found, _) = run(&sooner.empty(30.0));
        let Afterwards::Zero(zero) = found else { panic!("{found:?}") };
        assert!(zero_error_counts(&zero) < 1e-6, "{zero:?}");
    }

    #[test]
    fn a_board_that_does_not_come_to_rest_gives_no_zero() {
        let stand = Stand::at(250).empty(7.0).carries(60.0, |t| [0.0, 0.0, 0.2 * t, 0.0]);
        let (found, _) = run(&stand);
        assert_eq!(found, Afterwards::None);
    }
}
