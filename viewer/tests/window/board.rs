//! The board's screen without a board.

use crate::bench::Bench;

#[test]
fn a_port_that_is_not_there_is_told_with_what_to_do() {
    let mut bench = Bench::open(None, Vec::new());
    bench.press("Board");
    assert!(bench.shows("tcp:HOST:PORT"), "how a board is named");
    assert!(!bench.is_enabled("Connect"));
    bench.type_into("Where is the board?", "/dev/no-such-port");
    bench.press("Connect");
    assert!(bench.shows("The board cannot be reached."));
    assert!(bench.shows("/dev/no-such-port"));
    assert!(bench.shows("Plug the board in"));
    assert!(bench.is_enabled("Connect"), "to try again");
}
