//! Frames in order: numbers and times that do not wrap, and what does not fit.

use board_wire::{BoardId, Frame, Ticks, TimeUnwrapper};

/// One conversion with a number and a time that do not wrap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BoardFrame {
    /// Board time, in microseconds, unwrapped; strictly increasing.
    pub time_us: u64,
    /// Number since the last start; strictly increasing, a jump is a loss.
    pub sequence: u64,
    /// Raw counts of the four corners, front left, front right, rear left, rear right.
    pub counts: [i32; 4],
    /// Status bits of the frame, as the wire format defines them.
    pub status: u16,
}

/// What becomes of one frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Placed {
    /// It follows what came before.
    Next(BoardFrame),
    /// Its number had been seen.
    Repeated,
    /// Its number, time and board do not fit together: damage that the CRC let pass.
    Implausible,
    /// A second frame in a row that fits the one set aside and not what came before.
    Restarted,
}

/// Frames closer together or farther apart than this share of their nominal distance do not fit:
/// boards were seen to run up to 18 % off their nominal rate.
const CLOSEST: f64 = 0.5;
const FARTHEST: f64 = 2.0;

/// Stamps may wander by this much, in microseconds, on boards that take them late.
const JITTER_US: f64 = 2_000.0;

/// Puts the frames of one start into order.
///
/// A 16-bit CRC lets about one damaged frame in 65,536 pass; so a frame is believed only if its
/// number and its time have moved on together.
#[derive(Debug)]
pub(super) struct FrameStream {
    board: BoardId,
    interval_us: f64,
    unwrapper: TimeUnwrapper,
    last: Option<(Frame, BoardFrame)>,
    set_aside: Option<Frame>,
}

impl FrameStream {
    /// For a board that was asked for `frames_per_s`.
    pub(super) fn new(board: BoardId, frames_per_s: u16) -> Self {
        Self {
            board,
            interval_us: 1e6 / f64::from(frames_per_s.max(1)),
            unwrapper: TimeUnwrapper::new(),
            last: None,
            set_aside: None,
        }
    }

    /// Takes the next frame in order of arrival.
    pub(super) fn place(&mut self, frame: &Frame) -> Placed {
        if frame.board != self.board {
            return Placed::Implausible;
        }
        let Some((last_frame, last)) = self.last else {
            return self.accept(frame, u64::from(frame.sequence.0));
        };
        if frame.sequence == last_frame.sequence {
            return Placed::Repeated;
        }
        if self.follows(&last_frame, frame) {
            let n_steps = frame.sequence.0.wrapping_sub(last_frame.sequence.0);
            return self.accept(frame, last.sequence + u64::from(n_steps));
        }
        match self.set_aside.replace(*frame) {
            Some(before) if self.follows(&before, frame) => Placed::Restarted,
            _ => Placed::Implausible,
        }
    }

    fn accept(&mut self, frame: &Frame, sequence: u64) -> Placed {
        let placed = BoardFrame {
            time_us: self.unwrapper.unwrap_us(frame.time),
            sequence,
            counts: frame.counts.map(board_wire::Counts::value),
            status: frame.status.bits(),
        };
        self.last = Some((*frame, placed));
        self.set_aside = None;
        Placed::Next(placed)
    }

    /// Whether number and time of `after` have moved on together from `before`.
    fn follows(&self, before: &Frame, after: &Frame) -> bool {
        let n_steps = after.sequence.0.wrapping_sub(before.sequence.0);
        let step_us = forward_us(before.time, after.time);
        if n_steps == 0 || n_steps >= 1 << 31 || step_us == 0 || step_us >= 1 << 31 {
            return false;
        }
        let nominal_us = f64::from(n_steps) * self.interval_us;
        let step_us = f64::from(step_us);
        CLOSEST * nominal_us - JITTER_US <= step_us && step_us <= FARTHEST * nominal_us + JITTER_US
    }
}

fn forward_us(before: Ticks, after: Ticks) -> u32 {
    after.us().wrapping_sub(before.us())
}

#[cfg(test)]
mod tests {
    use board_wire::{Counts, Sequence, Status};
    use proptest::prelude::*;

    use super::*;

    const BOARD: BoardId = BoardId(7);

    fn frame(sequence: u32, us: u32) -> Frame {
        Frame {
            board: BOARD,
            sequence: Sequence(sequence),
            time: Ticks::from_us(us),
            counts: [Counts::saturating(-5); 4],
            status: Status::CLEAR,
        }
    }

    fn place_all(frames: &[Frame]) -> Vec<Placed> {
        let mut stream = FrameStream::new(BOARD, 250);
        frames.iter().map(|frame| stream.place(frame)).collect()
    }

    fn numbers(placed: &[Placed]) -> Vec<Option<(u64, u64)>> {
        let number = |placed: &Placed| match placed {
            Placed::Next(frame) => Some((frame.sequence, frame.time_us)),
            _ => None,
        };
        placed.iter().map(number).collect()
    }

    #[test]
    fn time_and_number_go_on_where_their_counters_wrap() {
        let last = u32::MAX;
        let placed = place_all(&[frame(last - 1, last - 3_999), frame(last, 0), frame(0, 4_000)]);
        let wrap = 1_u64 << 32;
        let wanted =
            [(wrap - 2, wrap - 4_000), (wrap - 1, wrap), (wrap, wrap + 4_000)].map(Some).to_vec();
        assert_eq!(numbers(&placed), wanted);
    }

    #[test]
    fn a_gap_shows_in_the_numbers() {
        let placed = place_all(&[frame(10, 40_000), frame(13, 52_000), frame(1013, 4_052_000)]);
        let wanted = [(10, 40_000), (13, 52_000), (1013, 4_052_000)].map(Some).to_vec();
        assert_eq!(numbers(&placed), wanted);
    }

    #[test]
    fn a_computer_that_slept_sees_a_gap_of_its_length_or_a_board_begun_anew() {
        // Ten minutes: the board went on, number and time say by how much.
        let placed = place_all(&[frame(10, 40_000), frame(150_010, 600_040_000)]);
        assert_eq!(numbers(&placed), [(10, 40_000), (150_010, 600_040_000)].map(Some));
        // 72 minutes, after which the time stamps have wrapped once: never a gap of 25 seconds.
        let slept = |steps: u32, extra: u32| {
            frame(10 + steps + extra, 40_000_u32.wrapping_add((steps + extra).wrapping_mul(4_000)))
        };
        let steps = 72 * 60 * 250;
        let placed = place_all(&[frame(10, 40_000), slept(steps, 0), slept(steps, 1)]);
        assert_eq!(placed[1..], [Placed::Implausible, Placed::Restarted]);
    }

    #[test]
    fn a_number_or_a_time_out_of_step_is_damage_and_the_next_frame_goes_on() {
        for wrong in
            [frame(500_000, 8_000), frame(2, 900_000_000), frame(2, 4_000), frame(0, 8_000)]
        {
            let placed = place_all(&[frame(1, 4_000), wrong, frame(3, 12_000)]);
            assert_eq!(placed[1], Placed::Implausible, "{wrong:?}");
            assert!(matches!(placed[2], Placed::Next(_)), "{wrong:?}");
        }
        let stranger = Frame { board: BoardId(8), ..frame(2, 8_000) };
        assert_eq!(place_all(&[frame(1, 4_000), stranger])[1], Placed::Implausible);
    }

    #[test]
    fn the_same_number_again_is_a_repeat() {
        assert_eq!(place_all(&[frame(1, 4_000), frame(1, 4_000)])[1], Placed::Repeated);
    }

    #[test]
    fn a_board_that_counts_from_the_start_again_is_seen_at_its_second_frame() {
        let placed = place_all(&[frame(900, 3_600_000), frame(0, 100), frame(1, 4_100)]);
        assert_eq!(placed[1..], [Placed::Implausible, Placed::Restarted]);
    }

    proptest! {
        #[test]
        fn whatever_comes_times_and_numbers_only_grow(
            steps in prop::collection::vec((any::<u32>(), any::<u32>(), 0_u8..4), 1..60),
        ) {
            let mut stream = FrameStream::new(BOARD, 250);
            let (mut sequence, mut us, mut last) = (0_u32, 0_u32, None);
            for (number, time, sane) in steps {
                // Three in four go on by one interval, the rest are anything at all.
                let next = if sane < 3 {
                    (sequence, us) = (sequence.wrapping_add(1), us.wrapping_add(4_000));
                    frame(sequence, us)
                } else {
                    frame(number, time)
                };
                if let Placed::Next(placed) = stream.place(&next) {
                    if let Some((sequence, time_us)) = last {
                        prop_assert!(sequence < placed.sequence && time_us < placed.time_us);
                    }
                    last = Some((placed.sequence, placed.time_us));
                }
            }
        }
    }
}
