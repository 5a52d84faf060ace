//! What the board does, without its pins.
//!
//! A [`Station`] takes data-ready edges, bytes from the host and the time, and gives bytes to
//! send. It reads the converter through a [`Bridge`], stamps each conversion with the moment of
//! its edge, numbers it, says what is wrong with it, and never filters, tares or rounds. A thin
//! program for each microcontroller owns the pins, latches edges in an interrupt with
//! [`ReadyLatch`], moves the bytes and feeds the watchdog while the station
//! [is well](Station::is_well).
//!
//! Drivers for two kinds of converter are in [`converters`].
#![no_std]
#![forbid(unsafe_code)]
#![warn(clippy::indexing_slicing)]

mod bridge;
pub mod converters;
mod ready_latch;
mod scripted;
mod self_test;
mod station;
mod transmit_ring;

pub use bridge::{Bridge, BridgeFault, Conversion, Input};
pub use ready_latch::{Edge, ReadyLatch};
pub use scripted::ScriptedBridge;
pub use station::{FIRMWARE_VERSION, Identity, ResetCause, Station};
