//! The emulated board sends the same bytes as the station on the host.
//!
//! Needs `qemu-system-arm` and what `build.sh` needs; the images are built first if they are old.

use board_emulation::Machine;
use board_firmware::{Edge, Identity, ResetCause, ScriptedBridge, Station};
use board_wire::{
    BoardId, Command, CommandCode, Decoder, Event, FrameRate, Outcome, SequenceStep,
    SequenceTracker, Ticks, UniqueId,
};

/// Who the emulated board says it is.
const IDENTITY: Identity =
    Identity { board: BoardId(3), unique_id: UniqueId(*b"EMU\0\0\0\0\0\0\0\0\x01") };

/// Frames compared: 12 s, so that a header falls between them.
const N_FRAMES: usize = 3000;

/// The same station on the host, its time driven by its conversions as in the image.
struct Twin {
    station: Station<ScriptedBridge>,
    time_us: u32,
    sent: Vec<u8>,
}

impl Twin {
    fn new() -> Self {
        let station = Station::new(ScriptedBridge::new(), IDENTITY, ResetCause::PowerOn);
        Self { station, time_us: 0, sent: Vec::new() }
    }

    fn say(&mut self, command: Command) {
        self.station.receive(command.encode().as_bytes(), Ticks::from_us(self.time_us));
        self.collect();
    }

    fn convert(&mut self) {
        self.time_us += 1_000_000 / u32::from(self.station.rate().frames_per_s());
        self.station.data_ready(Edge { time: Ticks::from_us(self.time_us), n_missed: 0 });
        self.collect();
    }

    fn collect(&mut self) {
        while !self.station.to_send().is_empty() {
            let bytes = self.station.to_send();
            let n_bytes = bytes.len();
            self.sent.extend_from_slice(bytes);
            self.station.sent(n_bytes);
        }
    }
}

/// Identify, set the rate, test, start; then the frames.
fn check_same_bytes(name: &str) {
    let fast = FrameRate::new(1000).expect("1000 is a rate");
    let mut twin = Twin::new();
    let mut machine = Machine::start(name, &[]);
    let mut heard = Vec::new();
    for command in [
        Command::Identify,
        Command::Rate(fast),
        Command::SelfTest,
        Command::Rate(FrameRate::DEFAULT),
    ] {
        let before = twin.sent.len();
        twin.say(command);
        while twin.station.is_converting() {
            twin.convert();
        }
        machine.say(command);
        heard.extend(machine.read_at_least(twin.sent.len() - before));
    }
    assert_eq!(heard, twin.sent, "before the start");

    twin.say(Command::Start);
    for _frame in 0..N_FRAMES {
        twin.convert();
    }
    machine.say(Command::Start);
    heard.extend(machine.read_at_least(twin.sent.len() - heard.len()));
    // The machine goes on while we read: compare what both have.
    let first_difference = heard.iter().zip(&twin.sent).position(|(a, b)| a != b);
    assert_eq!(first_difference, None);

    check_the_rest(&mut machine, &heard);
}

/// Stop, and look at everything: no damage, no hole, one header between the frames.
fn check_the_rest(machine: &mut Machine, heard: &[u8]) {
    machine.say(Command::Stop);
    let mut decoder = Decoder::new();
    let mut tracker = SequenceTracker::new();
    let (mut n_frames, mut n_headers, mut stopped) = (0, 0, false);
    let mut look = |bytes: &[u8]| {
        decoder.push(bytes, |event| match event {
            Event::Frame(frame) => {
                let step = tracker.step(frame.sequence);
                assert!(matches!(step, SequenceStep::First | SequenceStep::Due), "{step:?}");
                n_frames += 1;
            }
            Event::Header(_) => n_headers += 1,
            Event::Answer(answer) if answer.command == CommandCode::Stop => {
                assert_eq!(answer.outcome, Outcome::Done);
                stopped = true;
            }
            Event::Answer(_) | Event::SelfTest(_) => (),
            Event::Damage(damage) => panic!("{damage:?}"),
        });
        stopped
    };
    let mut done = look(heard);
    while !done {
        done = look(&machine.read());
    }
    assert!(N_FRAMES <= n_frames);
    // One when asked, one at the start, one after 10 s.
    assert_eq!(n_headers, 3);
}

#[test]
fn on_a_cortex_m3() {
    check_same_bytes("mps2-an385");
}

#[test]
fn on_a_cortex_m0() {
    check_same_bytes("microbit");
}
