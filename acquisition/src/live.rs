//! What is shown while somebody stands: load, centre of pressure, wobble of the last 5 s.

use analysis::Cop;

/// Live numbers of one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveView {
    /// Board time of the frame, in microseconds.
    pub time_us: u64,
    /// Total load, in newtons.
    pub load_newtons: f64,
    /// Centre of pressure in the plate's plane; `None` below the load threshold.
    pub cop: Option<Cop>,
    /// Estimate of the body centre now; `None` before there is one.
    pub body_centre: Option<Cop>,
    /// Largest distance between two body centres of the last 5 s, in millimetres; `None` until 5 s
    /// of standing have passed.
    pub wobble_mm: Option<f64>,
}
