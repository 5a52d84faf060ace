//! Boards found without being told their port, and found again after an unplug.

mod candidates;

use std::collections::BTreeMap;
use std::fmt;
use std::io;
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use thiserror::Error;

use crate::board_session::{BoardSession, ConnectError};
use crate::transport::BoardAddress;

/// How often the ports are looked at while a board is waited for.
const LOOK_EVERY: Duration = Duration::from_millis(200);

/// A port that answered nothing is asked again after this long: a board may still have been starting.
const ASK_AGAIN: Duration = Duration::from_secs(2);

/// Most ports that are asked at once (our own limit).
const MOST_PORTS: usize = 32;

/// Where to look for boards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoardPlaces {
    /// The system's USB serial ports: those that call themselves a board where any does, else all.
    System,
    /// The serial devices in a folder, such as links that the system's own rules made.
    Folder(PathBuf),
    /// One place only. A lost board is also looked for on the system's ports.
    At(BoardAddress),
}

/// A board that answered, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundBoard {
    /// Where it is.
    pub port: String,
    /// Its unique id.
    pub board_id: String,
}

/// As in `/dev/ttyACM0 (board 0102...)`.
impl fmt::Display for FoundBoard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (board {})", self.port, self.board_id)
    }
}

/// It is not clear which board is meant.
#[derive(Debug, Error)]
pub enum FindBoardError {
    /// The ports cannot be listed.
    #[error("the ports cannot be listed")]
    List(#[source] io::Error),
    /// No port could have a board.
    #[error("no port was found that could have a board")]
    NoPort,
    /// Ports were asked, and none has a board that can be used.
    #[error("none of {} ports has a board that can be used", refused.len())]
    NoBoard {
        /// What each port said.
        refused: Vec<ConnectError>,
    },
    /// There are several.
    #[error("there are {} boards", boards.len())]
    Several {
        /// They, in order of their ports.
        boards: Vec<FoundBoard>,
    },
    /// The board did not come back.
    #[error("board {board_id} did not come back within {waited:.0?}")]
    NotBack {
        /// Which board.
        board_id: String,
        /// How long it was waited for.
        waited: Duration,
    },
}

/// Connects to the one board there is.
///
/// # Errors
/// [`FindBoardError`] if there is none, or more than one. Boards that are not used are let go of.
pub fn find_board(places: &BoardPlaces) -> Result<BoardSession, FindBoardError> {
    let addresses = candidates::addresses(places).map_err(FindBoardError::List)?;
    if addresses.is_empty() {
        return Err(FindBoardError::NoPort);
    }
    let (mut found, mut refused) = (Vec::new(), Vec::new());
    for outcome in ask_all(&addresses) {
        match outcome {
            Ok(session) => found.push(session),
            Err(error) => refused.push(error),
        }
    }
    if found.len() > 1 {
        let boards = found.iter().map(describe).collect();
        return Err(FindBoardError::Several { boards });
    }
    found.pop().ok_or(FindBoardError::NoBoard { refused })
}

/// Waits until the board with this unique id answers again, whatever its port is called by then.
///
/// # Errors
/// [`FindBoardError::NotBack`] after `patience`, and [`FindBoardError::List`].
pub fn wait_for_board(
    places: &BoardPlaces,
    board_id: &str,
    patience: Duration,
) -> Result<BoardSession, FindBoardError> {
    let begun = Instant::now();
    let mut asked: BTreeMap<String, Instant> = BTreeMap::new();
    while begun.elapsed() < patience {
        let mut addresses =
            candidates::addresses_after_a_loss(places).map_err(FindBoardError::List)?;
        // A port that went away and came back is worth asking at once.
        asked.retain(|port, when| {
            when.elapsed() < ASK_AGAIN
                && addresses.iter().any(|address| address.to_string() == *port)
        });
        addresses.retain(|address| !asked.contains_key(&address.to_string()));
        for outcome in ask_all(&addresses) {
            match outcome {
                Ok(session) if session.identity().board_id == board_id => return Ok(session),
                Ok(_) | Err(_) => {}
            }
        }
        asked.extend(addresses.iter().map(|address| (address.to_string(), Instant::now())));
        thread::sleep(LOOK_EVERY);
    }
    Err(FindBoardError::NotBack { board_id: board_id.to_owned(), waited: patience })
}

/// Asks every port at the same time: one on which nothing answers takes two seconds.
fn ask_all(addresses: &[BoardAddress]) -> Vec<Result<BoardSession, ConnectError>> {
    thread::scope(|scope| {
        let asked: Vec<_> = addresses
            .iter()
            .take(MOST_PORTS)
            .map(|address| scope.spawn(|| BoardSession::connect(address)))
            .collect();
        asked
            .into_iter()
            .map(|thread| thread.join().expect("asking a board who it is does not panic"))
            .collect()
    })
}

fn describe(session: &BoardSession) -> FoundBoard {
    FoundBoard { port: session.port().to_owned(), board_id: session.identity().board_id }
}
