//! What the RP2040's boot ROM and the host look for in the image, which nothing here can run.

use std::ops::Range;

use board_emulation::image;
use crc::{CRC_32_MPEG_2, Crc};
use object::{Object as _, ObjectSegment as _};

/// Where the boot ROM finds the flash chip: 2 MB of it.
const FLASH: Range<u64> = 0x1000_0000..0x1020_0000;

/// First program the boot ROM runs: 252 bytes and their checksum.
const BOOT_BYTES: usize = 256;

/// Flash from its beginning at 0x10000000, as far as the image fills it.
fn memory() -> Vec<u8> {
    let bytes = std::fs::read(image("rp2040")).expect("build.sh wrote it");
    let file = object::File::parse(&*bytes).expect("the image is an ELF file");
    let mut memory = Vec::new();
    for segment in file.segments().filter(|segment| FLASH.contains(&segment.address())) {
        let from = usize::try_from(segment.address() - FLASH.start).expect("2 MB at most");
        let data = segment.data().expect("the segment is there");
        memory.resize(memory.len().max(from + data.len()), 0xFF);
        memory[from..from + data.len()].copy_from_slice(data);
    }
    memory
}

/// The boot ROM takes the first 256 bytes of flash if their last four are the CRC of the others
/// (RP2040 data sheet, section 2.8.1.3.1: polynomial 0x04C11DB7, start 0xFFFFFFFF, not reflected, no
/// final complement), and then goes to the vectors right behind them: stack, then first instruction.
#[test]
fn the_boot_rom_finds_what_it_looks_for() {
    let memory = memory();
    let (boot, program) = memory.split_at(BOOT_BYTES);
    let (covered, checksum) = boot.split_at(BOOT_BYTES - 4);
    assert_eq!(Crc::<u32>::new(&CRC_32_MPEG_2).checksum(covered).to_le_bytes(), checksum);
    let word = |i: usize| {
        let bytes = program[4 * i..].first_chunk().expect("the image goes on");
        u32::from_le_bytes(*bytes)
    };
    // 264 kB of RAM from 0x20000000; bit 0 of an address to jump to says Thumb.
    assert_eq!(word(0), 0x2000_0000 + 264 * 1024, "the stack begins at the end of RAM");
    assert!(FLASH.contains(&word(1).into()) && word(1) & 1 == 1, "{:x}", word(1));
}

/// The product text of `PROTOCOL.md`, by which the host knows the port.
#[test]
fn the_host_knows_the_board_by_its_product_text() {
    let page = include_str!("../../../PROTOCOL.md");
    let (_, told) = page.split_once("gives `").expect("the page names the text");
    let (text, _) = told.split_once('`').expect("and ends it");
    let memory = memory();
    assert!(memory.windows(text.len()).any(|bytes| bytes == text.as_bytes()), "{text}");
}
