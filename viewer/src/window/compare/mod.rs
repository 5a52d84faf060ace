//! The comparison of two sets: their drawings, and the table of differences.

mod layout;
mod material;
mod model;
mod paint;
mod plots;
mod rows;
mod strip;
mod table;
mod view;

pub use material::{ComparedTrial, DrawnTrial};
pub use paint::{CompareCommand, CompareScreen};
pub use view::{
    AxisPair, ChangeView, CompareView, LineView, MeasureRow, Panel, PathView, Picked, SetView,
    Strip, VerdictMark,
};
