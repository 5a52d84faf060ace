//! The board: commands in; answers, headers and frames out.

use board_wire::{
    Answer, BoardId, Command, CommandCode, CommandDecoder, CommandEvent, Converter, Corner, Counts,
    FirmwareVersion, Frame, FrameRate, Gain, Header, NOMINAL, Outcome, SelfTestReport, Sequence,
    Status, Ticks, UniqueId,
};

use crate::cells::{Cells, Grade};
use crate::condition::Stand;
use crate::faults::{CableFaults, Faults};
use crate::person::Person;
use crate::plate::Plate;
use crate::randomness::{Purpose, Randomness};
use crate::scene::{Load, Scene, Schedule};
use crate::script::Script;

/// A header goes out between frames this often, in microseconds of board time.
const HEADER_EVERY_US: u64 = 10_000_000;

/// Who stands on which board, how, and what goes wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Number of the board on its host.
    pub board: BoardId,
    /// Which board in the world: its unique id and the errors of its cells follow from this.
    pub board_seed: u64,
    /// How good its cells are.
    pub grade: Grade,
    /// Frames per second at power-up.
    pub rate: FrameRate,
    /// Who stands on it.
    pub person: Person,
    /// Everything else that is random: sway, noise, faults.
    pub seed: u64,
    /// The n-th start begins the n-th of these, and after the last the first again.
    pub stands: Vec<Stand>,
    /// When somebody steps on and off.
    pub schedule: Schedule,
    /// What is put on the plate instead of any stand: the n-th start begins the n-th, and after the
    /// last the first again.
    pub scripts: Vec<Script>,
    /// What goes wrong.
    pub faults: Faults,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            board: BoardId(1),
            board_seed: 1,
            grade: Grade::Demanded,
            rate: FrameRate::DEFAULT,
            person: Person::default(),
            seed: 1,
            stands: vec![Stand::default()],
            schedule: Schedule::default(),
            scripts: Vec::new(),
            faults: Faults::default(),
        }
    }
}

/// What really was when a frame was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// Number of the stand since power-up, from 0.
    pub stand: u32,
    /// Number of the frame.
    pub sequence: Sequence,
    /// Its time.
    pub time: Ticks,
    /// What pressed on the plate.
    pub load: Load,
}

/// What the cable does at the moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cable {
    /// It carries bytes.
    Sound,
    /// Bytes wait.
    Stalled,
    /// It has been pulled.
    Unplugged,
}

/// A virtual board; it holds no clock and no port.
#[derive(Debug)]
pub struct Board {
    settings: Settings,
    cells: Cells,
    plate: Plate,
    decoder: CommandDecoder,
    rate: FrameRate,
    /// Board time, microseconds since power-up: it moves with the frames alone.
    time_us: u64,
    n_starts: u32,
    /// Flags to raise on the next frame.
    news: Status,
    restarted: bool,
    unplugged: bool,
    run: Option<Run>,
}

/// From a start to the next stop.
#[derive(Debug)]
struct Run {
    stand: u32,
    start_us: u64,
    last_header_us: u64,
    sequence: Sequence,
    scene: Scene,
    noise: Randomness,
    cable: CableFaults,
    /// Until when a late frame holds up what arrives, in seconds since the start.
    late_until_s: f64,
}

impl Board {
    /// A board that has just been plugged in.
    ///
    /// # Panics
    /// If `settings` name no stand at all.
    pub fn new(settings: Settings) -> Self {
        assert!(!settings.stands.is_empty(), "a board needs at least one stand");
        let cells = Cells::built(settings.grade, settings.board_seed);
        let plate = Plate::new(cells.position_errors(), cells.twist());
        let rate = settings.rate;
        Self {
            settings,
            cells,
            plate,
            decoder: CommandDecoder::new(),
            rate,
            time_us: 0,
            n_starts: 0,
            news: Status::CLEAR,
            restarted: false,
            unplugged: false,
            run: None,
        }
    }

    /// Takes bytes from the host and appends the answers to `sent`.
    pub fn receive(&mut self, bytes: &[u8], sent: &mut Vec<u8>) {
        let mut events = Vec::new();
        self.decoder.push(bytes, |event| events.push(event));
        for event in events {
            match event {
                CommandEvent::Command(command) => self.carry_out(command, sent),
                CommandEvent::NotUnderstood(code) => {
                    self.answer(code, Outcome::NotUnderstood, sent);
                }
                // Damaged bytes are not answered: the host asks again.
                CommandEvent::Damage(_) => (),
            }
        }
    }

    /// Whether frames are being sent.
    pub const fn is_streaming(&self) -> bool {
        self.run.is_some()
    }

    /// Time from one frame to the next, in seconds.
    pub fn frame_interval_s(&self) -> f64 {
        let off = 1.0 + self.settings.faults.rate_off_percent / 100.0;
        1.0 / (f64::from(self.rate.frames_per_s()) * off)
    }

    /// What the cable does at the time of the last frame.
    pub fn cable(&self) -> Cable {
        let Some(run) = &self.run else { return Cable::Sound };
        let since_s = seconds_between(run.start_us, self.time_us);
        let Faults { stall, unplug_after_s, .. } = self.settings.faults;
        if !self.unplugged && unplug_after_s.is_some_and(|after_s| after_s <= since_s) {
            return Cable::Unplugged;
        }
        match stall {
            _ if since_s < run.late_until_s => Cable::Stalled,
            Some(stall) if stall.after_s <= since_s && since_s < stall.after_s + stall.for_s => {
                Cable::Stalled
            }
            _ => Cable::Sound,
        }
    }

    /// Plugs the board in again after its cable was pulled: it starts anew.
    pub fn plug_in(&mut self) {
        self.unplugged = true;
        self.power_up();
    }

    /// Takes the next conversion and appends what is sent of it; `None` unless started.
    pub fn next_frame(&mut self, sent: &mut Vec<u8>) -> Option<Truth> {
        let interval_s = self.frame_interval_s();
        let run = self.run.as_mut()?;
        let time_s = f64::from(run.sequence.0) * interval_s;
        if !self.restarted
            && self.settings.faults.restart_after_s.is_some_and(|after_s| after_s <= time_s)
        {
            self.restart();
            return None;
        }
        self.time_us = run.start_us + microseconds(time_s);

        let load = run.scene.at(time_s);
        let faults = &self.settings.faults;
        let (counts, mut status) = self.cells.read(
            faults.beside_the_stop(self.plate.corner_newtons(load)),
            time_s,
            self.rate,
            faults,
            &mut run.noise,
        );
        let counts = faults.wired(counts);
        status |= std::mem::take(&mut self.news);
        let frame = Frame {
            board: self.settings.board,
            sequence: run.sequence,
            time: ticks(self.time_us),
            counts,
            status,
        };
        run.sequence = run.sequence.next();
        if run.late_until_s <= time_s && run.cable.is_late(&self.settings.faults) {
            run.late_until_s = time_s + self.settings.faults.delay_s;
        }
        run.cable.send_frame(frame.encode().as_bytes(), &self.settings.faults, sent);
        let truth = Truth { stand: run.stand, sequence: frame.sequence, time: frame.time, load };
        if HEADER_EVERY_US <= self.time_us - run.last_header_us {
            run.last_header_us = self.time_us;
            sent.extend_from_slice(self.header().encode().as_bytes());
        }
        Some(truth)
    }

    fn carry_out(&mut self, command: Command, sent: &mut Vec<u8>) {
        let code = command.code();
        let busy = self.is_streaming();
        match command {
            Command::Identify => sent.extend_from_slice(self.header().encode().as_bytes()),
            Command::Stop => {
                self.run = None;
                self.answer(code, Outcome::Done, sent);
            }
            Command::Start | Command::Rate(_) | Command::SelfTest if busy => {
                self.answer(code, Outcome::Busy, sent);
            }
            Command::Start => {
                self.start();
                self.answer(code, Outcome::Done, sent);
                sent.extend_from_slice(self.header().encode().as_bytes());
            }
            Command::Rate(rate) => {
                self.rate = rate;
                self.news |= Status::CONFIG_CHANGED;
                self.answer(code, Outcome::Done, sent);
            }
            Command::SelfTest => sent.extend_from_slice(self.self_test().encode().as_bytes()),
        }
    }

    fn start(&mut self) {
        let Settings { seed, person, ref stands, schedule, ref scripts, .. } = self.settings;
        let stand = self.n_starts;
        self.n_starts += 1;
        let which = usize::try_from(stand).unwrap_or_default();
        // Some time passes between a stop and the next start.
        self.time_us += 1_000_000;
        let random = Randomness::new(seed, Purpose::Body { stand });
        let scene = if scripts.is_empty() {
            Scene::new(person, stands[which % stands.len()], schedule, random)
        } else {
            Scene::scripted(person, scripts[which % scripts.len()].clone(), random)
        };
        self.run = Some(Run {
            stand,
            start_us: self.time_us,
            last_header_us: self.time_us,
            sequence: Sequence(0),
            scene,
            noise: Randomness::new(seed, Purpose::Noise { stand }),
            cable: CableFaults::new(Randomness::new(seed, Purpose::Faults { stand })),
            late_until_s: 0.0,
        });
    }

    /// As after the watchdog.
    fn restart(&mut self) {
        self.restarted = true;
        self.power_up();
        self.news = Status::WATCHDOG_RESTART;
    }

    /// Time from 0, nothing sent until asked.
    fn power_up(&mut self) {
        self.run = None;
        self.decoder = CommandDecoder::new();
        self.time_us = 0;
        self.rate = self.settings.rate;
        self.news = Status::CLEAR;
    }

    fn answer(&self, command: CommandCode, outcome: Outcome, sent: &mut Vec<u8>) {
        let Settings { board, .. } = self.settings;
        let answer = Answer { board, command, outcome, rate: self.rate, time: ticks(self.time_us) };
        sent.extend_from_slice(answer.encode().as_bytes());
    }

    fn header(&self) -> Header {
        let uptime_s = u32::try_from(self.time_us / 1_000_000).unwrap_or(u32::MAX);
        // The room warms the board by a degree in the first hour.
        let warming = i16::try_from(uptime_s.min(3600) / 36).expect("at most 100");
        Header {
            board: self.settings.board,
            unique_id: unique_id(self.settings.board_seed),
            firmware: FirmwareVersion { major: 1, minor: 0, patch: 0 },
            converter: Converter::Simulated,
            gain: Gain::DEFAULT,
            rate: self.rate,
            temperature_centidegrees: 2150 + warming,
            time: ticks(self.time_us),
            uptime_s,
            status: self.news,
        }
    }

    fn self_test(&self) -> SelfTestReport {
        let noise = self.cells.noise_newtons(self.rate) / NOMINAL.newtons_per_count;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "noise is positive and held to 16 bits"
        )]
        let rms = noise.round().min(65_535.0) as u16;
        let status = self.settings.faults.dead_corner.map_or(Status::CLEAR, Status::open_bridge);
        SelfTestReport {
            board: self.settings.board,
            time: ticks(self.time_us),
            shorted_mean: Corner::ALL.map(|corner| {
                // An offset of some tens of counts, different for each channel of each board.
                let spread = self.settings.board_seed.wrapping_mul(31) + corner.index() as u64 * 17;
                Counts::saturating(i32::try_from(spread % 61).expect("below 61") - 30)
            }),
            shorted_rms_counts: [rms; 4],
            status,
        }
    }
}

/// "SIM" and the board's seed, so that a simulated board can never be taken for a real one.
fn unique_id(board_seed: u64) -> UniqueId {
    let mut bytes = *b"SIM\0\0\0\0\0\0\0\0\0";
    bytes[4..].copy_from_slice(&board_seed.to_be_bytes());
    UniqueId(bytes)
}

fn seconds_between(start_us: u64, end_us: u64) -> f64 {
    (end_us - start_us) as f64 / 1e6
}

fn microseconds(time_s: f64) -> u64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a time since the start, far below 2^63 microseconds"
    )]
    let us = (time_s * 1e6).round() as u64;
    us
}

fn ticks(time_us: u64) -> Ticks {
    let wrapped = u32::try_from(time_us & u64::from(u32::MAX)).expect("held to 32 bits");
    Ticks::from_us(wrapped)
}
