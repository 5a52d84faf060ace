//! The second group of measures: how the sway is put together in time.
//!
//! For research, never decisive: these depend on length, rate and filter more than any other
//! measure, and no change of one of them is called better or worse.

mod diffusion;
mod fluctuation;
mod sample_entropy;
mod table;

pub use diffusion::Diffusion;
pub use table::{AxisStructure, STRUCTURE_MEASURES, Structure, StructureDef, structure};
