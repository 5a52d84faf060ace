//! How long the window takes to show who is in the records: an empty data folder and one of 100,000
//! trials in turn, and the ratio of both.
//!
//! `xvfb-run -a -s '-screen 0 1280x800x24' cargo run --release -p viewer --example start_speed [TRIALS] [ROUNDS]`
//!
//! Each start is a process of its own that opens the real window on the screen People. It is ready
//! once the frame is drawn in which everybody in sight stands with their advice; a second figure
//! says when everybody is read. Times run from before the process starts.

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::path::Path;
use std::process::Command;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use acquisition::library::Library;
use acquisition::records::Records;
use anyhow::{Context as _, Result, ensure};
use viewer::strings::ENGLISH;
use viewer::window::{FootingWindow, Screen, WindowStart};

#[path = "../../acquisition/examples/generated_records/mod.rs"]
mod generated_records;

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let [word, folder, begun] = &arguments[..]
        && word == "child"
    {
        return child(Path::new(folder), Duration::from_nanos(begun.parse()?));
    }
    let number = |at: usize, otherwise: usize| {
        arguments.get(at).map_or(Ok(otherwise), |text| text.parse::<usize>())
    };
    let n_trials = number(0, 100_000).context("the number of trials")?;
    let n_rounds = number(1, 15).context("the number of rounds")?;
    let temporary = tempfile::tempdir()?;
    let folders = ["empty", "full"].map(|name| temporary.path().join(name));
    for folder in &folders {
        std::fs::create_dir_all(folder)?;
        Records::open(&Library::open(folder)?)?;
    }
    generated_records::generate(&Library::open(&folders[1])?, n_trials)?;
    let mut times: [Vec<[f64; 2]>; 2] = [Vec::new(), Vec::new()];
    for round in 0..=n_rounds {
        for (folder, times) in folders.iter().zip(&mut times) {
            let found = start(folder)?;
            // The first round fetches everything from the disk.
            if 0 < round {
                times.push(found);
            }
        }
    }
    for (which, what) in ["people in sight are drawn", "everybody is read"].iter().enumerate() {
        let [empty, full] = [0, 1].map(|at| {
            let mut found: Vec<f64> = times[at].iter().map(|both| both[which]).collect();
            found.sort_by(f64::total_cmp);
            [found[found.len() / 2], found[found.len() - 1]]
        });
        println!(
            "{what}: empty median {:.0} ms (longest {:.0}), {n_trials} trials median {:.0} ms (longest {:.0}); ratio {:.2}",
            empty[0],
            empty[1],
            full[0],
            full[1],
            full[0] / empty[0]
        );
    }
    Ok(())
}

/// Milliseconds until the people in sight are drawn and until everybody is read.
fn start(folder: &Path) -> Result<[f64; 2]> {
    let begun = SystemTime::now().duration_since(UNIX_EPOCH)?;
    let output = Command::new(std::env::current_exe()?)
        .args(["child".as_ref(), folder.as_os_str()])
        .arg(begun.as_nanos().to_string())
        .output()?;
    ensure!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout)?;
    let mut numbers = text.split_whitespace().map(str::parse::<f64>);
    let (Some(Ok(in_sight)), Some(Ok(everybody))) = (numbers.next(), numbers.next()) else {
        anyhow::bail!("a start said {text:?}");
    };
    Ok([in_sight, everybody])
}

fn child(folder: &Path, begun: Duration) -> Result<()> {
    let library = Library::open(folder)?;
    let start = WindowStart {
        library: Some(library.trials_folder()),
        records: Some(library),
        ..WindowStart::default()
    };
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default().with_inner_size([1024.0, 700.0]),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    let made = |creation: &eframe::CreationContext<'_>| {
        let mut window = FootingWindow::new(&creation.egui_ctx, &ENGLISH, start)?;
        window.turn_to(Screen::People, None);
        Ok(Box::new(Timed { window, begun, drawn: false, in_sight_ms: None })
            as Box<dyn eframe::App>)
    };
    eframe::run_native("start", options, Box::new(made)).map_err(|e| anyhow::anyhow!("{e}"))
}

/// The window, and when what it shows was drawn.
struct Timed {
    window: FootingWindow,
    begun: Duration,
    /// Whether the frame before this one showed the people in sight.
    drawn: bool,
    in_sight_ms: Option<f64>,
}

impl eframe::App for Timed {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        // At the next frame the one before it is on the screen.
        if self.drawn && self.in_sight_ms.is_none() {
            self.in_sight_ms = Some(since(self.begun));
        }
        self.window.logic(ctx, frame);
        if let Some(in_sight_ms) = self.in_sight_ms
            && !self.window.is_reading()
        {
            println!("{in_sight_ms} {}", since(self.begun));
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        let ready = self.window.knows_people_in_sight();
        self.window.ui(ui, frame);
        if ready && !self.drawn {
            self.drawn = true;
            ui.request_repaint();
        }
    }
}

fn since(begun: Duration) -> f64 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    1e3 * now.saturating_sub(begun).as_secs_f64()
}
