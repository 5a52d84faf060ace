//! From an empty window to the table of differences.

use crate::bench::Bench;
use crate::synthetic_stands::{Stand, two_days};

#[test]
fn an_empty_window_offers_three_ways_to_begin() {
    let bench = Bench::open(None, Vec::new());
    for way in ["Simulated board", "Real board", "Open recordings"] {
        assert!(bench.shows(way), "{way}");
    }
    assert!(bench.shows("Not a diagnosis"));
    assert!(!bench.is_enabled("Open"));
}

#[test]
fn two_sets_are_picked_and_their_differences_shown() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(None, two_days(folder.path()));
    assert!(bench.shows("12 trials on 2 days"));
    assert!(!bench.is_enabled("Compare A with B"));

    bench.press_like("Set A: foam, hip width, eyes open");
    bench.press_like("Set B: foam, hip width, eyes closed");
    assert!(bench.shows("P-07 · foam, hip width, eyes closed · 2026-03-03 · 3 trials"));
    bench.press("Compare A with B");

    for shown in ["Mean velocity", "95 % ellipse area", "Wobble", "Mean frequency"] {
        assert!(bench.shows(shown), "{shown}");
    }
    assert!(bench.shows("vision quotient"));
    assert!(!bench.shows("Hull area"), "only the leading measures at first");
    bench.press("Show all measures");
    assert!(bench.shows("Hull area"));
    for drawing in ["Over time", "Frequency", "Path"] {
        bench.press(drawing);
    }

    bench.press("Draw only trial 2 of set A");
    assert!(!bench.is_held("Draw every trial of set A"));
    bench.press("Trials");
    bench.press("Compare A with B");
    assert!(bench.is_held("Draw every trial of set A"), "another comparison shows all of it");
}

#[test]
fn sets_of_two_boards_are_shown_but_not_compared() {
    let folder = tempfile::tempdir().unwrap();
    let one = Stand::measured("foam/hip-width/open", 5.0, 1);
    let other = Stand { board: "plate-2", ..Stand::measured("foam/hip-width/closed", 5.0, 2) };
    let mut bench = Bench::open(None, vec![one.seal(folder.path()), other.seal(folder.path())]);
    bench.press_like("Set A: foam, hip width, eyes open");
    bench.press_like("Set B: foam, hip width, eyes closed");
    bench.press("Compare A with B");
    assert!(bench.shows("Not compared: two boards were used (plate-1; plate-2)"));
    assert!(bench.shows("not compared"));
    assert!(bench.shows("Mean velocity"));
}
