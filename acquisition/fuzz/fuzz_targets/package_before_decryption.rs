//! A file that came from anywhere: the first line, and the header and pieces of age.

#![no_main]

use acquisition::package::fuzz_entry::{open_encrypted, open_file};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    match data.split_first() {
        Some((0, file)) => open_file(file),
        Some((_, encrypted)) => open_encrypted(encrypted),
        None => false,
    };
});
