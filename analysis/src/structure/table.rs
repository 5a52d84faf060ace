//! All structure measures of a trial, and their table.

use crate::analyser::Analyser;
use crate::measure_table::Unit;
use crate::not_available::{NotAvailable, Reading};
use crate::point::{Point, point_from_cop};
use crate::settings::{Processing, Settings};
use crate::structure::diffusion::{Diffusion, diffusion};
use crate::structure::fluctuation::fluctuation_exponent;
use crate::structure::sample_entropy::sample_entropy;
use crate::trace::Trace;

/// Every fourth sample of the standard 100 Hz is taken: the filter has left little above 10 Hz, and
/// at a higher rate neighbours say the same thing twice.
const KEEP_EVERY: usize = 4;
const RATE_HZ: f64 = 25.0;

/// Structure of one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisStructure {
    /// Sample entropy, patterns of two, tolerance 0.2 of the standard deviation.
    pub sample_entropy: Reading,
    /// Exponent of the detrended fluctuation.
    pub fluctuation_exponent: Reading,
}

/// How the sway of a trial is put together in time, after the standard processing, at 25 Hz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Structure {
    /// Medio-lateral.
    pub ml: AxisStructure,
    /// Antero-posterior.
    pub ap: AxisStructure,
    /// Stabilogram diffusion of both axes together.
    pub diffusion: Result<Diffusion, NotAvailable>,
}

/// Structure of a trace. The body height plays no part.
///
/// # Errors
/// The reason why there is no standard processing of it.
pub fn structure(trace: &Trace) -> Result<Structure, NotAvailable> {
    let settings = Settings { processing: Processing::Standard, body_height_m: None };
    let processed = Analyser::new().processed(trace, &settings)?;
    let points: Vec<Point> =
        processed.points().iter().step_by(KEEP_EVERY).map(|&cop| point_from_cop(cop)).collect();
    let axis = |value: fn(&Point) -> f64| {
        let series: Vec<f64> = points.iter().map(value).collect();
        AxisStructure {
            sample_entropy: sample_entropy(&series),
            fluctuation_exponent: fluctuation_exponent(&series),
        }
    };
    Ok(Structure {
        ml: axis(|point| point.re),
        ap: axis(|point| point.im),
        diffusion: diffusion(&points, RATE_HZ),
    })
}

/// One structure measure: its name in files, what it means and how to read it off.
#[derive(Debug, Clone, Copy)]
pub struct StructureDef {
    /// Its name in files, the same for ever.
    pub key: &'static str,
    /// The unit of its value.
    pub unit: Unit,
    /// Its definition in one line.
    pub definition: &'static str,
    /// Who defined it.
    pub source: &'static str,
    /// Reads it off.
    pub value: fn(&Structure) -> Reading,
}

const RICHMAN: &str = "Richman & Moorman 2000, Am J Physiol Heart Circ Physiol 278:H2039";
const PENG: &str = "Peng et al. 1994, Phys Rev E 49:1685";
const COLLINS: &str = "Collins & De Luca 1993, Exp Brain Res 95:308";

/// Every structure measure, in the order of reports.
pub const STRUCTURE_MEASURES: &[StructureDef] = &[
    StructureDef {
        key: "sample_entropy_ml",
        unit: Unit::One,
        definition: "medio-lateral sample entropy, m = 2, r = 0.2 standard deviations",
        source: RICHMAN,
        value: |s| s.ml.sample_entropy,
    },
    StructureDef {
        key: "sample_entropy_ap",
        unit: Unit::One,
        definition: "antero-posterior sample entropy, m = 2, r = 0.2 standard deviations",
        source: RICHMAN,
        value: |s| s.ap.sample_entropy,
    },
    StructureDef {
        key: "fluctuation_exponent_ml",
        unit: Unit::One,
        definition: "medio-lateral detrended fluctuation exponent, order 1, windows of 16 to N/4",
        source: PENG,
        value: |s| s.ml.fluctuation_exponent,
    },
    StructureDef {
        key: "fluctuation_exponent_ap",
        unit: Unit::One,
        definition: "antero-posterior detrended fluctuation exponent, order 1, windows of 16 to N/4",
        source: PENG,
        value: |s| s.ap.fluctuation_exponent,
    },
    StructureDef {
        key: "diffusion_short_slope",
        unit: Unit::SquareMillimetresPerSecond,
        definition: "slope of the mean squared distance over lags up to 0.6 s",
        source: COLLINS,
        value: |s| Ok(s.diffusion?.short_slope_mm2_per_s),
    },
    StructureDef {
        key: "diffusion_long_slope",
        unit: Unit::SquareMillimetresPerSecond,
        definition: "slope of the mean squared distance over lags of 2 to 10 s",
        source: COLLINS,
        value: |s| Ok(s.diffusion?.long_slope_mm2_per_s),
    },
    StructureDef {
        key: "diffusion_critical_time",
        unit: Unit::Seconds,
        definition: "time at which the short-term and the long-term line cross",
        source: COLLINS,
        value: |s| s.diffusion?.critical_time_s,
    },
    StructureDef {
        key: "diffusion_critical_distance",
        unit: Unit::SquareMillimetres,
        definition: "mean squared distance at which the short-term and the long-term line cross",
        source: COLLINS,
        value: |s| s.diffusion?.critical_distance_mm2,
    },
];
