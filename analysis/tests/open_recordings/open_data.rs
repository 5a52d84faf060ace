//! The open recordings and check values in `tests/open-data`, read for tests.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::PathBuf;

use analysis::{Cop, Plane, SampleRate, Trace};
use flate2::read::GzDecoder;
use serde_json::{Map, Value};

/// A file of the folder with the open recordings.
pub(crate) fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data").join(name)
}

/// One line of a recording: forces in newtons, moments in newton metres.
pub(crate) struct PlateSample {
    pub(crate) cop: Cop,
    pub(crate) force_ml_newtons: f64,
    pub(crate) force_ap_newtons: f64,
    pub(crate) force_vertical_newtons: f64,
}

/// Every line of a recording such as `BDS00001`, in our axes and millimetres.
///
/// In the file x is antero-posterior and y medio-lateral; centimetres become millimetres.
pub(crate) fn plate_samples(recording: &str) -> Vec<PlateSample> {
    let file = File::open(path(&format!("{recording}.txt.gz"))).unwrap();
    let mut text = String::new();
    GzDecoder::new(file).read_to_string(&mut text).unwrap();
    let mut lines = text.lines();
    let header: Vec<&str> = lines.next().unwrap().split('\t').collect();
    let column = |name: &str| header.iter().position(|&found| found == name).unwrap();
    let (ml, ap) = (column("COPy[cm]"), column("COPx[cm]"));
    let (force_ml, force_ap) = (column("Fy[N]"), column("Fx[N]"));
    let vertical = column("Fz[N]");
    lines
        .map(|line| {
            let values: Vec<f64> = line.split('\t').map(|cell| cell.parse().unwrap()).collect();
            PlateSample {
                cop: Cop::new(10.0 * values[ml], 10.0 * values[ap]),
                force_ml_newtons: values[force_ml],
                force_ap_newtons: values[force_ap],
                force_vertical_newtons: values[vertical],
            }
        })
        .collect()
}

/// The first `n_samples` of a recording at 100 Hz, or all of it.
pub(crate) fn trace(recording: &str, n_samples: Option<usize>) -> Trace {
    let samples = plate_samples(recording);
    let n_samples = n_samples.unwrap_or(samples.len());
    let points = samples[..n_samples].iter().map(|sample| sample.cop).collect();
    Trace::new(SampleRate::STANDARD, Plane::Plate, points).unwrap()
}

/// A file of check values.
pub(crate) fn golden(name: &str) -> Map<String, Value> {
    let text = fs::read_to_string(path(name)).unwrap();
    let Value::Object(trials) = serde_json::from_str(&text).unwrap() else {
        panic!("{name} is not an object");
    };
    trials
}
