//! End-to-end tests: the built programs, from outside.

mod bad_input;
mod bench;
mod layers;
mod open_recordings;
mod recording;
mod relay;
