//! Pictures to keep: sway paths as SVG, and any SVG as PNG.

mod png;
mod sway;

pub use png::{PictureError, png_from_svg, write_picture, write_pixels};
pub use sway::{SwaySet, sway_svg};
