use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::net::{Shutdown, TcpListener, TcpStream};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use board_wire::{Answer, Command, CommandDecoder, CommandEvent, Outcome, Ticks};
use crossbeam_channel::Receiver;
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, tcgetattr, tcsetattr};

use super::*;
use crate::test_stand::Stand;
use crate::transport::Replay;

/// Everything up to the end of the board.
fn all_events(events: &Receiver<BoardEvent>) -> (Vec<BoardFrame>, usize, BoardLost) {
    let (mut frames, mut n_damaged) = (Vec::new(), 0);
    loop {
        match events.recv_timeout(Duration::from_secs(5)).unwrap() {
            BoardEvent::Frame(frame) => frames.push(frame),
            BoardEvent::Damaged => n_damaged += 1,
            BoardEvent::Repeated => panic!("nothing is sent twice"),
            BoardEvent::Lost(lost) => return (frames, n_damaged, lost),
        }
    }
}

fn replayed(bytes: Vec<u8>, pieces: Vec<usize>) -> (Vec<BoardFrame>, usize, BoardLost) {
    let replay = Replay::new("test", bytes).in_pieces(pieces);
    let session = BoardSession::over(Box::new(replay)).unwrap();
    assert_eq!(session.identity().board_id, "0102030405060708090a0b0c");
    let events = session.subscribe();
    session.start().unwrap();
    all_events(&events)
}

#[test]
fn a_stream_cut_anywhere_gives_every_frame_once() {
    let stand = Stand::at(250).person(2.0, 60.0);
    let bytes = stand.on_the_cable();
    for pieces in [vec![], vec![1], vec![1, 2, 3, 5, 0, 7, 11, 64], vec![27, 28, 29], vec![4096]] {
        let (frames, n_damaged, lost) = replayed(bytes.clone(), pieces);
        assert_eq!(frames, stand.frames);
        assert_eq!(n_damaged, 0);
        assert!(matches!(lost, BoardLost::Unplugged { .. }), "{lost}");
    }
}

#[test]
fn a_hit_byte_costs_its_frame_and_is_counted() {
    let stand = Stand::at(250).person(2.0, 60.0);
    let mut bytes = stand.on_the_cable();
    // In the middle of the hundredth frame; a header of 38 bytes stands in front.
    bytes[38 + 28 * 100 + 14] ^= 0x20;
    let (frames, n_damaged, _) = replayed(bytes, vec![]);
    let (before, after) = (&stand.frames[..100], &stand.frames[101..]);
    assert_eq!(frames, [before, after].concat());
    assert_eq!(n_damaged, 1);
}

#[test]
fn a_board_that_restarts_ends_the_session() {
    let mut bytes = Stand::at(250).person(2.0, 60.0).on_the_cable();
    bytes.extend(Stand::at(250).empty(0.1).on_the_cable());
    let (frames, _, lost) = replayed(bytes, vec![]);
    assert_eq!(frames.len(), 500);
    assert_eq!(lost.to_string(), "the board on \"test\" has started again by itself");
}

/// The board's side of a conversation: answers commands until it is told to start, then sends its
/// stand.
fn play_board(stand: &Stand, host: &mut (impl Read + Write)) -> io::Result<()> {
    let mut decoder = CommandDecoder::new();
    let mut buffer = [0; 256];
    loop {
        let n_bytes = host.read(&mut buffer)?;
        let mut commands = Vec::new();
        decoder.push(&buffer[..n_bytes], |event| commands.push(event));
        for event in commands {
            let CommandEvent::Command(command) = event else { continue };
            if command == Command::Identify {
                host.write_all(stand.header().encode().as_bytes())?;
                continue;
            }
            let answer = Answer {
                board: stand.header().board,
                command: command.code(),
                outcome: Outcome::Done,
                rate: stand.header().rate,
                time: Ticks::from_us(0),
            };
            host.write_all(answer.encode().as_bytes())?;
            if command == Command::Start {
                return host.write_all(&stand.on_the_cable());
            }
        }
    }
}

/// A pseudo-terminal: the board's end, its path, and a hold on the host's end.
fn terminal() -> (File, String, File) {
    let board = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC).unwrap();
    grantpt(&board).unwrap();
    unlockpt(&board).unwrap();
    let path = ptsname(&board, Vec::new()).unwrap().into_string().unwrap();
    let host_end = OpenOptions::new().read(true).write(true).open(&path).unwrap();
    // It starts as a terminal for typing, which would echo the board's bytes back to it.
    let mut mode = tcgetattr(&host_end).unwrap();
    mode.make_raw();
    tcsetattr(&host_end, OptionalActions::Now, &mode).unwrap();
    (File::from(board), path, host_end)
}

/// A board on a pseudo-terminal that sends its stand, and is held until the sender is dropped.
fn board_on_a_terminal(stand: Stand) -> (String, mpsc::SyncSender<()>, thread::JoinHandle<()>) {
    let (mut board, path, host_end) = terminal();
    let (unplug, unplugged) = mpsc::sync_channel::<()>(0);
    let thread = thread::spawn(move || {
        play_board(&stand, &mut board).unwrap();
        // Ends with an error once the test drops its end.
        unplugged.recv().unwrap_err();
        drop((board, host_end));
    });
    (path, unplug, thread)
}

#[test]
fn a_pulled_cable_is_noticed_within_a_second() {
    let (path, unplug, board) = board_on_a_terminal(Stand::at(250).person(2.0, 60.0));
    let session = BoardSession::connect(&BoardAddress::Serial(path.clone())).unwrap();
    let events = session.subscribe();
    session.start().unwrap();
    for _ in 0..500 {
        let event = events.recv_timeout(Duration::from_secs(5)).unwrap();
        assert!(matches!(event, BoardEvent::Frame(_)), "{event:?}");
    }
    let pulled = Instant::now();
    drop(unplug);
    let (frames, _, lost) = all_events(&events);
    let noticed = pulled.elapsed();
    assert!(noticed < Duration::from_secs(1), "{noticed:?}");
    assert!(frames.is_empty());
    assert_eq!(lost.to_string(), format!("the board on {path:?} was unplugged"));
    assert!(session.lost().is_some());
    assert!(matches!(session.start(), Err(CommandError::Lost(_))));
    board.join().unwrap();
}

#[test]
fn a_board_that_falls_silent_is_noticed_within_a_second() {
    let (path, unplug, board) = board_on_a_terminal(Stand::at(250).person(0.5, 60.0));
    let session = BoardSession::connect(&BoardAddress::Serial(path)).unwrap();
    let events = session.subscribe();
    session.start().unwrap();
    let mut last = Instant::now();
    let lost = loop {
        match events.recv_timeout(Duration::from_secs(5)).unwrap() {
            BoardEvent::Lost(lost) => break lost,
            _ => last = Instant::now(),
        }
    };
    let noticed = last.elapsed();
    assert!(noticed < Duration::from_secs(1), "{noticed:?}");
    assert!(matches!(lost, BoardLost::Silent { .. }), "{lost}");
    drop(session);
    drop(unplug);
    board.join().unwrap();
}

#[test]
fn a_port_is_held_by_one_program_at_a_time() {
    let (path, unplug, board) = board_on_a_terminal(Stand::at(250).person(0.5, 60.0));
    let session = BoardSession::connect(&BoardAddress::Serial(path.clone())).unwrap();
    match BoardSession::connect(&BoardAddress::Serial(path.clone())).err().unwrap() {
        ConnectError::InUse { port, .. } => assert_eq!(port, path),
        other => panic!("{other}"),
    }
    session.start().unwrap();
    drop(session);
    drop(unplug);
    board.join().unwrap();
}

#[test]
fn a_port_that_is_not_there_is_named() {
    let error = BoardSession::connect(&BoardAddress::Serial("/dev/none".to_owned())).err().unwrap();
    assert_eq!(error.to_string(), "cannot open \"/dev/none\"");
}

/// Listens on this computer and does `serve` with the first connection.
fn over_tcp(
    serve: impl FnOnce(TcpStream) + Send + 'static,
) -> (BoardAddress, thread::JoinHandle<()>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = BoardAddress::Tcp(listener.local_addr().unwrap().to_string());
    (address, thread::spawn(move || serve(listener.accept().unwrap().0)))
}

#[test]
fn the_same_board_over_tcp() {
    let stand = Stand::at(250).person(2.0, 60.0);
    let wanted = stand.frames.clone();
    let (address, board) = over_tcp(move |mut stream| play_board(&stand, &mut stream).unwrap());
    let session = BoardSession::connect(&address).unwrap();
    let events = session.subscribe();
    session.start().unwrap();
    let (frames, n_damaged, lost) = all_events(&events);
    assert_eq!((frames, n_damaged), (wanted, 0));
    assert!(matches!(lost, BoardLost::Unplugged { .. }), "{lost}");
    board.join().unwrap();
}

/// Says one thing, ends what it has to say, and listens until the host hangs up.
fn say_and_listen(mut stream: TcpStream, words: &[u8]) {
    stream.write_all(words).unwrap();
    stream.shutdown(Shutdown::Write).unwrap();
    io::copy(&mut stream, &mut io::sink()).unwrap();
}

#[test]
fn something_else_on_the_port_is_called_so() {
    let (address, other) = over_tcp(|stream| say_and_listen(stream, b"login: \r\n"));
    let error = BoardSession::connect(&address).err().unwrap();
    let wanted = format!(
        "what is on {:?} is not a board: 9 bytes came, none of them a header",
        address.to_string()
    );
    assert_eq!(error.to_string(), wanted);
    other.join().unwrap();
}

#[test]
fn a_board_of_another_version_is_called_so() {
    // 0x12 is a header of version 2; its CRC is good.
    let header = [0x06, 0x12, 0x07, 0x01, 0x60, 0xAA, 0x00];
    let (address, board) = over_tcp(move |stream| say_and_listen(stream, &header));
    match BoardSession::connect(&address).err().unwrap() {
        ConnectError::OtherVersion { found: 2, expected: 1, .. } => {}
        other => panic!("{other}"),
    }
    board.join().unwrap();
}

#[test]
fn a_port_on_which_nothing_answers_is_called_so() {
    let (address, other) = over_tcp(|mut stream| {
        io::copy(&mut stream, &mut io::sink()).unwrap();
    });
    let error = BoardSession::connect(&address).err().unwrap();
    assert!(matches!(error, ConnectError::Silent { .. }), "{error}");
    other.join().unwrap();
}

/// A board that answers and starts, and then reads as told.
struct Failing<R> {
    host: Replay,
    n_reads_left: usize,
    then: R,
}

impl<R: FnMut() -> io::Result<usize> + Send> Transport for Failing<R> {
    fn port(&self) -> &'static str {
        "failing"
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if self.n_reads_left == 0 {
            return (self.then)();
        }
        let n_bytes = self.host.read(buffer, timeout)?;
        // Only what the board says by itself counts: the stand is longer than its answers.
        self.n_reads_left -= usize::from(100 < n_bytes);
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.host.write_all(bytes)
    }
}

/// How long it takes until a board is given up whose reads go `then` this way.
fn noticed_after(
    then: impl FnMut() -> io::Result<usize> + Send + 'static,
) -> (Duration, BoardLost) {
    let host = Replay::new("failing", Stand::at(250).person(2.0, 60.0).on_the_cable())
        .in_pieces(vec![2_800]);
    let session = BoardSession::over(Box::new(Failing { host, n_reads_left: 3, then })).unwrap();
    let events = session.subscribe();
    session.start().unwrap();
    let mut last = Instant::now();
    let lost = loop {
        match events.recv_timeout(Duration::from_secs(5)).unwrap() {
            BoardEvent::Lost(lost) => break lost,
            _ => last = Instant::now(),
        }
    };
    let noticed = last.elapsed();
    let closing = Instant::now();
    drop(session);
    // A session lets go even of a reader that never comes back.
    assert!(closing.elapsed() < Duration::from_secs(2), "{:?}", closing.elapsed());
    (noticed, lost)
}

#[test]
fn reads_that_return_nothing_at_once_and_for_ever_are_noticed_within_a_second() {
    let (noticed, lost) = noticed_after(|| Ok(0));
    assert!(noticed < Duration::from_secs(1), "{noticed:?}");
    assert!(matches!(lost, BoardLost::Silent { .. }), "{lost}");
}

#[test]
fn a_read_that_never_comes_back_is_noticed_within_a_second() {
    // Held until the process ends: nobody ever sends.
    let (hold, held) = mpsc::sync_channel::<()>(0);
    let hold: &'static _ = Box::leak(Box::new(hold));
    let (noticed, lost) = noticed_after(move || {
        held.recv().unwrap();
        drop(hold.clone());
        Ok(0)
    });
    assert!(noticed < Duration::from_secs(1), "{noticed:?}");
    assert!(matches!(lost, BoardLost::Silent { .. }), "{lost}");
}

#[test]
fn an_error_of_any_kind_is_an_unplug_at_once() {
    for kind in [io::ErrorKind::BrokenPipe, io::ErrorKind::NotFound, io::ErrorKind::Other] {
        let (noticed, lost) = noticed_after(move || Err(kind.into()));
        assert!(noticed < Duration::from_secs(1), "{noticed:?}");
        assert!(matches!(lost, BoardLost::Unplugged { .. }), "{lost}");
    }
}

/// `cat` reads the port as any other program would; a lock would not keep it out.
#[test]
fn another_program_on_the_port_is_named() {
    let (board, path, host_end) = terminal();
    let mut cat = std::process::Command::new("cat")
        .arg(&path)
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    // What it read from the port it has opened the port for.
    (&board).write_all(b"x").unwrap();
    cat.stdout.as_mut().unwrap().read_exact(&mut [0]).unwrap();
    let error = BoardSession::connect(&BoardAddress::Serial(path.clone())).err().unwrap();
    let wanted = format!("{path:?} is in use by cat (process {})", cat.id());
    assert_eq!(error.to_string(), wanted);
    cat.kill().unwrap();
    cat.wait().unwrap();
    drop((board, host_end));
}
