//! The next step, from outside: each rule, each conflict of order, the words, the model held
//! against an independent computation, and the error rates of whole courses.

#![expect(clippy::unwrap_used, reason = "a helper of a test ends the test it helps")]

mod built;
mod evidence;
mod hostile;
mod model;
mod offset;
mod order;
mod proof;
mod rules;
mod trend;
mod words;
