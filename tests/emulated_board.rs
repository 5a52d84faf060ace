//! The firmware's own image, in an emulator, recorded by the program: what is lost, damaged or sent
//! twice on the cable is counted to the frame.
//!
//! Needs `qemu-system-arm` and what `board-hardware/firmware/build.sh` needs. The machine's time
//! goes with its instructions and does not wait for the wall.

use std::collections::BTreeMap;
use std::io::{ErrorKind, Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::OnceLock;
use std::thread::{self, JoinHandle};

use serde_json::Value;

use crate::bench::{Bench, Outcome};
use crate::recording::exported;

/// Bytes of a frame on the cable, its delimiter included (the table of `PROTOCOL.md`).
const FRAME_BYTES: usize = 28;

/// The played board is empty for the first 2,500 frames; 2 s of settling follow.
const FIRST_RECORDED: u64 = 3_000;

/// What the cable does at a frame.
#[derive(Clone, Copy)]
enum Disturbance {
    /// One bit of the frame turns over.
    Flip,
    /// The frame never arrives.
    Drop,
    /// The frame arrives twice.
    Double,
    /// Bytes that nobody sent, closed by a delimiter, come first.
    Noise,
    /// The board restarts just after the frame.
    Restart,
}

/// The board's image in an emulator, behind a cable that is disturbed at chosen frames.
struct EmulatedBoard {
    machine: Child,
    port: String,
    /// Gives the number of frames the board sent, when the cable ends.
    cable: Option<JoinHandle<u64>>,
}

impl EmulatedBoard {
    fn start(image_name: &str, disturbances: BTreeMap<u64, Disturbance>) -> Self {
        let board_side = TcpListener::bind("127.0.0.1:0").unwrap();
        let program_side = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = format!("tcp:{}", program_side.local_addr().unwrap());
        let mut machine = Command::new("qemu-system-arm")
            .args(["-M", "mps2-an385", "-display", "none", "-monitor", "stdio", "-kernel"])
            .arg(image(image_name))
            .args(["-icount", "shift=8,sleep=off", "-serial"])
            .arg(format!("tcp:{}", board_side.local_addr().unwrap()))
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .spawn()
            .expect("qemu-system-arm is installed");
        let monitor = machine.stdin.take().unwrap();
        let cable = thread::spawn(move || {
            let (board, _) = board_side.accept().unwrap();
            let (program, _) = program_side.accept().unwrap();
            let (mut commands, mut to_board) =
                (program.try_clone().unwrap(), board.try_clone().unwrap());
            thread::spawn(move || std::io::copy(&mut commands, &mut to_board));
            Cable { disturbances, monitor, n_frames: 0 }.carry(board, program)
        });
        Self { machine, port, cable: Some(cable) }
    }

    fn record(&self, bench: &Bench, seconds: &str) -> Outcome {
        let mut arguments = vec!["record", "--port", &self.port, "--person", "EMU", "--json"];
        arguments.extend(["--kind", "practice", "--condition", "firm/hip-width/open"]);
        arguments.extend(["--seconds", seconds, "--settle", "2"]);
        bench.footing(arguments)
    }

    /// Ends the machine; gives the number of frames it sent.
    fn unplug(mut self) -> u64 {
        self.machine.kill().unwrap();
        self.cable.take().unwrap().join().unwrap()
    }
}

impl Drop for EmulatedBoard {
    fn drop(&mut self) {
        // It may have ended by itself; either way there is nothing to keep.
        drop(self.machine.kill());
        drop(self.machine.wait());
    }
}

/// The image of this name, built once.
fn image(name: &str) -> PathBuf {
    static BUILT: OnceLock<String> = OnceLock::new();
    let printed = BUILT.get_or_init(|| {
        let script =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../board-hardware/firmware/build.sh");
        let output = Command::new(script).output().expect("build.sh runs");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    });
    let ending = format!("/images/{name}");
    printed.lines().find(|line| line.ends_with(&ending)).expect("build.sh names it").into()
}

/// The way from the board to the program.
struct Cable {
    disturbances: BTreeMap<u64, Disturbance>,
    monitor: ChildStdin,
    n_frames: u64,
}

impl Cable {
    /// Carries packets until either side closes; gives the number of frames the board sent.
    fn carry(mut self, mut board: TcpStream, mut program: TcpStream) -> u64 {
        let (mut packet, mut bytes) = (Vec::new(), [0; 4096]);
        loop {
            let n_bytes = match board.read(&mut bytes) {
                Ok(0) | Err(_) => return self.n_frames,
                Ok(n_bytes) => n_bytes,
            };
            let mut carried = Vec::new();
            for &byte in &bytes[..n_bytes] {
                packet.push(byte);
                if byte == 0 {
                    self.pass(&packet, &mut carried);
                    packet.clear();
                }
            }
            match program.write_all(&carried) {
                Ok(()) => (),
                Err(error) => {
                    let gone = [ErrorKind::BrokenPipe, ErrorKind::ConnectionReset];
                    assert!(gone.contains(&error.kind()), "{error}");
                    return self.n_frames;
                }
            }
        }
    }

    fn pass(&mut self, packet: &[u8], carried: &mut Vec<u8>) {
        if packet.len() != FRAME_BYTES {
            carried.extend(packet);
            return;
        }
        let number = self.n_frames;
        self.n_frames += 1;
        match self.disturbances.get(&number) {
            None => carried.extend(packet),
            Some(Disturbance::Flip) => {
                let mut packet = packet.to_vec();
                // 0x80 turns no byte but 0x80 into a delimiter.
                let place = packet[..FRAME_BYTES - 1].iter().rposition(|byte| *byte != 0x80);
                packet[place.unwrap()] ^= 0x80;
                carried.extend(packet);
            }
            Some(Disturbance::Drop) => (),
            Some(Disturbance::Double) => carried.extend(packet.iter().chain(packet)),
            Some(Disturbance::Noise) => {
                carried.extend([0xFF, 0x13, 0x55, 0xAA, 0xFE, 0x00]);
                carried.extend(packet);
            }
            Some(Disturbance::Restart) => {
                carried.extend(packet);
                self.monitor.write_all(b"system_reset\n").unwrap();
            }
        }
    }
}

/// Numbers of the recorded frames, through the program's own export.
fn recorded_numbers(bench: &Bench) -> Vec<u64> {
    exported(bench, &bench.sealed()[0]).into_iter().map(|(sequence, ..)| sequence).collect()
}

fn counts(said: &Value) -> [u64; 4] {
    ["frames", "lost_frames", "damaged_frames", "repeated_frames"]
        .map(|what| said[what].as_u64().unwrap())
}

#[test]
fn ten_minutes_of_the_image_lose_no_frame() {
    let bench = Bench::new();
    let board = EmulatedBoard::start("mps2-an385", BTreeMap::new());
    let said = board.record(&bench, "600").json();
    assert_eq!(counts(&said), [150_000, 0, 0, 0], "{said}");
}

#[test]
fn what_happens_on_the_cable_is_counted_to_the_frame() {
    let mut disturbances = BTreeMap::new();
    for i in 0..40 {
        disturbances.insert(4_000 + 97 * i, Disturbance::Flip);
        disturbances.insert(4_010 + 97 * i, Disturbance::Double);
    }
    for i in 0..25 {
        disturbances.insert(9_000 + 101 * i, Disturbance::Noise);
    }
    // Three at once, and seven more.
    for number in [4_005, 4_006, 4_007].into_iter().chain((0..7).map(|i| 12_003 + 31 * i)) {
        disturbances.insert(number, Disturbance::Drop);
    }
    let missing: Vec<u64> = disturbances
        .iter()
        .filter(|(_, what)| matches!(what, Disturbance::Flip | Disturbance::Drop))
        .map(|(number, _)| *number)
        .collect();
    let bench = Bench::new();
    let board = EmulatedBoard::start("mps2-an385", disturbances);
    let said = board.record(&bench, "60").json();
    assert_eq!(counts(&said), [15_000 - 50, 50, 65, 40], "{said}");
    let recorded = recorded_numbers(&bench);
    let (first, last) = (recorded[0], recorded[recorded.len() - 1]);
    assert!((FIRST_RECORDED..4_000).contains(&first) && 13_000 < last, "{first} to {last}");
    let holes: Vec<u64> = (first..=last).filter(|n| recorded.binary_search(n).is_err()).collect();
    assert_eq!(holes, missing);
}

#[test]
fn a_restart_in_mid_stream_keeps_every_frame_before_it() {
    let bench = Bench::new();
    let restart = BTreeMap::from([(9_000, Disturbance::Restart)]);
    let board = EmulatedBoard::start("mps2-an385", restart);
    let said = board.record(&bench, "60").json();
    assert_eq!(said["ended"], "board-lost", "{said}");
    let recorded = recorded_numbers(&bench);
    let n_sent = board.unplug();
    assert!(9_001 <= n_sent, "{n_sent}");
    assert_eq!(recorded.last(), Some(&(n_sent - 1)), "the last frame the board sent");
    let wanted: Vec<u64> = (recorded[0]..n_sent).collect();
    assert_eq!(recorded, wanted, "and every one before it");
    let [frames, lost, damaged, repeated] = counts(&said);
    assert_eq!((frames, lost, repeated), (wanted.len() as u64, 0, 0), "{said}");
    // The frame that the restart cut short never ends.
    assert!(damaged <= 1, "{said}");
}

/// A converter that is 400 ppm slow sends 250 / 1.0004 frames in a second of board time.
#[test]
fn the_true_rate_of_the_board_is_found() {
    let bench = Bench::new();
    let board = EmulatedBoard::start("mps2-an385-slow-converter", BTreeMap::new());
    let said = board.record(&bench, "60").json();
    // Conversions that fall in 60 s of board time: 60 s / 4.0016 ms is 14,994.002.
    assert_eq!(counts(&said), [14_995, 0, 0, 0], "{said}");
    let file = &bench.sealed()[0];
    let measured = bench.footing(["analyse", file.to_str().unwrap(), "--json"]).json();
    let rate = find(&measured, "true_rate_hz").expect("the rate is told").as_f64().unwrap();
    // Time stamps are whole microseconds, over 60 s.
    assert!((rate - 250.0 / 1.0004).abs() < 250.0 * 1e-7, "{rate}");
}

/// The first value of this key, wherever it is.
fn find<'a>(value: &'a Value, key: &str) -> Option<&'a Value> {
    match value {
        Value::Object(map) => {
            map.get(key).or_else(|| map.values().find_map(|value| find(value, key)))
        }
        Value::Array(values) => values.iter().find_map(|value| find(value, key)),
        _ => None,
    }
}
