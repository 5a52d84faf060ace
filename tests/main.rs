//! End-to-end tests: the built programs, from outside.

mod layers;
