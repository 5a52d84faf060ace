//! Drivers for converters, over `embedded-hal`.

mod four_bridges;
mod simultaneous;

pub use four_bridges::FourBridges;
pub use simultaneous::Simultaneous;
