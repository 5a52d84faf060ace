//! Measures what a frame of the drawing over time costs while somebody zooms and drags, for records
//! of a minute, an hour and a day.
//!
//! `cargo run --release -p viewer --example record_zoom`
//!
//! Two records are compared in a window of 1280 x 800 points. Each frame turns the wheel or drags:
//! from the whole record down to seconds of it, along it, and back. Layout and triangles are in the
//! figures, filling them is not. What the program draws has 100 values a second, however fast the
//! board was; the last row is a day at 1,000 a second all the same.

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::time::{Duration, Instant};

use egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect, Vec2, pos2};
use viewer::strings::ENGLISH;
use viewer::window::apply_style;
use viewer::window::compare::{
    AxisPair, CompareScreen, CompareView, Drawing, LineView, Panel, Series, SetView,
};

const SIZE: Vec2 = Vec2::new(1280.0, 800.0);

/// A place in the upper drawing.
const POINTER: Pos2 = pos2(260.0, 300.0);

const N_FRAMES: usize = 600;

fn main() {
    for (name, seconds, rate_hz) in [
        ("60 s at 100/s", 60, 100),
        ("1 h at 100/s", 3_600, 100),
        ("24 h at 100/s", 86_400, 100),
        ("24 h at 1,000/s", 86_400, 1_000),
    ] {
        let begun = Instant::now();
        let view = view(seconds * rate_hz, 1.0 / f64::from(rate_hz));
        let made = begun.elapsed();
        let mut costs = frames(&view);
        costs.sort();
        let at = |share: usize| 1e3 * costs[(costs.len() - 1) * share / 100].as_secs_f64();
        println!(
            "{name}: {} frames, median {:.2} ms, 99th percentile {:.2} ms, longest {:.2} ms; four lines made in {:.2} s",
            costs.len(),
            at(50),
            at(99),
            at(100),
            made.as_secs_f64()
        );
    }
}

/// Layout and triangles of each frame.
fn frames(view: &CompareView) -> Vec<Duration> {
    let ctx = egui::Context::default();
    apply_style(&ctx);
    let mut screen = CompareScreen::showing(Drawing::OverTime);
    let mut costs = Vec::with_capacity(N_FRAMES);
    for number in 0..N_FRAMES + 10 {
        let events = events(number);
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
            time: Some(number as f64 / 60.0),
            events,
            ..RawInput::default()
        };
        let begun = Instant::now();
        let mut output = ctx.run_ui(input, |ui| {
            egui::CentralPanel::default().show(ui, |ui| {
                screen.ui(ui, &ENGLISH, Some(view), &mut Vec::new());
            });
        });
        let triangles = ctx.tessellate(output.shapes, output.pixels_per_point);
        let cost = begun.elapsed();
        output.textures_delta.clear();
        drop(triangles);
        // The first frames make the glyphs.
        if 10 <= number {
            costs.push(cost);
        }
    }
    costs
}

/// In thirds of the time: zoom in, drag to and fro, zoom out.
fn events(number: usize) -> Vec<Event> {
    let third = number % N_FRAMES / (N_FRAMES / 3);
    let button = |pressed| Event::PointerButton {
        pos: POINTER,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    match (third, number % 40) {
        (0, _) => vec![Event::PointerMoved(POINTER), Event::Zoom(1.04)],
        (1, 0) => vec![Event::PointerMoved(POINTER), button(true)],
        (1, 39) => vec![button(false)],
        (1, step) => {
            let by = if (number / 40).is_multiple_of(2) { -4.0 } else { 4.0 };
            vec![Event::PointerMoved(POINTER + Vec2::new(by * step as f32, 0.0))]
        }
        _ => vec![button(false), Event::PointerMoved(POINTER), Event::Zoom(1.0 / 1.04)],
    }
}

fn view(n_values: u32, interval_s: f64) -> CompareView {
    let mut noise = Noise(0x9e37_79b9_7f4a_7c15);
    let mut lines = || {
        ["A", "B"].map(|name| {
            let mut slow = 0.0;
            let values = (0..n_values).map(|_| {
                slow += 0.01 * (20.0 * noise.next() - slow);
                slow + noise.next()
            });
            let series = Series::new(0.0, interval_s, values.collect());
            vec![LineView { name: name.to_owned(), series }]
        })
    };
    let mut panel = |upward: &str| Panel { upward: upward.to_owned(), lines: lines() };
    let panels = ENGLISH.compare.position_axes.map(&mut panel);
    let set =
        |title: &str| SetView { title: title.to_owned(), doubts: Vec::new(), paths: Vec::new() };
    CompareView {
        sets: [set("one record"), set("another record")],
        over_time: AxisPair { across: ENGLISH.compare.time_axis.to_owned(), panels },
        spectra: AxisPair {
            across: String::new(),
            panels: ["", " "]
                .map(|upward| Panel { upward: upward.to_owned(), lines: [Vec::new(), Vec::new()] }),
        },
        change_head: ENGLISH.compare.change_head,
        rows: Vec::new(),
        refusal: None,
    }
}

/// Numbers from -1 to 1, always the same (xorshift, Marsaglia 2003).
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}
