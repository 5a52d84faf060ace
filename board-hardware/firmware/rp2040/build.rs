//! Tells the linker where the RP2040 keeps its memory: 2 MB of flash, 264 kB of RAM.

use std::path::PathBuf;
use std::{env, fs};

const MEMORY: &str = "\
MEMORY {
    BOOT2 : ORIGIN = 0x10000000, LENGTH = 0x100
    FLASH : ORIGIN = 0x10000100, LENGTH = 2048K - 0x100
    RAM   : ORIGIN = 0x20000000, LENGTH = 264K
}
SECTIONS {
    .boot2 ORIGIN(BOOT2) : { KEEP(*(.boot2)); } > BOOT2
} INSERT BEFORE .text;
";

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(env::var_os("OUT_DIR").expect("cargo sets it"));
    fs::write(folder.join("memory.x"), MEMORY)?;
    println!("cargo::rustc-link-search={}", folder.display());
    println!("cargo::rerun-if-changed=build.rs");
    Ok(())
}
