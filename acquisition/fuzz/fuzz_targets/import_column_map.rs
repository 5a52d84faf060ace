//! A column map that came from anywhere.

#![no_main]

use acquisition::import::fuzz_entry;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    fuzz_entry::column_map(data);
});
