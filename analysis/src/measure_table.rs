//! The one table of all measures.

use crate::keyed::keyed_enum;
use crate::measures::Measures;
use crate::not_available::{NotAvailable, Reading};

keyed_enum! {
    /// The unit of a measure; its key is the unit's sign in plain letters.
    pub enum Unit ("unit") {
        /// Seconds.
        Seconds = "s",
        /// Millimetres.
        Millimetres = "mm",
        /// Square millimetres.
        SquareMillimetres = "mm^2",
        /// Millimetres per second.
        MillimetresPerSecond = "mm/s",
        /// Square millimetres per second.
        SquareMillimetresPerSecond = "mm^2/s",
        /// Hertz.
        Hertz = "Hz",
        /// Degrees of angle.
        Degrees = "deg",
        /// A share of a whole, from 0 to 1.
        Share = "share",
        /// A number of things.
        Count = "count",
        /// A number without a unit.
        One = "1",
    }
}

keyed_enum! {
    /// What a measure speaks of.
    pub enum Group ("group of measures") {
        /// The record itself.
        Recording = "recording",
        /// Distances, velocities and areas.
        Displacement = "displacement",
        /// Frequency content.
        Frequency = "frequency",
        /// The estimated body centre.
        BodyCentre = "body-centre",
        /// Wobble over 5 s windows.
        Wobble = "wobble",
    }
}

/// One measure: its name in files, what it means and how to read it off.
#[derive(Debug, Clone, Copy)]
pub struct MeasureDef {
    /// Its name in files, the same for ever.
    pub key: &'static str,
    /// The unit of its value.
    pub unit: Unit,
    /// What it speaks of.
    pub group: Group,
    /// Its definition in one line.
    pub definition: &'static str,
    /// Who defined it.
    pub source: &'static str,
    /// Whether it is one of the few that lead a report.
    pub headline: bool,
    /// Reads it off the measures of a trial.
    pub value: fn(&Measures) -> Reading,
}

impl MeasureDef {
    /// The measure with this key.
    pub fn with_key(key: &str) -> Option<&'static Self> {
        MEASURES.iter().find(|measure| measure.key == key)
    }
}

const PRIETO: &str = "Prieto et al. 1996, IEEE Trans Biomed Eng 43:956";
const SCHUBERT: &str = "Schubert & Kirchner 2014, Gait & Posture 39:518";
const SANTOS: &str = "Santos & Duarte 2016, PeerJ 4:e2648";
const WINTER: &str =
    "Winter et al. 1998, J Neurophysiol 80:1211; Caron et al. 1997, J Biomech 30:1169";
const CUSTOM: &str = "common practice, no published source";
const OURS: &str = "definition of this project";

/// Key of the wobble, by which a stance is found and a course judged.
pub const WOBBLE: &str = "wobble_median";

/// Every measure, in the order of reports. Files, reports, screens and tests walk this table.
pub const MEASURES: &[MeasureDef] = &[
    MeasureDef {
        key: "duration_s",
        unit: Unit::Seconds,
        group: Group::Recording,
        definition: "time from the first measured sample to the last, (N - 1) / rate",
        source: OURS,
        headline: false,
        value: |m| at_least_two(m).map(|()| m.duration_s),
    },
    MeasureDef {
        key: "path_length",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "sum of the distances from sample to sample",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.path_length_mm),
    },
    MeasureDef {
        key: "path_length_ml",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "sum of the medio-lateral steps, each without its sign",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.path_length_ml_mm),
    },
    MeasureDef {
        key: "path_length_ap",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "sum of the antero-posterior steps, each without its sign",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.path_length_ap_mm),
    },
    MeasureDef {
        key: "mean_velocity",
        unit: Unit::MillimetresPerSecond,
        group: Group::Displacement,
        definition: "path_length over the elapsed time",
        source: PRIETO,
        headline: true,
        value: |m| Ok(m.displacement?.mean_velocity_mm_per_s),
    },
    MeasureDef {
        key: "mean_velocity_ml",
        unit: Unit::MillimetresPerSecond,
        group: Group::Displacement,
        definition: "path_length_ml over the elapsed time",
        source: PRIETO,
        headline: true,
        value: |m| Ok(m.displacement?.mean_velocity_ml_mm_per_s),
    },
    MeasureDef {
        key: "mean_velocity_ap",
        unit: Unit::MillimetresPerSecond,
        group: Group::Displacement,
        definition: "path_length_ap over the elapsed time",
        source: PRIETO,
        headline: true,
        value: |m| Ok(m.displacement?.mean_velocity_ap_mm_per_s),
    },
    MeasureDef {
        key: "mean_distance",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "mean distance from the mean position",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.mean_distance_mm),
    },
    MeasureDef {
        key: "rms_distance",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "root mean square distance from the mean position",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.rms_distance_mm),
    },
    MeasureDef {
        key: "rms_ml",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "medio-lateral standard deviation, divided by N",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.rms_ml_mm),
    },
    MeasureDef {
        key: "rms_ap",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "antero-posterior standard deviation, divided by N",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.rms_ap_mm),
    },
    MeasureDef {
        key: "range_ml",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "medio-lateral maximum minus minimum",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.range_ml_mm),
    },
    MeasureDef {
        key: "range_ap",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "antero-posterior maximum minus minimum",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.range_ap_mm),
    },
    MeasureDef {
        key: "range_max",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "largest distance between any two samples",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.range_max_mm),
    },
    MeasureDef {
        key: "ellipse_area",
        unit: Unit::SquareMillimetres,
        group: Group::Displacement,
        definition: "area of the 95 % prediction ellipse",
        source: SCHUBERT,
        headline: true,
        value: |m| Ok(m.ellipse?.area_mm2),
    },
    MeasureDef {
        key: "ellipse_semi_major",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "half the major axis of the 95 % prediction ellipse",
        source: SCHUBERT,
        headline: false,
        value: |m| Ok(m.ellipse?.semi_major_mm),
    },
    MeasureDef {
        key: "ellipse_semi_minor",
        unit: Unit::Millimetres,
        group: Group::Displacement,
        definition: "half the minor axis of the 95 % prediction ellipse",
        source: SCHUBERT,
        headline: false,
        value: |m| Ok(m.ellipse?.semi_minor_mm),
    },
    MeasureDef {
        key: "ellipse_angle_deg",
        unit: Unit::Degrees,
        group: Group::Displacement,
        definition: "angle of the major axis from the direction to the right, in [0, 180)",
        source: SCHUBERT,
        headline: false,
        value: |m| m.ellipse?.direction_deg(),
    },
    MeasureDef {
        key: "hull_area",
        unit: Unit::SquareMillimetres,
        group: Group::Displacement,
        definition: "area of the convex hull of all samples",
        source: "handbook geometry",
        headline: false,
        value: |m| Ok(m.displacement?.hull_area_mm2),
    },
    MeasureDef {
        key: "sway_area_rate",
        unit: Unit::SquareMillimetresPerSecond,
        group: Group::Displacement,
        definition: "area of the triangles between the mean position and each pair of successive samples, over the elapsed time",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.displacement?.sway_area_rate_mm2_per_s),
    },
    MeasureDef {
        key: "rotation_frequency",
        unit: Unit::Hertz,
        group: Group::Displacement,
        definition: "mean_velocity over the circumference of a circle of radius mean_distance",
        source: PRIETO,
        headline: false,
        value: |m| m.displacement?.rotation_frequency_hz,
    },
    MeasureDef {
        key: "power_ml",
        unit: Unit::SquareMillimetres,
        group: Group::Frequency,
        definition: "medio-lateral power between 0.15 and 5 Hz, m0",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.power_mm2),
    },
    MeasureDef {
        key: "mean_frequency_ml",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "medio-lateral m1 / m0, with m_k the integral of f^k times the density",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.mean_frequency_hz),
    },
    MeasureDef {
        key: "median_frequency_ml",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "half of the medio-lateral power lies below it",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.median_frequency_hz),
    },
    MeasureDef {
        key: "f95_ml",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "95 % of the medio-lateral power lies below it",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.f95_hz),
    },
    MeasureDef {
        key: "centroidal_frequency_ml",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "medio-lateral sqrt(m2 / m0)",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.centroidal_frequency_hz),
    },
    MeasureDef {
        key: "frequency_dispersion_ml",
        unit: Unit::One,
        group: Group::Frequency,
        definition: "medio-lateral sqrt(1 - m1^2 / (m0 m2))",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ml?.frequency_dispersion),
    },
    MeasureDef {
        key: "power_ap",
        unit: Unit::SquareMillimetres,
        group: Group::Frequency,
        definition: "antero-posterior power between 0.15 and 5 Hz, m0",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.power_mm2),
    },
    MeasureDef {
        key: "mean_frequency_ap",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "antero-posterior m1 / m0, with m_k the integral of f^k times the density",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.mean_frequency_hz),
    },
    MeasureDef {
        key: "median_frequency_ap",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "half of the antero-posterior power lies below it",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.median_frequency_hz),
    },
    MeasureDef {
        key: "f95_ap",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "95 % of the antero-posterior power lies below it",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.f95_hz),
    },
    MeasureDef {
        key: "centroidal_frequency_ap",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "antero-posterior sqrt(m2 / m0)",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.centroidal_frequency_hz),
    },
    MeasureDef {
        key: "frequency_dispersion_ap",
        unit: Unit::One,
        group: Group::Frequency,
        definition: "antero-posterior sqrt(1 - m1^2 / (m0 m2))",
        source: PRIETO,
        headline: false,
        value: |m| Ok(m.frequency?.ap?.frequency_dispersion),
    },
    MeasureDef {
        key: "mean_frequency",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "mean of mean_frequency_ml and mean_frequency_ap, each weighted by its power",
        source: PRIETO,
        headline: true,
        value: |m| m.frequency?.mean_frequency_hz,
    },
    MeasureDef {
        key: "mean_frequency_full_band",
        unit: Unit::Hertz,
        group: Group::Frequency,
        definition: "mean frequency over all bins, 0 Hz included, each axis weighted by the plain sum of its bins",
        source: SANTOS,
        headline: false,
        value: |m| m.frequency?.mean_frequency_full_band_hz,
    },
    MeasureDef {
        key: "body_rms_ml",
        unit: Unit::Millimetres,
        group: Group::BodyCentre,
        definition: "medio-lateral standard deviation of the estimated body centre, divided by N",
        source: WINTER,
        headline: false,
        value: |m| Ok(m.body?.rms_ml_mm),
    },
    MeasureDef {
        key: "body_rms_ap",
        unit: Unit::Millimetres,
        group: Group::BodyCentre,
        definition: "antero-posterior standard deviation of the estimated body centre, divided by N",
        source: WINTER,
        headline: false,
        value: |m| Ok(m.body?.rms_ap_mm),
    },
    MeasureDef {
        key: "cop_body_rms_ml",
        unit: Unit::Millimetres,
        group: Group::BodyCentre,
        definition: "medio-lateral standard deviation of centre of pressure minus body centre",
        source: WINTER,
        headline: false,
        value: |m| Ok(m.body?.cop_rms_ml_mm),
    },
    MeasureDef {
        key: "cop_body_rms_ap",
        unit: Unit::Millimetres,
        group: Group::BodyCentre,
        definition: "antero-posterior standard deviation of centre of pressure minus body centre",
        source: WINTER,
        headline: false,
        value: |m| Ok(m.body?.cop_rms_ap_mm),
    },
    MeasureDef {
        key: WOBBLE,
        unit: Unit::Millimetres,
        group: Group::Wobble,
        definition: "median over 5 s windows of the largest distance between two positions of the body centre",
        source: OURS,
        headline: true,
        value: |m| Ok(m.wobble?.median_mm),
    },
    MeasureDef {
        key: "wobble_p95",
        unit: Unit::Millimetres,
        group: Group::Wobble,
        definition: "95th percentile over 5 s windows of the same distance",
        source: OURS,
        headline: false,
        value: |m| Ok(m.wobble?.p95_mm),
    },
    MeasureDef {
        key: "wobble_windows",
        unit: Unit::Count,
        group: Group::Wobble,
        definition: "number of complete 5 s windows, one second apart",
        source: OURS,
        headline: false,
        value: |m| Ok(m.wobble?.n_windows as f64),
    },
    MeasureDef {
        key: "share_under",
        unit: Unit::Share,
        group: Group::Wobble,
        definition: "share of windows under 6.35 mm",
        source: CUSTOM,
        headline: false,
        value: |m| Ok(m.wobble?.share_under),
    },
    MeasureDef {
        key: "share_inside",
        unit: Unit::Share,
        group: Group::Wobble,
        definition: "share of windows from 6.35 to 25.4 mm",
        source: CUSTOM,
        headline: true,
        value: |m| Ok(m.wobble?.share_inside),
    },
    MeasureDef {
        key: "share_over",
        unit: Unit::Share,
        group: Group::Wobble,
        definition: "share of windows over 25.4 mm",
        source: CUSTOM,
        headline: false,
        value: |m| Ok(m.wobble?.share_over),
    },
];

fn at_least_two(measures: &Measures) -> Result<(), NotAvailable> {
    measures.displacement.map(|_| ())
}
