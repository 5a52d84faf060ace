//! The thread that owns the way to the board.

use std::io;
use std::sync::atomic::Ordering;
use std::sync::{Arc, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use board_wire::{Answer, BoardId, Command, CommandCode, Decoder, Event, Frame, Header, Outcome};
use crossbeam_channel::{Receiver, SendTimeoutError, Sender, TryRecvError};

use super::frame_stream::{FrameStream, Placed};
use super::watch::silent_while_awake;
use super::{BoardEvent, BoardIdentity, BoardLost, Shared};
use crate::transport::Transport;

/// How long one read waits; also how soon an order is seen.
const READ_WAIT: Duration = Duration::from_millis(20);

/// How long to let frames gather after one came: at 1000 a second, waking two threads for each of
/// them costs more than the work they bring. Live numbers may be 5 ms old; this is well below.
const GATHER: Duration = Duration::from_millis(2);

/// A board from which nothing came for this long is gone. Half a second is already more than a
/// trial survives; it must be noticed within a second.
pub(super) const SILENCE_LIMIT: Duration = Duration::from_millis(900);

/// A board that has nothing to send is asked who it is this often, to know that it is there.
const ASK_WHEN_QUIET: Duration = Duration::from_millis(300);

/// What the session asks of its reader.
pub(super) enum Order {
    /// Send a command and hand on its answer.
    Ask(Command, Sender<Answer>),
    /// Send all events there from here on.
    Subscribe(Sender<BoardEvent>),
    /// Stop the board and end.
    Close,
}

/// Whether the reader goes on.
enum Next {
    GoOn,
    End,
}

/// Moves bytes from the board to whoever listens.
pub(super) struct Reader {
    transport: Box<dyn Transport>,
    orders: Receiver<Order>,
    shared: Arc<Shared>,
    subscriber: Option<Sender<BoardEvent>>,
    asked: Option<(CommandCode, Sender<Answer>)>,
    board: BoardId,
    frames_per_s: u16,
    /// Frames in order while the board was told to send them.
    stream: Option<FrameStream>,
    /// When the last message came that shows the board alive: a frame while it sends, else any.
    heard: Instant,
    asked_who: Instant,
}

impl Reader {
    pub(super) fn new(
        transport: Box<dyn Transport>,
        header: &Header,
        orders: Receiver<Order>,
        shared: Arc<Shared>,
    ) -> Self {
        let now = Instant::now();
        Self {
            transport,
            orders,
            shared,
            subscriber: None,
            asked: None,
            board: header.board,
            frames_per_s: header.rate.frames_per_s(),
            stream: None,
            heard: now,
            asked_who: now,
        }
    }

    /// Runs until the board is gone or the session is closed.
    pub(super) fn run(mut self) {
        if let Err(lost) = self.read_on()
            && self.shared.lose(&lost)
        {
            // Nothing else is left to do if the listener has gone too.
            self.tell(BoardEvent::Lost(lost));
        }
        *self.shared.listener() = None;
    }

    fn read_on(&mut self) -> Result<(), BoardLost> {
        let mut decoder = Decoder::new();
        let mut buffer = [0; 4096];
        let mut events = Vec::new();
        loop {
            self.shared.heartbeat.beat();
            if let Next::End = self.take_orders()? {
                return Ok(());
            }
            let n_bytes = match self.transport.read(&mut buffer, READ_WAIT) {
                Ok(n_bytes) => n_bytes,
                Err(source) => return Err(self.unplugged(source)),
            };
            // A read that hung until the board was given up may come back at last.
            if self.shared.closing.load(Ordering::Relaxed) && self.is_given_up() {
                return Ok(());
            }
            decoder.push(&buffer[..n_bytes], |event| events.push(event));
            let caught_up = !events.is_empty() && n_bytes < buffer.len();
            for event in events.drain(..) {
                if let Next::End = self.take(&event)? {
                    return Ok(());
                }
            }
            self.check_alive()?;
            if caught_up {
                thread::sleep(GATHER);
            }
        }
    }

    fn take_orders(&mut self) -> Result<Next, BoardLost> {
        loop {
            match self.orders.try_recv() {
                Ok(Order::Ask(command, answers)) => {
                    self.asked = Some((command.code(), answers));
                    self.write(command)?;
                }
                Ok(Order::Subscribe(events)) => {
                    *self.shared.listener() = Some(events.clone());
                    self.subscriber = Some(events);
                }
                Ok(Order::Close) | Err(TryRecvError::Disconnected) => {
                    self.write(Command::Stop)?;
                    return Ok(Next::End);
                }
                Err(TryRecvError::Empty) => return Ok(Next::GoOn),
            }
        }
    }

    fn is_given_up(&self) -> bool {
        self.shared.lost.lock().unwrap_or_else(PoisonError::into_inner).is_some()
    }

    fn take(&mut self, event: &Event) -> Result<Next, BoardLost> {
        match event {
            Event::Frame(frame) => self.take_frame(frame),
            Event::Damage(_) => Ok(self.tell(BoardEvent::Damaged)),
            Event::Header(header) => {
                let mut identity =
                    self.shared.identity.lock().unwrap_or_else(PoisonError::into_inner);
                *identity = BoardIdentity::from_header(header);
                drop(identity);
                self.board = header.board;
                self.frames_per_s = header.rate.frames_per_s();
                self.heard_while_quiet();
                Ok(Next::GoOn)
            }
            Event::Answer(answer) => {
                self.take_answer(answer);
                Ok(Next::GoOn)
            }
            Event::SelfTest(_) => {
                self.heard_while_quiet();
                Ok(Next::GoOn)
            }
        }
    }

    fn take_frame(&mut self, frame: &Frame) -> Result<Next, BoardLost> {
        let Some(stream) = &mut self.stream else {
            // On the way while the board was told to stop, or sent for a program that died.
            self.heard_while_quiet();
            return Ok(Next::GoOn);
        };
        let placed = stream.place(frame);
        if placed == Placed::Restarted {
            return Err(BoardLost::Restarted { port: self.transport.port().to_owned() });
        }
        let next = match placed {
            Placed::Next(frame) => {
                self.shared.latest.publish(frame);
                self.tell(BoardEvent::Frame(frame))
            }
            Placed::Repeated => self.tell(BoardEvent::Repeated),
            Placed::Implausible | Placed::Restarted => self.tell(BoardEvent::Damaged),
        };
        // After telling, which may have had to wait: that silence was not the board's.
        self.heard = Instant::now();
        Ok(next)
    }

    fn take_answer(&mut self, answer: &Answer) {
        self.frames_per_s = answer.rate.frames_per_s();
        match (answer.command, answer.outcome) {
            (CommandCode::Start, Outcome::Done) => {
                self.stream = Some(FrameStream::new(self.board, self.frames_per_s));
                self.heard = Instant::now();
            }
            (CommandCode::Stop, Outcome::Done) => self.stream = None,
            _ => {}
        }
        self.heard_while_quiet();
        if let Some((_, answers)) = self.asked.take_if(|(code, _)| *code == answer.command) {
            // Whoever asked may have given up waiting.
            answers.try_send(*answer).ok();
        }
    }

    /// A board that should be sending frames shows itself alive by them alone.
    fn heard_while_quiet(&mut self) {
        if self.stream.is_none() {
            self.heard = Instant::now();
        }
    }

    fn check_alive(&mut self) -> Result<(), BoardLost> {
        let silent = silent_while_awake(&self.shared, self.heard.elapsed());
        if SILENCE_LIMIT <= silent {
            return Err(BoardLost::Silent { port: self.transport.port().to_owned(), silent });
        }
        if ASK_WHEN_QUIET <= silent && ASK_WHEN_QUIET <= self.asked_who.elapsed() {
            self.asked_who = Instant::now();
            self.write(Command::Identify)?;
        }
        Ok(())
    }

    fn write(&mut self, command: Command) -> Result<(), BoardLost> {
        let written = self.transport.write_all(command.encode().as_bytes());
        written.map_err(|source| self.unplugged(source))
    }

    fn unplugged(&self, source: io::Error) -> BoardLost {
        let port = self.transport.port().to_owned();
        BoardLost::Unplugged { port, source: Arc::new(source) }
    }

    /// Hands an event to the subscriber, waiting for room rather than losing it.
    fn tell(&mut self, mut event: BoardEvent) -> Next {
        while let Some(subscriber) = &self.subscriber {
            match subscriber.send_timeout(event, READ_WAIT) {
                Ok(()) => break,
                Err(SendTimeoutError::Disconnected(_)) => {
                    self.subscriber = None;
                    break;
                }
                Err(SendTimeoutError::Timeout(unsent)) => event = unsent,
            }
            self.shared.heartbeat.beat();
            if self.shared.closing.load(Ordering::Relaxed) {
                return Next::End;
            }
        }
        Next::GoOn
    }
}
