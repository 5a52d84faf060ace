//! How long the longest pass of the board's loop is, in instructions, against its budget.

use board_emulation::Machine;
use board_wire::Command;

/// Nanoseconds of the machine's time that each instruction takes: 2^8, as QEMU is told.
const NS_PER_INSTRUCTION: u32 = 256;

/// What a pass may take. A Cortex-M0+ takes 1 cycle for most instructions, 2 for a load, a store or
/// a branch taken (Cortex-M0+ Technical Reference Manual, instruction set summary): at 2.5 cycles and
/// 125 MHz this is 0.2 ms, a fifth of the time between frames at the highest rate.
const BUDGET_INSTRUCTIONS: u32 = 10_000;

fn longest_pass_instructions(machine: &str, clock_mhz: u32) -> u32 {
    let mut board = Machine::start(machine, &["-icount", "shift=8,sleep=off"]);
    board.say(Command::SelfTest);
    // The report of the self-test, between 20 and 50 bytes.
    board.read_at_least(20);
    board.say(Command::Start);
    // 12 s at 28 bytes a frame: a header falls between them.
    board.read_at_least(3000 * 28);
    let ticks = board.word("LONGEST_PASS_TICKS");
    ticks * (1000 / clock_mhz) / NS_PER_INSTRUCTION
}

#[test]
fn the_longest_pass_is_within_its_budget() {
    for (machine, clock_mhz) in [("mps2-an385", 25), ("microbit", 16)] {
        let instructions = longest_pass_instructions(machine, clock_mhz);
        println!(
            "{machine}: longest pass {instructions} instructions, budget {BUDGET_INSTRUCTIONS}"
        );
        // A frame alone takes hundreds: fewer would mean that nothing was timed.
        assert!((100..=BUDGET_INSTRUCTIONS).contains(&instructions), "{machine}: {instructions}");
    }
}
