//! Pictures to keep: a drawing as SVG, and any SVG as PNG.

mod chart;
mod chart_svg;
pub(crate) mod layout;
mod png;

pub use chart::{Chart, ChartPanel, Form, Ink, KeyEntry, Look, Mark, Sample, Ticks};
pub use chart_svg::chart_svg;
pub use png::{IfThere, PictureError, png_from_svg, write_picture, write_pixels};
