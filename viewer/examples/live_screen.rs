//! Measures what one frame of the live screen costs while a board sends 1,000 frames a second.
//!
//! `cargo run --release -p viewer --example live_screen [SECONDS]`, after
//! `cargo build --release -p board-simulator`
//!
//! A guided stand is recorded on a simulated board in real time, in a window of 1280 x 800 points
//! that is drawn 60 times a second: what the threads have done is taken, the screen is laid out, and
//! its triangles are made. Filling them is the graphics card's work and is not in the figures.

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::thread;
use std::time::{Duration, Instant};

use acquisition::library::Library;
use acquisition::records::{PersonRecord, Records};
use acquisition::{Progress, Stage};
use analysis::Facing;
use anyhow::{Context as _, Result};
use egui::{Pos2, RawInput, Rect, Vec2};
use viewer::standing::{SimulatedBoard, StandNow};
use viewer::strings::ENGLISH;
use viewer::window::stand::{BoardPick, Errand, StandAsk};
use viewer::window::{FootingWindow, Screen, WindowStart};

const SIZE: Vec2 = Vec2::new(1280.0, 800.0);
const FRAME: Duration = Duration::from_micros(16_667);

fn main() -> Result<()> {
    let record_s: f64 = match std::env::args().nth(1) {
        Some(text) => text.parse().context("the length of the stand in seconds")?,
        None => 30.0,
    };
    let folder = tempfile::tempdir()?;
    let library = Library::open(folder.path())?;
    Records::open(&library)?.put_person(&PersonRecord::new("P-01".parse()?))?;
    let ctx = egui::Context::default();
    let simulated = SimulatedBoard { frames_per_s: Some(1000), ..SimulatedBoard::default() };
    let start = WindowStart { records: Some(library), simulated, ..WindowStart::default() };
    let mut window = FootingWindow::new(&ctx, &ENGLISH, start)?;
    window.finish_reading();
    window.turn_to(Screen::Stand, None);
    window.finish_reading();
    window.begin_stand(
        &ctx,
        &StandAsk {
            condition: "foam/hip-width/open".parse()?,
            errand: Errand::Guided,
            board: BoardPick::Simulated,
            address: String::new(),
            sole_height_mm: None,
            facing: Facing::Front,
            record_s,
            settle_s: 1.0,
        },
    );
    let mut costs: Vec<Duration> = Vec::new();
    let begun = Instant::now();
    let mut due = begun;
    while let Some(now) = window.stand_now() {
        due += FRAME;
        thread::sleep(due.saturating_duration_since(Instant::now()));
        let cost = frame(&ctx, &mut window, begun.elapsed());
        if is_recording(now) {
            costs.push(cost);
        }
    }
    anyhow::ensure!(!costs.is_empty(), "the stand was not recorded");
    costs.sort();
    let at = |share: usize| 1e3 * costs[(costs.len() - 1) * share / 100].as_secs_f64();
    println!(
        "{} frames of the live screen: median {:.2} ms, 99th percentile {:.2} ms, longest {:.2} ms",
        costs.len(),
        at(50),
        at(99),
        at(100)
    );
    Ok(())
}

fn is_recording(now: StandNow) -> bool {
    matches!(now, StandNow::Recording(Progress { stage: Stage::Recording, .. }))
}

/// News, layout and triangles of one frame; how long they took.
fn frame(ctx: &egui::Context, window: &mut FootingWindow, time: Duration) -> Duration {
    let input = RawInput {
        screen_rect: Some(Rect::from_min_size(Pos2::ZERO, SIZE)),
        time: Some(time.as_secs_f64()),
        ..RawInput::default()
    };
    let begun = Instant::now();
    window.take_news(ctx);
    let mut output = ctx.run_ui(input, |ui| window.show_in(ui));
    let triangles = ctx.tessellate(output.shapes, output.pixels_per_point);
    let cost = begun.elapsed();
    output.textures_delta.clear();
    drop(triangles);
    cost
}
