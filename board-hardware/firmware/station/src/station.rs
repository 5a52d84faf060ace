//! The board's one loop, without its pins.

use board_wire::{
    Answer, BoardId, Command, CommandCode, CommandDecoder, CommandEvent, Counts, FirmwareVersion,
    Frame, FrameRate, Header, Outcome, Packet, SelfTestReport, Sequence, Status, Ticks,
    TimeUnwrapper, UniqueId,
};

use crate::bridge::{Bridge, Input};
use crate::ready_latch::Edge;
use crate::self_test::{Findings, Next, SelfTest};
use crate::transmit_ring::TransmitRing;

/// Version told in the header.
pub const FIRMWARE_VERSION: FirmwareVersion = FirmwareVersion { major: 1, minor: 0, patch: 0 };

/// A header goes out between frames this often.
const HEADER_EVERY_US: u64 = 10_000_000;

/// Conversions that may fail in a row before the converter is set up again: 0.1 s at 250 frames/s.
const FAILURES_TO_SET_UP: u32 = 25;

/// Failures in a row after which only a restart is left: the watchdog is no longer fed.
const FAILURES_TO_GIVE_UP: u32 = 250;

/// Commands that may arrive in one call; a host that sends more at once is not ours.
const MAX_COMMANDS_AT_ONCE: usize = 8;

/// Who the board is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Identity {
    /// Number set on the board.
    pub board: BoardId,
    /// The microcontroller's own number.
    pub unique_id: UniqueId,
}

/// Why the board began to run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResetCause {
    /// Power came on, or somebody pressed reset.
    PowerOn,
    /// The supply fell below its limit.
    BrownOut,
    /// The watchdog was not fed.
    Watchdog,
}

/// The board: edges, bytes and time in; bytes out.
#[derive(Debug)]
pub struct Station<B> {
    bridge: B,
    identity: Identity,
    decoder: CommandDecoder,
    ring: TransmitRing,
    clock: TimeUnwrapper,
    now_us: u64,
    rate: FrameRate,
    temperature_centidegrees: i16,
    /// Whether the converter took its settings.
    answers: bool,
    n_failures: u32,
    /// When the last conversion came, or should have.
    last_edge_us: u64,
    last_counts: [Counts; 4],
    /// Flags to raise on the next frame.
    frame_news: Status,
    /// Flags to raise in the next header.
    header_news: Status,
    work: Work,
}

/// What the station is busy with.
#[derive(Debug)]
enum Work {
    Idle,
    Streaming { sequence: Sequence, last_header_us: u64 },
    Testing(SelfTest),
}

impl<B: Bridge> Station<B> {
    /// A station that has just begun to run, at the default rate.
    pub fn new(bridge: B, identity: Identity, reset: ResetCause) -> Self {
        let news = match reset {
            ResetCause::PowerOn => Status::CLEAR,
            ResetCause::BrownOut => Status::BROWN_OUT,
            ResetCause::Watchdog => Status::WATCHDOG_RESTART,
        };
        let mut station = Self {
            bridge,
            identity,
            decoder: CommandDecoder::new(),
            ring: TransmitRing::new(),
            clock: TimeUnwrapper::new(),
            now_us: 0,
            rate: FrameRate::DEFAULT,
            temperature_centidegrees: 0,
            answers: false,
            n_failures: 0,
            last_edge_us: 0,
            last_counts: [Counts::default(); 4],
            frame_news: news,
            header_news: news,
            work: Work::Idle,
        };
        station.set_up();
        station
    }

    /// Whether conversions are being used: for frames or for a self-test.
    pub const fn is_converting(&self) -> bool {
        !matches!(self.work, Work::Idle)
    }

    /// Frames per second in force.
    pub const fn rate(&self) -> FrameRate {
        self.rate
    }

    /// Whether the watchdog may be fed: not once the converter has failed for good.
    pub const fn is_well(&self) -> bool {
        self.n_failures < FAILURES_TO_GIVE_UP
    }

    /// Temperature beside the converter, in hundredths of a degree Celsius, for the next header.
    pub const fn set_temperature_centidegrees(&mut self, temperature_centidegrees: i16) {
        self.temperature_centidegrees = temperature_centidegrees;
    }

    /// The supply fell below its limit: said in the next frame and the next header.
    pub fn brown_out(&mut self) {
        self.raise(Status::BROWN_OUT);
    }

    /// Takes bytes from the host.
    pub fn receive(&mut self, bytes: &[u8], now: Ticks) {
        self.advance(now);
        let mut events = [None; MAX_COMMANDS_AT_ONCE];
        let mut places = events.iter_mut();
        self.decoder.push(bytes, |event| {
            if let Some(place) = places.next() {
                *place = Some(event);
            }
        });
        for event in events.into_iter().flatten() {
            match event {
                CommandEvent::Command(command) => self.carry_out(command),
                CommandEvent::NotUnderstood(code) => self.answer(code, Outcome::NotUnderstood),
                // Damaged bytes are not answered: the host asks again.
                CommandEvent::Damage(_) => (),
            }
        }
    }

    /// The converter says that data are ready.
    pub fn data_ready(&mut self, edge: Edge) {
        self.advance(edge.time);
        self.last_edge_us = self.now_us;
        let conversion = match (&self.work, self.bridge.read()) {
            // Read all the same, so that the converter can go on.
            (Work::Idle, _) => return,
            (_, Ok(conversion)) => Some(conversion),
            (_, Err(_)) => None,
        };
        if let Some(conversion) = conversion {
            self.n_failures = 0;
            self.last_counts = conversion.counts;
        } else {
            self.fail();
        }
        if let Work::Testing(test) = &mut self.work {
            let Some(conversion) = conversion else { return };
            let next = test.take(&conversion);
            self.go_on_testing(next);
        } else {
            self.send_frame(edge, conversion.map(|conversion| conversion.status()));
        }
    }

    /// Lets time pass; to be called often, at least once per conversion.
    ///
    /// A converter that stays silent for two intervals is reported in a frame of its own.
    pub fn poll(&mut self, now: Ticks) {
        self.advance(now);
        let interval_us = 1_000_000 / u64::from(self.rate.frames_per_s());
        if !self.is_converting() || self.now_us < self.last_edge_us + 2 * interval_us {
            return;
        }
        self.last_edge_us += interval_us;
        self.fail();
        match self.work {
            Work::Streaming { .. } => {
                self.send_frame(Edge { time: ticks(self.last_edge_us), n_missed: 0 }, None);
            }
            Work::Testing(_) if FAILURES_TO_SET_UP <= self.n_failures => {
                self.work = Work::Idle;
                self.answer(CommandCode::SelfTest, Outcome::ConverterSilent);
            }
            Work::Idle | Work::Testing(_) => (),
        }
    }

    /// Bytes to send next; tell [`sent`](Self::sent) how many went.
    pub fn to_send(&self) -> &[u8] {
        self.ring.waiting()
    }

    /// `n_bytes` of [`to_send`](Self::to_send) have gone.
    pub fn sent(&mut self, n_bytes: usize) {
        self.ring.sent(n_bytes);
    }

    fn advance(&mut self, now: Ticks) {
        self.now_us = self.now_us.max(self.clock.unwrap_us(now));
    }

    fn raise(&mut self, flags: Status) {
        self.frame_news |= flags;
        self.header_news |= flags;
    }

    fn set_up(&mut self) {
        match self.bridge.start(self.rate) {
            Ok(rate) => {
                self.rate = rate;
                self.answers = true;
                self.raise(Status::CONFIG_CHANGED);
            }
            Err(_) => self.answers = false,
        }
    }

    fn fail(&mut self) {
        self.n_failures = self.n_failures.saturating_add(1);
        if self.n_failures.is_multiple_of(FAILURES_TO_SET_UP) {
            self.set_up();
        }
    }

    fn carry_out(&mut self, command: Command) {
        let code = command.code();
        match command {
            Command::Identify => self.send_header(),
            Command::Stop => {
                self.work = Work::Idle;
                self.answer(code, Outcome::Done);
            }
            Command::Start | Command::Rate(_) | Command::SelfTest if self.is_converting() => {
                self.answer(code, Outcome::Busy);
            }
            Command::Start | Command::Rate(_) | Command::SelfTest => {
                if let Command::Rate(rate) = command {
                    self.rate = rate;
                    self.set_up();
                } else if !self.answers {
                    self.set_up();
                }
                if self.answers {
                    self.begin(command);
                } else {
                    self.answer(code, Outcome::ConverterSilent);
                }
            }
        }
    }

    fn begin(&mut self, command: Command) {
        match command {
            Command::Start => {
                self.answer(command.code(), Outcome::Done);
                self.send_header();
                self.work = Work::Streaming { sequence: Sequence(0), last_header_us: self.now_us };
                self.last_edge_us = self.now_us;
            }
            Command::SelfTest => {
                if self.bridge.connect(Input::Shorted).is_ok() {
                    self.work = Work::Testing(SelfTest::new());
                    self.last_edge_us = self.now_us;
                } else {
                    self.answer(command.code(), Outcome::ConverterSilent);
                }
            }
            Command::Identify | Command::Stop | Command::Rate(_) => {
                self.answer(command.code(), Outcome::Done);
            }
        }
    }

    fn go_on_testing(&mut self, next: Next) {
        match next {
            Next::Wait => (),
            Next::Connect(input) => {
                if self.bridge.connect(input).is_err() {
                    self.work = Work::Idle;
                    self.answer(CommandCode::SelfTest, Outcome::ConverterSilent);
                }
            }
            Next::Report(Findings { shorted_mean, shorted_rms_counts, status }) => {
                self.work = Work::Idle;
                let report = SelfTestReport {
                    board: self.identity.board,
                    time: ticks(self.now_us),
                    shorted_mean,
                    shorted_rms_counts,
                    status,
                };
                self.send(&report.encode());
            }
        }
    }

    /// Sends the conversion of an edge; `None` says that it could not be read.
    fn send_frame(&mut self, edge: Edge, status: Option<Status>) {
        let Work::Streaming { sequence, last_header_us } = &mut self.work else {
            return;
        };
        // Numbers count conversions: those never read leave a hole.
        let number = Sequence(sequence.0.wrapping_add(edge.n_missed));
        *sequence = number.next();
        let header_is_due = *last_header_us + HEADER_EVERY_US <= self.now_us;
        if header_is_due {
            *last_header_us = self.now_us;
        }

        let mut flags = status.unwrap_or(Status::NOT_READY);
        if 0 < edge.n_missed {
            flags |= Status::MISSED_CONVERSION;
        }
        let frame = Frame {
            board: self.identity.board,
            sequence: number,
            time: edge.time,
            counts: self.last_counts,
            status: flags | self.frame_news,
        };
        // A frame that finds no room is lost, and the hole in the numbers says so; what it would
        // have told is told by the next.
        if self.send(&frame.encode()) {
            self.frame_news = Status::CLEAR;
        }
        if header_is_due {
            self.send_header();
        }
    }

    fn send_header(&mut self) {
        let header = Header {
            board: self.identity.board,
            unique_id: self.identity.unique_id,
            firmware: FIRMWARE_VERSION,
            converter: B::CONVERTER,
            gain: B::GAIN,
            rate: self.rate,
            temperature_centidegrees: self.temperature_centidegrees,
            time: ticks(self.now_us),
            uptime_s: u32::try_from(self.now_us / 1_000_000).unwrap_or(u32::MAX),
            status: self.header_news,
        };
        if self.send(&header.encode()) {
            self.header_news = Status::CLEAR;
        }
    }

    fn answer(&mut self, command: CommandCode, outcome: Outcome) {
        let answer = Answer {
            board: self.identity.board,
            command,
            outcome,
            rate: self.rate,
            time: ticks(self.now_us),
        };
        // An answer that finds no room is lost like one on a bad cable: the host asks again.
        self.send(&answer.encode());
    }

    fn send(&mut self, packet: &Packet) -> bool {
        self.ring.push(packet.as_bytes())
    }
}

fn ticks(us: u64) -> Ticks {
    let [a, b, c, d, ..] = us.to_le_bytes();
    Ticks::from_us(u32::from_le_bytes([a, b, c, d]))
}
