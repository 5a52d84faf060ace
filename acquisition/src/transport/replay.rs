//! The recorded bytes of a board, read again.

use std::collections::VecDeque;
use std::fs;
use std::io;
use std::path::Path;
use std::thread;
use std::time::Duration;

use board_wire::{Answer, Command, CommandDecoder, CommandEvent, Decoder, Event, Header, Outcome};

use super::Transport;

/// A recorded byte stream in place of a board.
///
/// Commands are answered as a board answers them, with the first header of the recording; after a
/// start the recorded bytes come exactly as they were, damage included, as fast as they are read,
/// and the end of the recording is an unplugged board.
#[derive(Debug)]
pub struct Replay {
    name: String,
    bytes: Vec<u8>,
    header: Option<Header>,
    commands: CommandDecoder,
    answers: VecDeque<u8>,
    running: bool,
    position: usize,
    piece_sizes: Vec<usize>,
    n_reads: usize,
}

impl Replay {
    /// A stream of `bytes`, each read filling as much of the buffer as it can.
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            name: name.into(),
            header: first_header(&bytes),
            bytes,
            commands: CommandDecoder::new(),
            answers: VecDeque::new(),
            running: false,
            position: 0,
            piece_sizes: Vec::new(),
            n_reads: 0,
        }
    }

    /// The bytes of the file at `path`.
    ///
    /// # Errors
    /// The system's error if the file cannot be read.
    pub fn open(path: &Path) -> io::Result<Self> {
        Ok(Self::new(format!("replay:{}", path.display()), fs::read(path)?))
    }

    /// Hands the recorded bytes out in pieces of these sizes, in turn and over again; a size of 0
    /// is a read in which nothing came in time.
    #[must_use]
    pub fn in_pieces(mut self, piece_sizes: Vec<usize>) -> Self {
        self.piece_sizes = piece_sizes;
        self
    }

    fn answer(&mut self, command: Command) {
        let Some(header) = self.header else { return };
        match command {
            Command::Identify => {
                self.answers.extend(header.encode().as_bytes());
                return;
            }
            Command::Start => self.running = true,
            Command::Stop => self.running = false,
            Command::Rate(_) | Command::SelfTest => {}
        }
        let outcome = match command {
            Command::SelfTest => Outcome::NotUnderstood,
            Command::Rate(rate) if rate != header.rate => Outcome::NotUnderstood,
            _ => Outcome::Done,
        };
        let answer = Answer {
            board: header.board,
            command: command.code(),
            outcome,
            rate: header.rate,
            time: header.time,
        };
        self.answers.extend(answer.encode().as_bytes());
    }
}

fn first_header(bytes: &[u8]) -> Option<Header> {
    let mut found = None;
    Decoder::new().push(bytes, |event| {
        if let (None, Event::Header(header)) = (found, event) {
            found = Some(header);
        }
    });
    found
}

impl Transport for Replay {
    fn port(&self) -> &str {
        &self.name
    }

    fn read(&mut self, buffer: &mut [u8], timeout: Duration) -> io::Result<usize> {
        if !self.answers.is_empty() {
            return io::Read::read(&mut self.answers, buffer);
        }
        if !self.running {
            thread::sleep(timeout);
            return Ok(0);
        }
        let left = &self.bytes[self.position..];
        if left.is_empty() {
            return Err(io::ErrorKind::UnexpectedEof.into());
        }
        let piece = match self.piece_sizes.len() {
            0 => left.len(),
            n_sizes => self.piece_sizes[self.n_reads % n_sizes],
        };
        let n_bytes = piece.min(left.len()).min(buffer.len());
        buffer[..n_bytes].copy_from_slice(&left[..n_bytes]);
        self.position += n_bytes;
        self.n_reads += 1;
        Ok(n_bytes)
    }

    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let mut taken = Vec::new();
        self.commands.push(bytes, |event| {
            if let CommandEvent::Command(command) = event {
                taken.push(command);
            }
        });
        for command in taken {
            self.answer(command);
        }
        Ok(())
    }
}
