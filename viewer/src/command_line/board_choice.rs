//! Which board `footing record` uses, and the same one again after an unplug.

use std::path::Path;
use std::time::Duration;

use acquisition::{BoardAddress, BoardLost, BoardPlaces, BoardSession, find_board, wait_for_board};

use super::output;
use super::problem::Problem;
use crate::strings::with_causes;

/// How long a board that was unplugged is waited for: somebody has to find the cable.
const PATIENCE: Duration = Duration::from_mins(1);

/// Where the person said the board is.
#[derive(Debug)]
pub(crate) struct BoardChoice {
    places: BoardPlaces,
}

impl BoardChoice {
    /// From what was typed.
    pub(crate) fn new(port: Option<&str>, ports_in: Option<&Path>) -> Self {
        let places = match (port.map(str::parse::<BoardAddress>), ports_in) {
            (Some(Ok(address)), _) => BoardPlaces::At(address),
            (Some(Err(never)), _) => match never {},
            (None, Some(folder)) => BoardPlaces::Folder(folder.to_owned()),
            (None, None) => BoardPlaces::System,
        };
        Self { places }
    }

    /// The board at the place named, or the one there is.
    pub(crate) fn connect(&self) -> Result<BoardSession, Problem> {
        match &self.places {
            BoardPlaces::At(address) => Ok(BoardSession::connect(address)?),
            BoardPlaces::System | BoardPlaces::Folder(_) => Ok(find_board(&self.places)?),
        }
    }

    /// The same board again, under whatever name.
    pub(crate) fn wait_for(
        &self,
        board_id: &str,
        lost: &BoardLost,
    ) -> Result<BoardSession, Problem> {
        output::remark(&format!(
            "The board is gone before the stand began: {}.\n  What to do: plug it in again, or turn \
             it on; it is waited for, a minute at most.",
            with_causes(lost)
        ));
        let session = wait_for_board(&self.places, board_id, PATIENCE)?;
        output::remark(&format!("The board is back on {}.", session.port()));
        Ok(session)
    }
}
