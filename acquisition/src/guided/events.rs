//! What the person is asked for, what is told on the way, and what cannot be brought to an end.

use thiserror::Error;

use crate::calibrate::CaptureFault;
use crate::calibration::corner_name;
use crate::recorder::ZeroTrouble;

/// How often one loading may be done again (our own choice).
pub(super) const MOST_TRIES: u32 = 3;

/// How long the person may take for one station, in seconds of board time (our own choice).
pub(super) const PATIENCE_S: f64 = 900.0;

/// What the person should do now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Request {
    /// Take everything off and touch nothing.
    Empty {
        /// What keeps the board from being at rest.
        trouble: Option<ZeroTrouble>,
    },
    /// Put this mass at this place.
    PutDown {
        /// Everything on the board, in kilograms.
        mass_kg: f64,
        /// To the right of the centre, in millimetres.
        ml_mm: f64,
        /// Forward of the centre, in millimetres.
        ap_mm: f64,
    },
    /// Leave it alone: it settles.
    Settle,
    /// Leave it alone: it is being read.
    Read,
    /// Do what the test asks for; everything is kept.
    Watch,
    /// Step on and off.
    Exercise,
    /// Nothing more.
    Done,
}

/// Something worth telling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GuidedEvent {
    /// The empty board was read.
    Zeroed {
        /// The largest change of a cell since the last time, in newtons.
        moved_newtons: Option<f64>,
    },
    /// The load of this station was read.
    Read {
        /// Which station, from 0.
        station: usize,
    },
    /// The load of this station was disturbed and is asked for again.
    Disturbed {
        /// Which station, from 0.
        station: usize,
        /// By what.
        fault: CaptureFault,
    },
    /// The zero moved too much over a loading, which is done again.
    ZeroMoved {
        /// Which corner moved most, from 0.
        corner: usize,
        /// By how much, in newtons.
        newtons: f64,
    },
    /// Everything was read.
    Finished,
}

/// Readings that cannot be brought to an end.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum Stuck {
    /// A loading failed again and again.
    #[error("the load was disturbed {MOST_TRIES} times")]
    Disturbed {
        /// Which station, from 0.
        station: usize,
        /// The last disturbance.
        source: CaptureFault,
    },
    /// The zero moved again and again.
    #[error(
        "the zero of the {} corner moved by {newtons:.2} N over one loading, {MOST_TRIES} times",
        corner_name(*.corner)
    )]
    ZeroMoved {
        /// Which corner, from 0.
        corner: usize,
        /// By how much, in newtons.
        newtons: f64,
    },
    /// The person did not do what was asked for.
    #[error("nothing happened at station {station} for {PATIENCE_S} s")]
    Waited {
        /// Which station, from 0.
        station: usize,
    },
}
