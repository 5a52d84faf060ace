//! A clinic, a home, and everything that may be wrong with what passes between them.

mod damage;
mod forged;
mod imports;
mod made_elsewhere;
mod round_trip;
mod scene;
mod strangers;
