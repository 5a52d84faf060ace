//! The drivers against converters that keep the data sheets' rules and insist on them.
//!
//! The played converters break off with a panic when a rule is broken: too early after a reset, a
//! setting written to one of four that should convert in step, a reading when there is none. Rules
//! and registers are from the makers' data sheets as remembered, as in the drivers.

mod four_bridges;
mod simultaneous;
