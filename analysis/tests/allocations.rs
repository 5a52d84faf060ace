//! Measuring takes memory by the trial, never by the sample.

#![expect(unsafe_code, reason = "an allocator that counts can be written in no other way")]

#[path = "../benches/made_path/mod.rs"]
mod made_path;

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicU64, Ordering};

use analysis::{Analyser, Settings};

/// The system's allocator, counting the blocks it is asked for.
struct Counting;

static N_BLOCKS: AtomicU64 = AtomicU64::new(0);

// SAFETY: every call is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        N_BLOCKS.fetch_add(1, Ordering::Relaxed);
        // SAFETY: the caller's promises are those that the system asks for.
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, block: *mut u8, layout: Layout) {
        // SAFETY: the block came from the system's allocator.
        unsafe { System.dealloc(block, layout) }
    }
}

#[global_allocator]
static COUNTING: Counting = Counting;

/// How many blocks of memory the second measurement of a trial takes.
fn blocks_taken(duration_s: u32) -> u64 {
    let trace = made_path::made(duration_s);
    let mut analyser = Analyser::new();
    let settings = Settings::standard(Some(1.7));
    let first = analyser.measure(&trace, &settings);
    let before = N_BLOCKS.load(Ordering::Relaxed);
    let second = analyser.measure(&trace, &settings);
    let taken = N_BLOCKS.load(Ordering::Relaxed) - before;
    assert_eq!(first, second);
    taken
}

/// The only test of its program, so that nothing else is counted.
#[test]
fn a_longer_trial_takes_no_more_blocks_of_memory() {
    let (minute, ten_minutes) = (blocks_taken(60), blocks_taken(600));
    // A list that grows by doubling takes a few more; one block a sample would be 54,000 more.
    assert!(minute <= 64, "{minute} blocks for 6,000 samples");
    assert!(ten_minutes <= minute + 8, "{ten_minutes} blocks against {minute}");
}
