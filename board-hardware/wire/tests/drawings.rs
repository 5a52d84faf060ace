//! The drawings that are kept are those the source draws.

#[expect(dead_code, reason = "the example's own entry point is not used here")]
#[path = "../examples/drawings.rs"]
mod drawings;

#[test]
fn the_drawings_are_up_to_date() {
    for (name, drawn) in drawings::sheets() {
        let kept = std::fs::read_to_string(drawings::folder().join(name)).unwrap();
        assert!(kept == drawn, "{name}: run cargo run -p board-wire --example drawings");
    }
}
