//! What the comparison shows, ready to be drawn: words, and lines in millimetres, seconds and hertz.

use crate::window::compare::series::Series;

/// Which trial of each set is drawn, A first; `None` for all of them.
pub type Picked = [Option<usize>; 2];

/// The trials of a set that are drawn.
pub(crate) fn picked_of<T>(items: &[T], picked: Option<usize>) -> impl Iterator<Item = &T> {
    items.iter().enumerate().filter(move |(i, _)| picked.is_none_or(|p| p == *i)).map(|(_, t)| t)
}

/// Everything the comparison of two sets shows.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareView {
    /// The two sets, A first.
    pub sets: [SetView; 2],
    /// Centre of pressure over time, ML above AP, in millimetres over seconds.
    pub over_time: AxisPair,
    /// Power spectral density, ML above AP, in square millimetres per hertz over hertz.
    pub spectra: AxisPair,
    /// What the changes are called.
    pub change_head: &'static str,
    /// Measures in report order; those that lead come first.
    pub rows: Vec<MeasureRow>,
    /// Why the two sets are not compared, if they are not.
    pub refusal: Option<String>,
}

/// One of the two sets.
#[derive(Debug, Clone, PartialEq)]
pub struct SetView {
    /// Who, what, when and how many, in a line.
    pub title: String,
    /// Doubts about the recordings, each in a line; empty if there are none.
    pub doubts: Vec<String>,
    /// One path a trial.
    pub paths: Vec<PathView>,
}

/// The sway path of one trial around its own mean.
#[derive(Debug, Clone, PartialEq)]
pub struct PathView {
    /// Which trial it is, in words.
    pub name: String,
    /// Medio-lateral and antero-posterior position, in millimetres from the mean: one unbroken line,
    /// or for a long record the parts of it that reach new places.
    pub parts_mm: Vec<Vec<[f64; 2]>>,
    /// Outline of the 95 % prediction ellipse, closed; empty if there is none.
    pub ellipse_mm: Vec<[f64; 2]>,
    /// The path's largest coordinate, without its sign.
    pub reach_mm: f64,
}

/// Lines of both axes, drawn as two panels over one horizontal axis.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisPair {
    /// What the horizontal axis shows, with its unit.
    pub across: String,
    /// The two panels, medio-lateral first.
    pub panels: [Panel; 2],
}

/// Lines over one horizontal axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// What the vertical axis shows, with its unit.
    pub upward: String,
    /// The lines of set A, then those of set B: one a trial.
    pub lines: [Vec<LineView>; 2],
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineView {
    /// Which trial it is, in words.
    pub name: String,
    /// Its values over evenly placed times or frequencies.
    pub series: Series,
}

/// One measure of both sets and the change from A to B.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureRow {
    /// Name of the measure.
    pub name: String,
    /// Its unit; empty for a pure number.
    pub unit: String,
    /// Its definition in a line.
    pub definition: &'static str,
    /// Whether the measure leads the table.
    pub leads: bool,
    /// Value of each set, A first, or why there is none.
    pub values: [String; 2],
    /// The change from A to B; `None` where the two are not compared, with the reason in `verdict`.
    pub change: Option<ChangeView>,
    /// Smallest change that repeats of one person would not show by chance, or that it is unknown.
    pub detectable: String,
    /// Whether the change exceeds it, in words.
    pub verdict: String,
    /// The same as a mark.
    pub mark: VerdictMark,
}

/// The change from A to B.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeView {
    /// The change as a ratio or a difference.
    pub text: String,
    /// Its 95 % interval.
    pub interval: String,
    /// The same as a drawing; `None` for differences, which share no scale.
    pub strip: Option<Strip>,
}

/// A ratio on the scale that all rows share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// The ratio B / A.
    pub ratio: f64,
    /// Lower and upper end of its 95 % interval; `None` if it has none.
    pub interval: Option<[f64; 2]>,
    /// Smallest detectable change as a ratio of 1 or more; `None` if unknown.
    pub detectable: Option<f64>,
}

/// Whether a change is more than chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VerdictMark {
    /// It exceeds the smallest detectable change.
    Exceeds,
    /// It lies within it.
    Within,
    /// Nothing can be said.
    Unknown,
}
