//! Sway paths of two sets of trials, laid over each other with their ellipses.

use analysis::Cop;
use svg::Document;
use svg::node::element::path::Data;
use svg::node::element::{Group, Line, Path, Rectangle, Text};

use super::png::FONT_FAMILY;

/// One set of trials to draw: each path and each ellipse around the same origin, in millimetres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SwaySet {
    /// What the set is, such as "eyes open, 3 trials".
    pub label: String,
    /// One path a trial.
    pub paths: Vec<Vec<Cop>>,
    /// Outline of one ellipse a trial.
    pub ellipses: Vec<Vec<Cop>>,
}

/// How a set looks: colour is never the only difference, the ellipse's line differs too.
struct Look {
    colour: &'static str,
    dashes: &'static str,
}

const LOOKS: [Look; 2] =
    [Look { colour: "#17607a", dashes: "none" }, Look { colour: "#b4511a", dashes: "9 5" }];

const SIDE: f64 = 640.0;
const MARGIN_LEFT: f64 = 70.0;
const MARGIN_TOP: f64 = 96.0;
const MARGIN_BOTTOM: f64 = 84.0;
const MARGIN_RIGHT: f64 = 24.0;
const INK: &str = "#22282b";
const FAINT: &str = "#c9cfd1";

/// A square frame of `reach_mm` to each side of the origin, both axes to the same scale.
struct Frame {
    reach_mm: f64,
}

impl Frame {
    fn around(sets: &[SwaySet; 2]) -> Self {
        let points = sets.iter().flat_map(|set| set.paths.iter().chain(&set.ellipses).flatten());
        let furthest = points.map(|p| p.ml_mm.abs().max(p.ap_mm.abs())).fold(1.0, f64::max);
        Self { reach_mm: furthest * 1.06 }
    }

    fn right(&self, ml_mm: f64) -> f64 {
        MARGIN_LEFT + SIDE * (ml_mm + self.reach_mm) / (2.0 * self.reach_mm)
    }

    fn down(&self, ap_mm: f64) -> f64 {
        MARGIN_TOP + SIDE * (self.reach_mm - ap_mm) / (2.0 * self.reach_mm)
    }

    /// Round millimetres at which lines are drawn: at most five to each side.
    fn ticks(&self) -> Vec<f64> {
        let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
        let step = steps.into_iter().find(|s| self.reach_mm / s <= 5.0).unwrap_or(500.0);
        let mut ticks = vec![0.0];
        let mut tick = step;
        while tick <= self.reach_mm {
            ticks.insert(0, -tick);
            ticks.push(tick);
            tick += step;
        }
        ticks
    }

    fn line(&self, points: &[Cop]) -> Data {
        let mut data = Data::new();
        for (i, point) in points.iter().enumerate() {
            let at = (rounded(self.right(point.ml_mm)), rounded(self.down(point.ap_mm)));
            data = if i == 0 { data.move_to(at) } else { data.line_to(at) };
        }
        data
    }
}

/// A hundredth of a point is finer than any screen or printer shows.
fn rounded(points: f64) -> f64 {
    (points * 100.0).round() / 100.0
}

fn text(words: impl Into<String>, x: f64, y: f64, size: f64, anchor: &str) -> Text {
    Text::new(words)
        .set("x", x)
        .set("y", y)
        .set("font-family", FONT_FAMILY)
        .set("font-size", size)
        .set("text-anchor", anchor)
        .set("fill", INK)
}

fn grid(frame: &Frame) -> Group {
    let mut group = Group::new().set("stroke", FAINT).set("stroke-width", 1);
    let mut numbers = Group::new();
    for tick in frame.ticks() {
        let (x, y) = (rounded(frame.right(tick)), rounded(frame.down(tick)));
        let (top, bottom) = (MARGIN_TOP, MARGIN_TOP + SIDE);
        let (left, right) = (MARGIN_LEFT, MARGIN_LEFT + SIDE);
        let line = |x1: f64, y1: f64, x2: f64, y2: f64| {
            Line::new().set("x1", x1).set("y1", y1).set("x2", x2).set("y2", y2)
        };
        group = group.add(line(x, top, x, bottom)).add(line(left, y, right, y));
        let number = format!("{tick:.0}").replace('-', "\u{2212}");
        numbers = numbers.add(text(number.clone(), x, bottom + 20.0, 14.0, "middle")).add(text(
            number,
            left - 8.0,
            y + 5.0,
            14.0,
            "end",
        ));
    }
    Group::new().add(group).add(numbers)
}

fn set_drawing(frame: &Frame, set: &SwaySet, look: &Look) -> Group {
    let stroke = |line: Data, width: f64, opacity: f64, dashes: &str| {
        Path::new()
            .set("d", line)
            .set("fill", "none")
            .set("stroke", look.colour)
            .set("stroke-width", width)
            .set("stroke-opacity", opacity)
            .set("stroke-dasharray", dashes)
    };
    let mut group = Group::new();
    for path in &set.paths {
        group = group.add(stroke(frame.line(path), 0.8, 0.55, "none"));
    }
    for ellipse in &set.ellipses {
        group = group.add(stroke(frame.line(ellipse).close(), 2.4, 1.0, look.dashes));
    }
    group
}

/// Draws two sets over each other as a self-contained SVG.
///
/// Both axes have the same scale, in millimetres; up is forward, right is the person's right.
pub fn sway_svg(title: &str, sets: &[SwaySet; 2]) -> String {
    let frame = Frame::around(sets);
    let (width, height) = (MARGIN_LEFT + SIDE + MARGIN_RIGHT, MARGIN_TOP + SIDE + MARGIN_BOTTOM);
    let background =
        Rectangle::new().set("width", width).set("height", height).set("fill", "#fcfcfa");
    let middle = MARGIN_LEFT + SIDE / 2.0;
    let upright = MARGIN_TOP + SIDE / 2.0;
    let mut document = Document::new()
        .set("width", width)
        .set("height", height)
        .set("viewBox", (0, 0, width, height))
        .add(background)
        .add(text(title, MARGIN_LEFT, 34.0, 22.0, "start"))
        .add(grid(&frame));
    for (i, (set, look)) in sets.iter().zip(&LOOKS).enumerate() {
        let left = MARGIN_LEFT + SIDE / 2.0 * i as f64;
        let sample = Line::new()
            .set("x1", left)
            .set("y1", 62.0)
            .set("x2", left + 46.0)
            .set("y2", 62.0)
            .set("stroke", look.colour)
            .set("stroke-width", 2.4)
            .set("stroke-dasharray", look.dashes);
        document = document
            .add(sample)
            .add(text(&set.label, left + 56.0, 67.0, 15.0, "start"))
            .add(set_drawing(&frame, set, look));
    }
    let below = MARGIN_TOP + SIDE;
    document
        .add(text("medio-lateral, mm (right is positive)", middle, below + 44.0, 15.0, "middle"))
        .add(
            text("antero-posterior, mm (forward is positive)", 22.0, upright, 15.0, "middle")
                .set("transform", format!("rotate(-90 22 {upright})")),
        )
        .add(text(
            "Each path around its own mean, with its 95 % prediction ellipse. \
             A measurement, not a diagnosis.",
            MARGIN_LEFT,
            below + 70.0,
            13.0,
            "start",
        ))
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(half_mm: f64) -> Vec<Cop> {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
            .map(|(ml, ap)| Cop::new(half_mm * ml, half_mm * ap))
            .into()
    }

    #[test]
    fn right_is_right_and_forward_is_up_to_the_same_scale() {
        let sets =
            [SwaySet { paths: vec![square(10.0)], ..SwaySet::default() }, SwaySet::default()];
        let frame = Frame::around(&sets);
        assert!(frame.right(5.0) > frame.right(0.0) && frame.down(5.0) < frame.down(0.0));
        let (across, upward) =
            (frame.right(7.0) - frame.right(0.0), frame.down(0.0) - frame.down(7.0));
        assert!((across - upward).abs() < 1e-9);
    }

    #[test]
    fn ticks_are_round_and_few() {
        let ticks = Frame { reach_mm: 23.0 }.ticks();
        assert_eq!(ticks, [-20.0, -15.0, -10.0, -5.0, 0.0, 5.0, 10.0, 15.0, 20.0]);
    }

    #[test]
    fn the_two_sets_differ_in_more_than_colour() {
        let set = |label: &str| SwaySet {
            label: label.to_owned(),
            paths: vec![square(4.0)],
            ellipses: vec![square(6.0)],
        };
        let svg = sway_svg("sway", &[set("eyes open"), set("eyes closed")]);
        assert!(svg.contains("stroke-dasharray=\"9 5\""));
        assert!(svg.contains("eyes open") && svg.contains("eyes closed"));
    }
}
