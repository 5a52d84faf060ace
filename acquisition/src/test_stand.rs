//! A stand for tests: what a board of 400 mm reads, second by second, and the same on the cable.

use board_wire::{
    BoardId, Converter, Counts, FirmwareVersion, Frame, FrameRate, Gain, Header, Sequence, Status,
    Ticks, UniqueId,
};

use crate::board_session::BoardFrame;
use crate::calibration::tests::square_board;
use crate::recorder::STANDARD_GRAVITY;
use crate::zero::Zero;

/// What the empty board reads, in newtons; the plate and four imperfect cells.
const EMPTY_NEWTONS: [f64; 4] = [12.0, 15.0, -3.0, 20.0];

/// Frames of one stand, made in order of time.
pub(crate) struct Stand {
    pub(crate) frames: Vec<BoardFrame>,
    interval_us: u64,
    next: u64,
}

impl Stand {
    /// A board that sends `frames_per_s`, switched on just now.
    pub(crate) fn at(frames_per_s: u64) -> Self {
        Self { frames: Vec::new(), interval_us: 1_000_000 / frames_per_s, next: 0 }
    }

    /// Four corners that carry these forces for so long; `force` gets the seconds since its begin.
    pub(crate) fn carries(mut self, seconds: f64, force: impl Fn(f64) -> [f64; 4]) -> Self {
        let end = self.next + n_frames(seconds, self.interval_us);
        let begin = self.next;
        while self.next < end {
            let forces = force(((self.next - begin) * self.interval_us) as f64 * 1e-6);
            let counts = std::array::from_fn(|corner| {
                let newtons = EMPTY_NEWTONS[corner] + forces[corner];
                counts_from_newtons(newtons, square_board().newtons_per_count[corner])
            });
            let time_us = self.next * self.interval_us;
            self.frames.push(BoardFrame { time_us, sequence: self.next, counts, status: 0 });
            self.next += 1;
        }
        self
    }

    /// Nobody on the board.
    pub(crate) fn empty(self, seconds: f64) -> Self {
        self.carries(seconds, |_| [0.0; 4])
    }

    /// Somebody who sways by a centimetre or two at 0.3 Hz.
    pub(crate) fn person(self, seconds: f64, mass_kg: f64) -> Self {
        self.carries(seconds, |t| {
            let lean = 0.05 * (std::f64::consts::TAU * 0.3 * t).sin();
            let quarter = mass_kg * STANDARD_GRAVITY / 4.0;
            [1.0 + lean, 1.0 + lean, 1.0 - lean, 1.0 - lean].map(|share| share * quarter)
        })
    }

    /// Frames that never arrive.
    pub(crate) fn loses(mut self, seconds: f64) -> Self {
        self.next += n_frames(seconds, self.interval_us);
        self
    }

    /// The stand as the board sends it, a header first.
    pub(crate) fn on_the_cable(&self) -> Vec<u8> {
        let mut bytes = self.header().encode().as_bytes().to_vec();
        for frame in &self.frames {
            bytes.extend(wire_frame(frame).encode().as_bytes());
        }
        bytes
    }

    /// Who the board is.
    pub(crate) fn header(&self) -> Header {
        let frames_per_s = u16::try_from(1_000_000 / self.interval_us).unwrap();
        Header {
            board: BoardId(7),
            unique_id: UniqueId([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]),
            firmware: FirmwareVersion { major: 1, minor: 0, patch: 0 },
            converter: Converter::Simulated,
            gain: Gain::DEFAULT,
            rate: FrameRate::new(frames_per_s).unwrap(),
            temperature_centidegrees: 2_150,
            time: Ticks::from_us(0),
            uptime_s: 0,
            status: Status::CLEAR,
        }
    }
}

/// How far a zero is from what the empty board reads, in counts of the worst corner.
pub(crate) fn zero_error_counts(zero: &Zero) -> f64 {
    let gains = square_board().newtons_per_count;
    let wanted = EMPTY_NEWTONS.iter().zip(gains).map(|(newtons, gain)| newtons / gain);
    zero.counts.iter().zip(wanted).map(|(found, wanted)| (found - wanted).abs()).fold(0.0, f64::max)
}

/// A frame as the board sends it.
pub(crate) fn wire_frame(frame: &BoardFrame) -> Frame {
    Frame {
        board: BoardId(7),
        sequence: Sequence(u32::try_from(frame.sequence).unwrap()),
        time: Ticks::from_us(u32::try_from(frame.time_us).unwrap()),
        counts: frame.counts.map(|counts| Counts::new(counts).unwrap()),
        status: Status::from_bits(frame.status),
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "test lengths")]
fn n_frames(seconds: f64, interval_us: u64) -> u64 {
    (seconds * 1e6).round() as u64 / interval_us
}

#[expect(clippy::cast_possible_truncation, reason = "the forces of a stand fit 24 bits")]
fn counts_from_newtons(newtons: f64, newtons_per_count: f64) -> i32 {
    (newtons / newtons_per_count).round() as i32
}
