//! The emulated board sends the same bytes as the station on the host.
//!
//! Needs `qemu-system-arm` and what `build.sh` needs; the images are built first if they are old.

use std::io::{ErrorKind, Read as _, Write as _};
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command as Program, Stdio};
use std::sync::OnceLock;
use std::time::Duration;

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

/// A machine that QEMU plays, ended when the test ends.
struct Machine {
    child: Child,
    cable: UnixStream,
    _folder: Folder,
}

/// A folder of this test's own, removed with it.
struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        if let Err(error) = std::fs::remove_dir_all(&self.0) {
            assert_eq!(error.kind(), ErrorKind::NotFound, "{error}");
        }
    }
}

impl Machine {
    fn start(name: &str) -> Self {
        let folder =
            Folder(std::env::temp_dir().join(format!("board-{name}-{}", std::process::id())));
        std::fs::create_dir_all(&folder.0).expect("a fresh folder");
        let socket = folder.0.join("cable");
        let listener = std::os::unix::net::UnixListener::bind(&socket).expect("a socket");
        // QEMU connects to us, so nothing is sent before anybody listens.
        let child = Program::new("qemu-system-arm")
            .args(["-M", name, "-display", "none", "-monitor", "none", "-kernel"])
            .arg(image(name))
            .args(["-serial", &format!("unix:{}", socket.display())])
            .stdin(Stdio::null())
            .spawn()
            .expect("qemu-system-arm is installed");
        let (cable, _) = listener.accept().expect("QEMU connects");
        // Only a board that says nothing at all is waited for this long.
        cable.set_read_timeout(Some(Duration::from_mins(1))).expect("a timeout above 0");
        Self { child, cable, _folder: folder }
    }

    fn say(&mut self, command: Command) {
        self.cable.write_all(command.encode().as_bytes()).expect("the cable is sound");
    }

    fn read(&mut self) -> Vec<u8> {
        let mut bytes = [0; 4096];
        let n_bytes = self.cable.read(&mut bytes).expect("the board says something in time");
        assert_ne!(n_bytes, 0, "QEMU hung up");
        bytes[..n_bytes].to_vec()
    }

    fn read_at_least(&mut self, n_bytes: usize) -> Vec<u8> {
        let mut all = Vec::new();
        while all.len() < n_bytes {
            all.extend(self.read());
        }
        all
    }
}

impl Drop for Machine {
    fn drop(&mut self) {
        self.child.kill().expect("a running child can be ended");
        self.child.wait().expect("an ended child can be waited for");
    }
}

/// The image of a machine, built once for all tests of this file.
fn image(name: &str) -> &'static Path {
    static BUILT: OnceLock<String> = OnceLock::new();
    let printed = BUILT.get_or_init(|| {
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../build.sh");
        let output = Program::new(script).output().expect("build.sh runs");
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success(), "build.sh failed: {errors}");
        String::from_utf8(output.stdout).expect("paths are text")
    });
    let ending = format!("/images/{name}");
    Path::new(printed.lines().find(|line| line.ends_with(&ending)).expect("build.sh names it"))
}

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
    let mut machine = Machine::start(name);
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
