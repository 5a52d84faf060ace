//! The comparison of two sets: their drawings, and the table of differences.

mod layout;
mod material;
mod model;
mod paint;
mod picture;
mod plots;
mod rows;
mod series;
mod strip;
mod table;
mod view;

pub use material::{ComparedTrial, DrawnTrial};
pub use paint::{CompareCommand, CompareScreen};
pub use picture::Drawing;
pub use series::Series;
pub use view::{
    AxisPair, ChangeView, CompareView, LineView, MeasureRow, Panel, PathView, Picked, SetView,
    Strip, VerdictMark,
};
