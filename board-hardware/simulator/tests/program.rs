//! The built program, from outside: over a pseudo-terminal and over TCP.

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead as _, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command as Program, Stdio};

use board_wire::{Command, CommandCode, Decoder, Event, Frame, NOMINAL, Outcome};

/// The program, ended when the test ends.
struct Simulator {
    child: Child,
    port: String,
}

impl Simulator {
    fn start(arguments: &[&str]) -> Self {
        let mut child = Program::new(env!("CARGO_BIN_EXE_board-simulator"))
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program was built with this test");
        let mut line = String::new();
        let stdout = child.stdout.take().expect("stdout is a pipe");
        BufReader::new(stdout).read_line(&mut line).expect("the program prints one line");
        let port = line.strip_prefix("port ").expect(&line).trim_end().to_owned();
        Self { child, port }
    }

    fn terminal(&self) -> File {
        OpenOptions::new().read(true).write(true).open(&self.port).expect("the port is there")
    }

    fn socket(&self) -> TcpStream {
        TcpStream::connect(self.port.strip_prefix("tcp:").expect(&self.port)).expect("it listens")
    }
}

impl Drop for Simulator {
    fn drop(&mut self) {
        // It may have ended by itself, as some tests ask it to.
        if let Ok(None) = self.child.try_wait() {
            self.child.kill().expect("a running child can be ended");
            self.child.wait().expect("an ended child can be waited for");
        }
    }
}

/// Says start, reads `n_frames`, says stop and reads on to its answer; gives every byte read.
fn one_stand(cable: &mut (impl Read + Write), n_frames: usize) -> (Vec<u8>, Vec<Frame>) {
    let mut decoder = Decoder::new();
    let mut all = Vec::new();
    let mut frames: Vec<Frame> = Vec::new();
    let mut stopping = false;
    let mut stopped = false;
    cable.write_all(Command::Start.encode().as_bytes()).expect("the cable is sound");
    while !stopped {
        let mut bytes = [0; 4096];
        let n_bytes = cable.read(&mut bytes).expect("the cable is sound");
        assert_ne!(n_bytes, 0, "the simulator hung up");
        all.extend_from_slice(&bytes[..n_bytes]);
        decoder.push(&bytes[..n_bytes], |event| match event {
            Event::Frame(frame) => frames.push(frame),
            Event::Answer(answer) if answer.command == CommandCode::Stop => {
                assert_eq!(answer.outcome, Outcome::Done);
                stopped = true;
            }
            Event::Answer(_) | Event::Header(_) => (),
            other => panic!("{other:?}"),
        });
        if n_frames <= frames.len() && !stopping {
            stopping = true;
            cable.write_all(Command::Stop.encode().as_bytes()).expect("the cable is sound");
        }
    }
    (all, frames)
}

fn check_numbered(frames: &[Frame]) {
    for (number, frame) in frames.iter().enumerate() {
        assert_eq!(frame.sequence.0 as usize, number);
        assert_eq!(frame.time.us() - frames[0].time.us(), 4000 * frame.sequence.0);
    }
}

#[test]
fn over_tcp_as_fast_as_it_is_read_nothing_is_lost() {
    let simulator = Simulator::start(&["--tcp", "127.0.0.1:0", "--speed", "max"]);
    let (_, frames) = one_stand(&mut simulator.socket(), 20_000);
    check_numbered(&frames);
}

#[test]
fn over_a_pseudo_terminal_as_fast_as_it_is_read_nothing_is_lost() {
    let simulator = Simulator::start(&["--pty", "--speed", "max"]);
    let (_, frames) = one_stand(&mut simulator.terminal(), 20_000);
    check_numbered(&frames);
}

#[test]
fn both_cables_carry_the_same_bytes_for_the_same_seed() {
    let stand = ["--speed", "max", "--stand", "foam/together/closed", "--seed", "7"];
    let tcp = Simulator::start(&[&["--tcp", "127.0.0.1:0"], &stand[..]].concat());
    let pty = Simulator::start(&[&["--pty"], &stand[..]].concat());
    let (over_tcp, _) = one_stand(&mut tcp.socket(), 3000);
    let (over_pty, _) = one_stand(&mut pty.terminal(), 3000);
    // Where the stop falls depends on the reader; 3000 frames of 28 bytes do not.
    assert_eq!(over_tcp[..84_000], over_pty[..84_000]);
}

/// A slow computer may delay frames, never hurry them: 100 frames at real time take 0.4 s or more.
#[test]
fn at_real_time_frames_do_not_come_early() {
    let simulator = Simulator::start(&["--pty"]);
    let begun = std::time::Instant::now();
    let (_, frames) = one_stand(&mut simulator.terminal(), 101);
    assert!(0.4 <= begun.elapsed().as_secs_f64());
    check_numbered(&frames);
}

#[test]
fn the_truth_file_has_a_line_for_each_frame_and_agrees_with_the_counts() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("truth.csv");
    let simulator = Simulator::start(&[
        "--tcp",
        "127.0.0.1:0",
        "--speed",
        "max",
        "--cells",
        "exact",
        "--empty-s",
        "1",
        "--truth",
        path.to_str().unwrap(),
    ]);
    let (_, frames) = one_stand(&mut simulator.socket(), 2000);
    drop(simulator);
    let text = fs::read_to_string(path).unwrap();
    let mut lines = text.lines();
    assert_eq!(
        lines.next(),
        Some(
            "stand,sequence,time_us,force_newtons,plate_ml_mm,plate_ap_mm,sole_ml_mm,sole_ap_mm,\
             body_ml_mm,body_ap_mm"
        )
    );
    // Eight roundings of half a count each: four corners, loaded and empty.
    let rounding_newtons = 8.0 * 0.5 * NOMINAL.newtons_per_count;
    let mut n_loaded = 0;
    for (frame, line) in frames.iter().zip(lines.by_ref()) {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells[..2], ["0", &frame.sequence.0.to_string()]);
        assert_eq!(cells[2], frame.time.us().to_string());
        let force: f64 = cells[3].parse().unwrap();
        let counted: i32 =
            (0..4).map(|i| frame.counts[i].value() - frames[0].counts[i].value()).sum();
        let read = f64::from(counted) * NOMINAL.newtons_per_count;
        assert!((read - force).abs() <= rounding_newtons, "{read} N for {force} N");
        assert_eq!(cells[4].is_empty(), force == 0.0);
        n_loaded += usize::from(100.0 < force);
    }
    assert!(1500 < n_loaded, "{n_loaded}");
}

/// A host that goes away and comes back finds the board where it was, and no stale bytes.
#[test]
fn a_host_may_leave_and_come_back() {
    let simulator = Simulator::start(&["--pty", "--speed", "20"]);
    let (_, first) = one_stand(&mut simulator.terminal(), 50);
    let (_, second) = one_stand(&mut simulator.terminal(), 50);
    assert_eq!((first[0].sequence.0, second[0].sequence.0), (0, 0));
    assert!(first[0].time.us() < second[0].time.us());
}

#[test]
fn a_pulled_cable_ends_the_program_without_an_error() {
    let mut simulator = Simulator::start(&["--pty", "--speed", "max", "--unplug-after-s", "60"]);
    let mut cable = simulator.terminal();
    cable.write_all(Command::Start.encode().as_bytes()).unwrap();
    let mut n_bytes = 0;
    // A pulled pseudo-terminal gives an error or an end, whichever the reader meets first.
    while let Ok(n @ 1..) = cable.read(&mut [0; 4096]) {
        n_bytes += n;
    }
    // 15,000 frames of 28 bytes, less what the terminal (20,736 bytes, measured) and the board
    // (4096) still held: a pulled cable takes that along.
    assert!((420_000 - 20_736 - 4096..=421_000).contains(&n_bytes), "{n_bytes}");
    assert!(simulator.child.wait().unwrap().success());
}

#[test]
fn once_means_one_connection() {
    let mut simulator = Simulator::start(&["--tcp", "127.0.0.1:0", "--once", "--speed", "max"]);
    one_stand(&mut simulator.socket(), 100);
    assert!(simulator.child.wait().unwrap().success());
}
