//! What is asked for, in order.

use crate::calibration::Calibration;

/// One thing the person is asked to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Station {
    /// Nothing on the board: after `rest_s` without load, five seconds that agree become a zero.
    Empty {
        /// How long the load must have been away, in seconds; creep returns meanwhile.
        rest_s: f64,
    },
    /// A mass at a place, read once it has rested.
    Mass {
        /// Everything that lies on the board then, in kilograms.
        mass_kg: f64,
        /// Where its centre is, to the right of the board's centre, in millimetres.
        ml_mm: f64,
        /// Where its centre is, forward of the board's centre, in millimetres.
        ap_mm: f64,
        /// How long it rests before it is read, in seconds.
        settle_s: f64,
        /// How long it is read, in seconds.
        read_s: f64,
    },
    /// Everything is kept for a while, whatever is done: a tap, a drop, nothing at all.
    Watch {
        /// How long, in seconds.
        seconds: f64,
    },
    /// At least this much on the board for a moment, then nothing: plates and cells settle.
    Exercise {
        /// The least load, in newtons.
        least_newtons: f64,
    },
}

/// Stations in order, and by which measure the board is judged to be at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// In the order in which they are asked for; the first is [`Station::Empty`], and so is the
    /// last if the zero after is wanted.
    pub stations: Vec<Station>,
    /// A calibration that is roughly right, such as the nominal one.
    pub calibration: Calibration,
    /// The board's frames per second.
    pub frames_per_s: f64,
    /// Largest change of a cell's zero over one loading, in newtons; beyond it the loading is done
    /// again. Infinite where that change is what is asked about.
    pub zero_moved_newtons: f64,
}

/// The zero policy's limit for a single loading: 100 g on any cell.
///
/// # Source
/// The project's error budget: four cells 100 g off move the centre of pressure by 0.7 mm at 60 kg.
pub(crate) const ZERO_MOVED_NEWTONS: f64 = 1.0;

/// How long after the load left the zero is taken again, in seconds: creep returns meanwhile.
///
/// # Source
/// The project's error budget: 10 s leave 1 g a cell on the recommended build, 5 g on the budget one.
pub(crate) const REST_S: f64 = 10.0;
