//! Moves bytes between the virtual board and its cable, at the pace asked for.

use std::str::FromStr;
use std::time::{Duration, Instant};

use board_simulator::board::{Board, Cable};

use crate::line::Line;
use crate::truth_file::TruthFile;

/// Bytes a board holds for a reader that is late; more is lost, as on a real board.
const RING_BYTES: usize = 4096;

/// Frames made in a row before commands are looked at again.
const FRAMES_IN_A_ROW: u32 = 64;

/// How fast board time goes by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Pace {
    /// This many times as fast as real time.
    Times(f64),
    /// As fast as the reader takes the frames.
    Max,
}

/// `max`, or a number above 0.
impl FromStr for Pace {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.parse::<f64>() {
            Ok(times) if times.is_finite() && 0.0 < times => Ok(Self::Times(times)),
            _ if text == "max" => Ok(Self::Max),
            _ => Err(format!("{text:?} is neither max nor a number above 0")),
        }
    }
}

/// How a board is run.
pub(crate) struct Conditions {
    pub(crate) pace: Pace,
    pub(crate) truth: Option<TruthFile>,
    /// Said instead of the board's answers.
    pub(crate) other_speech: Option<&'static [u8]>,
    /// Whether the first host's going is the end.
    pub(crate) once: bool,
}

/// Runs until the cable is pulled or, if asked so, the first host has gone; gives the board back
/// with what it was run under.
pub(crate) fn run(
    board: Board,
    line: Box<dyn Line>,
    conditions: Conditions,
) -> anyhow::Result<(Cable, Board, Conditions)> {
    let once = conditions.once;
    let mut runner = Runner {
        board,
        line,
        conditions,
        outbox: Vec::new(),
        started: Instant::now(),
        n_frames: 0,
    };
    let mut was_open = false;
    loop {
        if runner.make_frames()? == Cable::Unplugged {
            return Ok((Cable::Unplugged, runner.board, runner.conditions));
        }
        runner.exchange()?;
        if once && was_open && !runner.line.is_open() {
            return Ok((Cable::Sound, runner.board, runner.conditions));
        }
        was_open = runner.line.is_open();
    }
}

struct Runner {
    board: Board,
    line: Box<dyn Line>,
    conditions: Conditions,
    outbox: Vec<u8>,
    /// When the host said start.
    started: Instant,
    /// Frames due since then.
    n_frames: u32,
}

impl Runner {
    /// Makes the frames that are due, and says what the cable then does.
    fn make_frames(&mut self) -> anyhow::Result<Cable> {
        let mut packets = Vec::new();
        for _frame in 0..FRAMES_IN_A_ROW {
            if !self.frame_is_due() {
                break;
            }
            packets.clear();
            let made = self.board.next_frame(&mut packets);
            self.n_frames += 1;
            if let (Some(truth), Some(file)) = (made, &mut self.conditions.truth) {
                file.write(truth)?;
            }
            if self.line.is_open() && self.outbox.len() + packets.len() <= RING_BYTES {
                self.outbox.extend_from_slice(&packets);
            }
            if self.board.cable() == Cable::Unplugged {
                self.flush_truth()?;
                return Ok(Cable::Unplugged);
            }
        }
        Ok(self.board.cable())
    }

    fn frame_is_due(&self) -> bool {
        self.board.is_streaming()
            && match self.conditions.pace {
                Pace::Times(_) => self.time_to_frame() == Some(Duration::ZERO),
                // With nobody there, nothing is taken, so time stands still; a stalled cable takes
                // nothing either, yet board time must pass for it to end.
                Pace::Max => {
                    self.line.is_open()
                        && (self.outbox.len() < RING_BYTES / 2
                            || self.board.cable() == Cable::Stalled)
                }
            }
    }

    /// How long until the next frame is due; `None` if none ever is.
    fn time_to_frame(&self) -> Option<Duration> {
        if !self.board.is_streaming() {
            return None;
        }
        let Pace::Times(times) = self.conditions.pace else { return None };
        let due_s = f64::from(self.n_frames) * self.board.frame_interval_s() / times;
        Some(Duration::from_secs_f64(due_s).saturating_sub(self.started.elapsed()))
    }

    fn exchange(&mut self) -> anyhow::Result<()> {
        let stalled = self.board.cable() == Cable::Stalled;
        let to_send = !self.outbox.is_empty() && !stalled;
        let timeout = if self.frame_is_due() { Some(Duration::ZERO) } else { self.time_to_frame() };
        self.line.wait(to_send, timeout)?;

        let mut heard = Vec::new();
        self.line.read(&mut heard)?;
        if !heard.is_empty() {
            let was_streaming = self.board.is_streaming();
            match self.conditions.other_speech {
                None => self.board.receive(&heard, &mut self.outbox),
                Some(speech) => self.outbox.extend_from_slice(speech),
            }
            if was_streaming != self.board.is_streaming() {
                self.started = Instant::now();
                self.n_frames = 0;
                self.flush_truth()?;
            }
        }

        if !self.line.is_open() {
            self.outbox.clear();
        } else if !self.outbox.is_empty() && !stalled {
            let n_sent = self.line.write(&self.outbox)?;
            self.outbox.drain(..n_sent);
        }
        Ok(())
    }

    fn flush_truth(&mut self) -> anyhow::Result<()> {
        if let Some(file) = &mut self.conditions.truth {
            file.flush()?;
        }
        Ok(())
    }
}
