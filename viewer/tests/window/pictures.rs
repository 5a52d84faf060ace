//! Whatever is drawn can be kept as a picture, and no file is lost to one.

use std::fs;
use std::path::Path;

use egui::Key;
use viewer::window::WindowStart;

use crate::bench::Bench;
use crate::made_up_course::{Day, EASY, MadeUp};
use crate::synthetic_stands::two_days;

const FIELD: &str = "Picture file (.svg or .png)";

fn compared(folder: &Path) -> Bench {
    let mut bench = Bench::open(None, two_days(folder));
    bench.press_like("Set A: foam, hip width, eyes open");
    bench.press_like("Set B: foam, hip width, eyes closed");
    bench.press("Compare A with B");
    bench
}

/// Saves what is drawn under this name and reads it again.
fn save(bench: &mut Bench, field: &str, button: &str, path: &Path) -> Vec<u8> {
    bench.replace_in(field, path.to_str().unwrap());
    bench.press(button);
    assert!(bench.shows("The picture is saved."));
    bench.press("Close this message");
    fs::read(path).unwrap()
}

#[test]
fn every_drawing_of_a_comparison_is_saved_with_its_axes_and_both_sets() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = compared(folder.path());
    for (tab, axes) in [
        ("Path", ["medio-lateral, mm (right is positive)", "antero-posterior, mm (forward"]),
        ("Over time", ["time, s", "antero-posterior, mm"]),
        ("Frequency", ["frequency, Hz (drawn up to 2)", "medio-lateral, mm\u{b2}/Hz"]),
    ] {
        bench.press(tab);
        let path = folder.path().join(format!("{tab}.svg"));
        let svg = String::from_utf8(save(&mut bench, FIELD, "Save picture", &path)).unwrap();
        for words in axes.into_iter().chain(["A: P-07 ", "eyes open", "B: P-07 ", "eyes closed"]) {
            assert!(svg.contains(words), "{tab}: {words}");
        }
        assert!(svg.contains("stroke-dasharray=\"9 5\""), "{tab}: B is told by more than colour");
        assert!(svg.contains("Not a diagnosis"), "{tab}");
        let png = save(&mut bench, FIELD, "Save picture", &path.with_extension("png"));
        assert!(png.starts_with(b"\x89PNG"), "{tab}");
    }
    let path = folder.path().join("differences.svg");
    let field = "Picture of the differences";
    let svg = String::from_utf8(save(&mut bench, field, "Save differences", &path)).unwrap();
    for words in ["Mean velocity", "vision quotient", "95 % interval", "beyond chance"] {
        assert!(svg.contains(words), "{words}");
    }
}

#[test]
fn a_file_of_another_kind_is_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = compared(folder.path());
    // The field holds a first suggestion, which is replaced.
    bench.replace_in(FIELD, folder.path().join("sway.gif").to_str().unwrap());
    bench.press("Save picture");
    assert!(bench.shows("The picture was not saved."));
    assert!(bench.shows("Give the file a name that ends in .svg or .png."));
}

#[test]
fn a_file_is_replaced_only_in_a_second_step() {
    let folder = tempfile::tempdir().unwrap();
    let mut bench = compared(folder.path());
    let path = folder.path().join("sway.svg");
    fs::write(&path, "somebody's").unwrap();
    bench.replace_in(FIELD, path.to_str().unwrap());
    bench.press("Save picture");
    assert!(bench.shows("There is a file of this name already"));
    bench.press("Keep the file");
    assert!(!bench.shows("There is a file of this name already"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "somebody's");
    bench.press("Save picture");
    bench.press("Replace the file");
    assert!(bench.shows("The picture is saved."));
    assert!(fs::read_to_string(&path).unwrap().contains("<svg"));
}

#[test]
fn a_course_is_saved_as_far_as_it_is_in_sight() {
    let folder = tempfile::tempdir().unwrap();
    let mut made_up = MadeUp::new(folder.path());
    let person = made_up.person("P-07", None);
    for days_ago in 0..60 {
        let wobble_mm = 12.0 + f64::from(i32::try_from(days_ago % 5).unwrap());
        made_up.session(&person, Day { days_ago, wobble_mm, ..EASY[0] });
    }
    let records = Some(made_up.library.clone());
    let mut bench = Bench::start(WindowStart { records, ..WindowStart::default() });
    bench.press("People");
    bench.press("Course of P-07");
    let file = |name: &str| folder.path().join(name);
    let all = save(&mut bench, FIELD, "Save picture", &file("all.svg"));
    let all = String::from_utf8(all).unwrap();
    for words in ["P-07: foam", "Wobble per session, mm", "window 6.35 to 25.4 mm", "next morning"]
    {
        assert!(all.contains(words), "{words}");
    }
    assert!(!bench.shows("Show all days"), "nothing is zoomed");

    bench.focus_like("Wobble, felt difficulty and pain");
    for _ in 0..8 {
        bench.key(Key::Plus);
    }
    assert!(bench.shows("Show all days"));
    let part = save(&mut bench, FIELD, "Save picture", &file("part.svg"));
    let n_marks = |svg: &str| svg.matches("<circle").count();
    let part = String::from_utf8(part).unwrap();
    assert!(n_marks(&part) < n_marks(&all) / 2, "{} of {}", n_marks(&part), n_marks(&all));

    // The day that is read out stays in sight, wherever the arrow keys go.
    bench.focus_like("Wobble, felt difficulty and pain");
    for _ in 0..59 {
        bench.key(Key::ArrowLeft);
    }
    assert!(bench.shows("first session (learning)"));
    let first = save(&mut bench, FIELD, "Save picture", &file("first.svg"));
    assert!(String::from_utf8(first).unwrap().contains("hollow: first session"));
    bench.press("Show all days");
    assert!(!bench.shows("Show all days"));
}
