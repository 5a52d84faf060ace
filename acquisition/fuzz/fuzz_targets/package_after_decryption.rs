//! What a holder of the receiver's public key, or a paired sender gone wrong, can put inside.

#![no_main]

use acquisition::package::fuzz_entry::{open_archive, open_decrypted, open_signed, open_tar};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let Some((&part, rest)) = data.split_first() else { return };
    match part % 4 {
        0 => open_decrypted(rest),
        1 => {
            let end = rest.iter().position(|&byte| byte == 0).unwrap_or(rest.len());
            open_signed(&rest[..end], &rest[rest.len().min(end + 1)..])
        }
        2 => open_archive(rest),
        _ => open_tar(rest),
    };
});
