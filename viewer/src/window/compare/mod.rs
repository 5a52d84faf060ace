//! The comparison of two sets: their drawings, and the table of differences.

mod layout;
mod paint;
mod plots;
mod strip;
mod table;
mod view;

pub use paint::CompareScreen;
pub use view::{
    AxisPair, ChangeView, CompareView, LineView, MeasureRow, Panel, PathView, SetView, Strip,
    VerdictMark,
};
