//! A connected board: who it is, start and stop, and its frames without a loss that goes unseen.
//!
//! One thread owns the way to the board. It never waits for a screen: whoever records subscribes to
//! a bounded, lossless channel; whoever shows takes the latest value.

mod frame_stream;
mod identity;
mod reader;
#[cfg(test)]
mod tests;
mod watch;

use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use board_wire::{Answer, Command, CommandCode, FrameRate, Outcome};
use crossbeam_channel::{Receiver, RecvTimeoutError, Sender, bounded};
use thiserror::Error;

pub use frame_stream::BoardFrame;
pub use identity::{BoardIdentity, ConnectError};

use crate::latest_value::LatestValue;
use crate::transport::{self, BoardAddress, Transport, other_holder};
use reader::{Order, Reader};
use watch::{Heartbeat, Watch};

/// How many events may wait for the recorder: 65 s at 1000 frames a second, far longer than any
/// disk stalls. Beyond it the reader waits, and what the port then drops shows in the sequence.
const EVENTS_WAITING: usize = 65_536;

/// How many orders may wait for the reader, which takes them at least every 20 ms.
const ORDERS_WAITING: usize = 16;

/// How long a board may take to answer a command: it answers within a frame or two.
const ANSWER_LIMIT: Duration = Duration::from_millis(600);

/// How often a command is sent before the board counts as not answering; a damaged answer is rare.
const N_TRIES: usize = 3;

/// What a subscriber hears of the board, in order.
#[derive(Debug, Clone)]
pub enum BoardEvent {
    /// One conversion. A jump of its sequence number is a loss.
    Frame(BoardFrame),
    /// Bytes or a frame that failed a check and were discarded.
    Damaged,
    /// A frame whose number had been seen before, discarded.
    Repeated,
    /// The board is gone; nothing follows.
    Lost(BoardLost),
}

/// Why a board is gone. The session is over; connect again.
#[derive(Debug, Clone, Error)]
pub enum BoardLost {
    /// The port says so: the cable was pulled, the power is off, the other side closed.
    #[error("the board on {port:?} was unplugged")]
    Unplugged {
        /// Where it was.
        port: String,
        /// What the system said.
        source: Arc<io::Error>,
    },
    /// The port is there but nothing came for too long.
    #[error("the board on {port:?} has sent nothing for {silent:.1?}")]
    Silent {
        /// Where it is.
        port: String,
        /// For how long.
        silent: Duration,
    },
    /// The session was closed, or somebody else has subscribed to it.
    #[error("the board on {port:?} no longer reports here")]
    Closed {
        /// Where it is.
        port: String,
    },
    /// Its numbers or its clock jumped back: it has started again.
    #[error("the board on {port:?} has started again by itself")]
    Restarted {
        /// Where it is.
        port: String,
    },
}

/// A command that the board did not carry out.
#[derive(Debug, Clone, Error)]
pub enum CommandError {
    /// The board is gone.
    #[error("the board is gone")]
    Lost(#[from] BoardLost),
    /// No answer came in time.
    #[error("the board on {port:?} did not answer {command:?}")]
    NoAnswer {
        /// Where it is.
        port: String,
        /// What it was asked.
        command: CommandCode,
    },
    /// The board answered that it cannot.
    #[error("the board on {port:?} answered {command:?} with {outcome:?}")]
    Refused {
        /// Where it is.
        port: String,
        /// What it was asked.
        command: CommandCode,
        /// What it answered.
        outcome: Outcome,
    },
    /// A frame rate no board offers.
    #[error("{frames_per_s} frames per second is not between 80 and 1000")]
    Rate {
        /// What was asked for.
        frames_per_s: u16,
    },
}

/// How long a session that closes waits for its reader: longer than any read or write that still
/// comes back.
const CLOSE_LIMIT: Duration = Duration::from_secs(1);

/// What the reader's thread, its watch and the session all see.
struct Shared {
    identity: Mutex<BoardIdentity>,
    lost: Mutex<Option<BoardLost>>,
    latest: LatestValue<BoardFrame>,
    closing: AtomicBool,
    heartbeat: Heartbeat,
    /// The watch's own, by which a computer that stood still is told from a board that is silent.
    watching: Heartbeat,
    /// When the computer was last seen to go on after it had stood still.
    resumed: Heartbeat,
    /// Where events go, for the watch to tell of a reader that hangs.
    listener: Mutex<Option<Sender<BoardEvent>>>,
}

impl Shared {
    /// Keeps why the board is gone; false if that was known.
    fn lose(&self, lost: &BoardLost) -> bool {
        let mut known = self.lost.lock().unwrap_or_else(PoisonError::into_inner);
        let is_news = known.is_none();
        known.get_or_insert_with(|| lost.clone());
        is_news
    }

    fn listener(&self) -> MutexGuard<'_, Option<Sender<BoardEvent>>> {
        self.listener.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A board that answered. Dropping it stops the board and gives the port back.
pub struct BoardSession {
    port: String,
    orders: Sender<Order>,
    shared: Arc<Shared>,
    thread: Option<JoinHandle<()>>,
    /// Closed when the reader has ended.
    ended: Receiver<()>,
}

impl BoardSession {
    /// Opens the way to a board and waits until it has said who it is.
    ///
    /// # Errors
    /// [`ConnectError`] if the way cannot be opened, another program uses it, nothing answers within
    /// 2 s, or what answers is no board of ours.
    pub fn connect(address: &BoardAddress) -> Result<Self, ConnectError> {
        let port = || address.to_string();
        // The lock on a port keeps out only programs that ask for it: one that merely reads would
        // take every other byte away.
        if let BoardAddress::Serial(path) = address
            && let Some(holder) = other_holder(Path::new(path))
        {
            return Err(ConnectError::InUse { port: port(), holder: Some(holder) });
        }
        let transport = transport::open(address).map_err(|source| {
            if transport::is_in_use(address, &source) {
                ConnectError::InUse { port: port(), holder: None }
            } else {
                ConnectError::Open { port: port(), source }
            }
        })?;
        Self::over(transport)
    }

    /// As [`connect`](Self::connect), over a way that is open already.
    ///
    /// # Errors
    /// As [`connect`](Self::connect).
    pub fn over(mut transport: Box<dyn Transport>) -> Result<Self, ConnectError> {
        let header = identity::identify(transport.as_mut())?;
        let port = transport.port().to_owned();
        let shared = Arc::new(Shared {
            identity: Mutex::new(BoardIdentity::from_header(&header)),
            lost: Mutex::new(None),
            latest: LatestValue::new(),
            closing: AtomicBool::new(false),
            heartbeat: Heartbeat::begin(),
            watching: Heartbeat::begin(),
            resumed: Heartbeat::begin(),
            listener: Mutex::new(None),
        });
        let (orders, orders_taken) = bounded(ORDERS_WAITING);
        let (alive, ended) = bounded(0);
        let reader = Reader::new(transport, &header, orders_taken, Arc::clone(&shared));
        let no_thread = |source| ConnectError::Open { port: port.clone(), source };
        let thread = thread::Builder::new()
            .name("board".to_owned())
            .spawn(move || {
                reader.run();
                drop::<Sender<()>>(alive);
            })
            .map_err(no_thread)?;
        let watch = Watch::new(port.clone(), ended.clone(), Arc::clone(&shared));
        // It ends by itself, soon after the reader.
        thread::Builder::new()
            .name("board watch".to_owned())
            .spawn(move || watch.run())
            .map_err(no_thread)?;
        Ok(Self { port, orders, shared, thread: Some(thread), ended })
    }

    /// Where the board is.
    pub fn port(&self) -> &str {
        &self.port
    }

    /// Who the board is, and how it is set and how warm it is by its latest header.
    pub fn identity(&self) -> BoardIdentity {
        self.shared.identity.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Why the board is gone; `None` while it is there.
    pub fn lost(&self) -> Option<BoardLost> {
        self.shared.lost.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The newest frame, for whoever shows; `None` before the first.
    pub fn latest(&self) -> Option<BoardFrame> {
        self.shared.latest.latest()
    }

    /// Every event from here on, in order and without loss, for the one who records.
    ///
    /// Only the newest subscription is served; drop the receiver to end it. A receiver that is not
    /// read for a minute makes the reader wait.
    pub fn subscribe(&self) -> Receiver<BoardEvent> {
        let (events, received) = bounded(EVENTS_WAITING);
        if let Some(lost) = self.lost() {
            drop(events.send(BoardEvent::Lost(lost)));
        } else {
            // If the reader has just ended, the receiver finds its channel closed.
            drop(self.orders.send_timeout(Order::Subscribe(events), ANSWER_LIMIT));
        }
        received
    }

    /// Makes the board send frames, numbered from 0.
    ///
    /// # Errors
    /// [`CommandError`] if the board is gone, does not answer or cannot.
    pub fn start(&self) -> Result<(), CommandError> {
        for _ in 0..N_TRIES {
            // A board that is sending already would answer that it is busy: one left so by a
            // program that died, or one whose answer to the last try was damaged on the way.
            self.stop()?;
            if let Some(answer) = self.ask(Command::Start)? {
                return self.accept(answer).map(drop);
            }
        }
        Err(self.no_answer(CommandCode::Start))
    }

    /// Makes the board stop sending frames.
    ///
    /// # Errors
    /// As [`start`](Self::start).
    pub fn stop(&self) -> Result<(), CommandError> {
        self.command(Command::Stop).map(drop)
    }

    /// Sets the frame rate; only while the board sends none.
    ///
    /// # Errors
    /// As [`start`](Self::start), and [`CommandError::Rate`] outside 80 to 1000.
    pub fn set_rate(&self, frames_per_s: u16) -> Result<(), CommandError> {
        let rate = FrameRate::new(frames_per_s).ok_or(CommandError::Rate { frames_per_s })?;
        let answer = self.command(Command::Rate(rate))?;
        let mut identity = self.shared.identity.lock().unwrap_or_else(PoisonError::into_inner);
        identity.frames_per_s = answer.rate.frames_per_s();
        Ok(())
    }

    /// Asks until an answer comes.
    fn command(&self, command: Command) -> Result<Answer, CommandError> {
        for _ in 0..N_TRIES {
            if let Some(answer) = self.ask(command)? {
                return self.accept(answer);
            }
        }
        Err(self.no_answer(command.code()))
    }

    /// Asks once; `None` if no answer came in time.
    fn ask(&self, command: Command) -> Result<Option<Answer>, CommandError> {
        let (answers, answered) = bounded(1);
        // A reader that has ended takes no orders, and drops the way back for answers.
        let sent = self.orders.send_timeout(Order::Ask(command, answers), ANSWER_LIMIT);
        let answer = sent.ok().and_then(|()| answered.recv_timeout(ANSWER_LIMIT).ok());
        match (answer, self.lost()) {
            (None, Some(lost)) => Err(lost.into()),
            (answer, _) => Ok(answer),
        }
    }

    fn accept(&self, answer: Answer) -> Result<Answer, CommandError> {
        match answer.outcome {
            Outcome::Done => Ok(answer),
            outcome => Err(CommandError::Refused {
                port: self.port.clone(),
                command: answer.command,
                outcome,
            }),
        }
    }

    fn no_answer(&self, command: CommandCode) -> CommandError {
        CommandError::NoAnswer { port: self.port.clone(), command }
    }
}

impl Drop for BoardSession {
    fn drop(&mut self) {
        self.shared.closing.store(true, Ordering::Relaxed);
        // A reader that has ended by itself takes no orders; its thread is joined all the same.
        drop(self.orders.try_send(Order::Close));
        // One that hangs in the system is left behind: it touches nothing any more.
        let ended = self.ended.recv_timeout(CLOSE_LIMIT) == Err(RecvTimeoutError::Disconnected);
        if let Some(thread) = self.thread.take_if(|_| ended) {
            drop(thread.join());
        }
    }
}
