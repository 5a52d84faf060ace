//! Every measure of one trial, in groups.

use crate::body_centre::BodySway;
use crate::displacement::Displacement;
use crate::ellipse::SwayEllipse;
use crate::frequency::FrequencyContent;
use crate::not_available::NotAvailable;
use crate::sample_rate::SampleRate;
use crate::settings::Settings;
use crate::wobble::Wobble;
use crate::{Cop, Plane};

/// Every measure of one trial, with what it was made from.
///
/// A group is missing as a whole, with its reason, when its definition cannot be applied. To walk
/// all values by key, use [`MEASURES`](crate::MEASURES).
#[derive(Debug, Clone, PartialEq)]
pub struct Measures {
    /// The settings the values were made with.
    pub settings: Settings,
    /// The plane of the trace.
    pub plane: Plane,
    /// Samples per second of what was measured: 100 after the standard processing.
    pub rate: SampleRate,
    /// Samples of what was measured, after trimming.
    pub n_samples: usize,
    /// True when the body height was not known, so that the body centre and the wobble rest on
    /// [`Settings::ASSUMED_BODY_HEIGHT_M`].
    pub body_height_assumed: bool,
    /// Time from the first measured sample to the last, in seconds; 0 for fewer than two.
    pub duration_s: f64,
    /// Mean position of the centre of pressure on the board.
    pub mean_cop: Result<Cop, NotAvailable>,
    /// Path, velocity, distances and areas.
    pub displacement: Result<Displacement, NotAvailable>,
    /// The 95 % prediction ellipse.
    pub ellipse: Result<SwayEllipse, NotAvailable>,
    /// Power and frequencies per axis and of the resultant.
    pub frequency: Result<FrequencyContent, NotAvailable>,
    /// Sway of the estimated body centre.
    pub body: Result<BodySway, NotAvailable>,
    /// Wobble over 5 s windows.
    pub wobble: Result<Wobble, NotAvailable>,
}
