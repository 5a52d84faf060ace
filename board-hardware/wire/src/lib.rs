//! Contents page, to be written.
