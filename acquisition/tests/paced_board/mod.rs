//! A board that sends 1000 frames a second: what the tests of durability and delay stand on.

use std::thread;
use std::time::Duration;

use board_wire::{
    Answer, BoardId, Command, CommandDecoder, CommandEvent, Converter, Counts, FirmwareVersion,
    Frame, FrameRate, Gain, Header, NOMINAL, Outcome, Sequence, Status, Ticks, UniqueId,
};

/// Board time from one frame to the next.
pub(crate) const INTERVAL_US: u32 = 1_000;

/// Nobody stands on the board before this frame: long enough for a zero.
pub(crate) const STEP_ON_FRAME: u32 = 7_000;

/// Weight of whoever stands on it then, on each corner at rest: 60 kg in all.
const QUARTER_NEWTONS: f64 = 60.0 * 9.806_65 / 4.0;

/// The board's side of the conversation.
#[derive(Default)]
pub(crate) struct PacedBoard {
    decoder: CommandDecoder,
    answers: Vec<u8>,
    started: bool,
}

impl PacedBoard {
    /// Takes commands and keeps the answers to them.
    pub(crate) fn take(&mut self, bytes: &[u8]) {
        let (answers, started) = (&mut self.answers, &mut self.started);
        self.decoder.push(bytes, |event| {
            let CommandEvent::Command(command) = event else { return };
            *started |= command == Command::Start;
            if command == Command::Identify {
                answers.extend(header().encode().as_bytes());
                return;
            }
            let answer = Answer {
                board: header().board,
                command: command.code(),
                outcome: Outcome::Done,
                rate: header().rate,
                time: Ticks::from_us(0),
            };
            answers.extend(answer.encode().as_bytes());
        });
    }

    /// What comes before the next frame: answers that wait, or nothing for a while until the board
    /// is started. `None` if it is the frames' turn.
    pub(crate) fn read_before_frames(
        &mut self,
        buffer: &mut [u8],
        timeout: Duration,
    ) -> Option<usize> {
        if !self.answers.is_empty() {
            let n_bytes = self.answers.len().min(buffer.len());
            buffer[..n_bytes].copy_from_slice(&self.answers[..n_bytes]);
            self.answers.drain(..n_bytes);
            return Some(n_bytes);
        }
        if !self.started {
            thread::sleep(timeout);
            return Some(0);
        }
        None
    }
}

/// Counts of a frame: an empty board, then somebody who sways at 0.4 Hz.
pub(crate) fn counts(number: u32) -> [i32; 4] {
    if number < STEP_ON_FRAME {
        return [400, -1_200, 90, 5_000];
    }
    let t = f64::from(number - STEP_ON_FRAME) * f64::from(INTERVAL_US) * 1e-6;
    let lean = 0.05 * (std::f64::consts::TAU * 0.4 * t).sin();
    let shares = [1.0 + lean, 1.0 + lean, 1.0 - lean, 1.0 - lean];
    shares.map(|share| {
        #[expect(clippy::cast_possible_truncation, reason = "a person's weight fits 24 bits")]
        let counts = (share * QUARTER_NEWTONS / NOMINAL.newtons_per_count) as i32;
        counts
    })
}

/// A frame as it travels.
pub(crate) fn frame_bytes(number: u32) -> Vec<u8> {
    let frame = Frame {
        board: header().board,
        sequence: Sequence(number),
        time: Ticks::from_us(number.wrapping_mul(INTERVAL_US)),
        counts: counts(number).map(Counts::saturating),
        status: Status::CLEAR,
    };
    frame.encode().as_bytes().to_vec()
}

fn header() -> Header {
    Header {
        board: BoardId(3),
        unique_id: UniqueId(*b"paced board!"),
        firmware: FirmwareVersion { major: 1, minor: 0, patch: 0 },
        converter: Converter::Simulated,
        gain: Gain::DEFAULT,
        rate: FrameRate::MAX,
        temperature_centidegrees: 2_100,
        time: Ticks::from_us(0),
        uptime_s: 1,
        status: Status::CLEAR,
    }
}
