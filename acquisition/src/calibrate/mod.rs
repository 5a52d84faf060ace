//! Calibrating a board with a known mass: from placements to gains, positions and what is left over.
//!
//! [`GuidedCalibration`] asks for the spots and makes the [`CalibrationRecord`]. Behind it:
//! [`capture`] turns a few seconds of counts into one [`Placement`] or names what
//! disturbed it; [`suspect`] looks for a board that is wired or built wrongly; [`joint_fit`] solves
//! for all twelve numbers at once and says which placement is off when they do not agree;
//! [`PlateUncertainty`] tells how far the centre of pressure can be wrong, and where.

mod capture;
mod chance;
mod guided_calibration;
mod joint_fit;
mod placement;
mod record;
mod solve;
mod suspect;
mod uncertainty;

pub use capture::{CaptureFault, CaptureLimits, capture};
pub(crate) use chance::chi_square_limit;
pub use guided_calibration::{
    CalibrationPlan, CalibrationRefused, GuidedCalibration, Jig, Made, Purpose, STATED_REACH_MM,
    Spot,
};
pub(crate) use guided_calibration::{HOLD_OUTS, REACH_MM};
pub use joint_fit::{FitError, JointFit, Knowledge, Leftover, joint_fit};
pub use placement::{GRAVITY_M_PER_S2, Placement, nine_places};
pub use record::{CalibrationRecord, HoldOutCheck, SpotRecord};
pub use suspect::{BoardFault, suspect};
pub use uncertainty::{PlateUncertainty, TypeB};
