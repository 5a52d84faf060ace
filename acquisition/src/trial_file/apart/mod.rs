//! Trial files of unknown origin, read in a process of their own.
//!
//! The HDF5 library is written in C, and a file can be made that crashes it, hangs it or has it take
//! all memory. So a file that did not come from this machine's own library is read by a child: the
//! same program, with limits on its memory and its time, that hands the values back over a pipe. The
//! parent never gives such a file to the library. What it gets is checked again: length, checksum,
//! and everything that is checked of a trial that was read here.
//!
//! Which program the child is, and with which words it is started, is said by whoever makes a
//! [`TrialReader`]; this crate starts nothing by itself.

mod answer;
mod child;
mod handover;
mod limits;
mod pack;
mod pipe;
mod reader;
mod room;

pub use child::{serve, serve_watched};
pub use limits::Limits;
pub use reader::TrialReader;
pub use room::{ApartError, ChildCommand};
