//! Tells the linker where the machine keeps its memory.

use std::path::PathBuf;
use std::{env, fs};

fn main() -> std::io::Result<()> {
    let memory = if env::var_os("CARGO_FEATURE_MICROBIT").is_some() {
        "MEMORY { FLASH : ORIGIN = 0x00000000, LENGTH = 256K  RAM : ORIGIN = 0x20000000, LENGTH = 16K }"
    } else {
        "MEMORY { FLASH : ORIGIN = 0x00000000, LENGTH = 4M  RAM : ORIGIN = 0x20000000, LENGTH = 4M }"
    };
    let folder = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets it"));
    fs::write(folder.join("memory.x"), memory)?;
    println!("cargo::rustc-link-search={}", folder.display());
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
