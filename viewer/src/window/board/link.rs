//! A board that is shown: connected and let go by a thread, read by the window.

use std::io;
use std::sync::Arc;

use acquisition::{
    BoardAddress, BoardFrame, BoardIdentity, BoardLost, BoardSession, Calibration, CommandError,
    ConnectError, Zero, forces_from_counts,
};
use thiserror::Error;

use crate::strings::{Language, Message};
use crate::window::loader::{Loader, Outlet};

/// Why a board is not shown.
#[derive(Debug, Error)]
pub(crate) enum LinkError {
    /// It cannot be connected.
    #[error(transparent)]
    Connect(#[from] ConnectError),
    /// It does not start to send.
    #[error(transparent)]
    Start(#[from] CommandError),
}

enum Request {
    Connect(BoardAddress),
    /// Stops the board and gives the port back, which takes a moment.
    LetGo(Arc<BoardSession>),
}

type Answer = Result<Arc<BoardSession>, LinkError>;

/// What is known of the board at this moment.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BoardNow {
    /// Who it is.
    pub identity: BoardIdentity,
    /// Its newest frame; `None` before the first.
    pub frame: Option<BoardFrame>,
    /// Load on each corner in newtons, once there is a zero.
    pub forces_newtons: Option<[f64; 4]>,
    /// Where the design puts the corners.
    pub calibration: Calibration,
}

/// The way from the window to one board.
pub(crate) struct BoardLink {
    thread: Loader<Request, Answer>,
    session: Option<Arc<BoardSession>>,
    zero: Option<Zero>,
}

impl BoardLink {
    /// No board yet.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub(crate) fn start(ctx: &egui::Context) -> io::Result<Self> {
        let thread = Loader::start(ctx, |request, outlet: &Outlet<Answer>| match request {
            Request::Connect(address) => outlet.give(connect(&address)),
            Request::LetGo(session) => drop(session),
        })?;
        Ok(Self { thread, session: None, zero: None })
    }

    /// Begins to connect; what was connected is let go first.
    pub(crate) fn connect(&mut self, address: BoardAddress) {
        self.let_go();
        self.thread.ask(Request::Connect(address));
    }

    /// Lets the board go.
    pub(crate) fn let_go(&mut self) {
        self.zero = None;
        if let Some(session) = self.session.take() {
            self.thread.ask(Request::LetGo(session));
        }
    }

    /// Whether a connection is being made.
    pub(crate) fn is_busy(&self) -> bool {
        self.thread.is_busy()
    }

    /// Takes what the thread has done; gives what went wrong, the loss of the board included.
    pub(crate) fn update(&mut self) -> Vec<LinkProblem> {
        let answers = self.thread.answers();
        self.take(answers)
    }

    /// As [`update`](Self::update), once all that was asked for is done.
    pub(crate) fn finish(&mut self) -> Vec<LinkProblem> {
        let answers = self.thread.finish();
        self.take(answers)
    }

    fn take(&mut self, answers: Vec<Answer>) -> Vec<LinkProblem> {
        let mut problems = Vec::new();
        for answer in answers {
            match answer {
                Ok(session) => self.session = Some(session),
                Err(error) => problems.push(LinkProblem::NotConnected(error)),
            }
        }
        if let Some(lost) = self.session.as_ref().and_then(|session| session.lost()) {
            problems.push(LinkProblem::Lost(lost));
            self.let_go();
        }
        problems
    }

    /// Takes the newest counts for those of the empty board: good enough to see loads come and go.
    pub(crate) fn take_zero(&mut self) {
        let frame = self.session.as_ref().and_then(|session| session.latest());
        self.zero = frame.map(|frame| Zero {
            counts: frame.counts.map(f64::from),
            board_time_us: frame.time_us,
        });
    }

    /// What is known of the board now; `None` without one.
    pub(crate) fn now(&self) -> Option<BoardNow> {
        let session = self.session.as_ref()?;
        let identity = session.identity();
        let calibration = Calibration::nominal(&identity.board_id, identity.gain);
        let frame = session.latest();
        let forces =
            |frame: BoardFrame, zero: &Zero| forces_from_counts(frame.counts, zero, &calibration);
        let forces_newtons = frame.zip(self.zero.as_ref()).map(|(frame, zero)| forces(frame, zero));
        Some(BoardNow { identity, frame, forces_newtons, calibration })
    }
}

/// What went wrong with a board.
#[derive(Debug)]
pub(crate) enum LinkProblem {
    /// It could not be connected.
    NotConnected(LinkError),
    /// It was connected and is gone.
    Lost(BoardLost),
}

impl LinkProblem {
    /// What the person reads.
    pub(crate) fn message(&self, words: &Language) -> Message {
        match self {
            Self::NotConnected(LinkError::Connect(error)) => (words.board_not_connected)(error),
            Self::NotConnected(LinkError::Start(error)) => (words.board_not_started)(error),
            Self::Lost(lost) => (words.board_lost)(lost),
        }
    }
}

fn connect(address: &BoardAddress) -> Answer {
    let session = BoardSession::connect(address)?;
    session.start()?;
    Ok(Arc::new(session))
}

impl std::fmt::Debug for BoardLink {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("BoardLink")
            .field("connected", &self.session.is_some())
            .finish_non_exhaustive()
    }
}
