//! What the real window costs: the processor while nobody touches it, and the pictures a second
//! while a board sends 1,000 frames a second.
//!
//! `xvfb-run -a -s '-screen 0 1280x800x24' cargo run --release -p viewer --example window_load`, after
//! `cargo build --release -p board-simulator`
//!
//! Each screen is opened in a process of its own, left alone for 10 s, and then watched for 30 s: the
//! processor's time is what the system counts for the whole process, in percent of one core. For the
//! second figure a guided stand of 20 s is recorded on a simulated board. Without a graphics card
//! the triangles are filled by the processor, which is then most of both figures.

#![expect(clippy::print_stdout, reason = "a program for the terminal")]

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use acquisition::library::Library;
use acquisition::{Progress, Stage};
use analysis::Facing;
use anyhow::{Context as _, Result, ensure};
use viewer::standing::{SimulatedBoard, StandNow};
use viewer::strings::ENGLISH;
use viewer::window::stand::{BoardPick, Errand, StandAsk};
use viewer::window::{FootingWindow, Screen, WindowStart};

#[path = "../../acquisition/examples/generated_records/mod.rs"]
mod generated_records;

const SIZE: [f32; 2] = [1280.0, 800.0];
const LEFT_ALONE: Duration = Duration::from_secs(10);
const WATCHED: Duration = Duration::from_secs(30);

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match &arguments[..] {
        [] => {}
        [word, name, folder] if word == "idle" => return idle(name, Path::new(folder)),
        [word, folder] if word == "stand" => return stand(Path::new(folder)),
        other => anyhow::bail!("no such figure: {other:?}"),
    }
    let temporary = tempfile::tempdir()?;
    let library = Library::open(temporary.path())?;
    generated_records::generate(&library, 2_000)?;
    for screen in ["people", "course", "compare", "board"] {
        print!("{}", figure(&["idle", screen], temporary.path())?);
    }
    print!("{}", figure(&["stand"], temporary.path())?);
    Ok(())
}

fn figure(what: &[&str], folder: &Path) -> Result<String> {
    let output = Command::new(std::env::current_exe()?).args(what).arg(folder).output()?;
    ensure!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    Ok(String::from_utf8(output.stdout)?)
}

fn open(app: impl FnOnce(&egui::Context) -> Result<Box<dyn eframe::App>> + 'static) -> Result<()> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default().with_inner_size(SIZE),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    eframe::run_native("load", options, Box::new(|creation| Ok(app(&creation.egui_ctx)?)))
        .map_err(|error| anyhow::anyhow!("{error}"))
}

/// The stands of the invented person that come with the program.
fn sample_trials() -> Result<Vec<PathBuf>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-trials");
    let paths = std::fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path()));
    let mut paths: Vec<PathBuf> = paths.collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "h5"));
    Ok(paths)
}

fn idle(name: &str, folder: &Path) -> Result<()> {
    let (_, screen) =
        *Screen::NAMED.iter().find(|(known, _)| *known == name).context("a screen's name")?;
    let library = Library::open(folder)?;
    let files = if screen == Screen::Compare { sample_trials()? } else { Vec::new() };
    let start = WindowStart { records: Some(library), files, ..WindowStart::default() };
    let name = name.to_owned();
    open(move |ctx| {
        let mut window = FootingWindow::new(ctx, &ENGLISH, start)?;
        window.finish_reading();
        let person = (screen == Screen::Compare).then_some("P-07");
        window.turn_to(screen, person);
        window.finish_reading();
        std::thread::spawn(move || watch(&name));
        Ok(Box::new(window))
    })
}

/// Waits, watches, says what it saw and ends the program.
fn watch(name: &str) {
    std::thread::sleep(LEFT_ALONE);
    let (before_s, begun) = (processor_s(), Instant::now());
    std::thread::sleep(WATCHED);
    let share = 100.0 * (processor_s() - before_s) / begun.elapsed().as_secs_f64();
    println!("{name}, nobody touches it: {share:.2} % of a core");
    #[expect(clippy::exit, reason = "the window would stay open for ever")]
    std::process::exit(0);
}

/// Processor time of this process, in seconds.
fn processor_s() -> f64 {
    // Fields 14 and 15 after the name in brackets, in hundredths of a second: proc(5).
    let text = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields: Vec<&str> =
        text.rsplit(") ").next().unwrap_or_default().split_whitespace().collect();
    let ticks = |at: usize| fields.get(at).and_then(|text| text.parse::<f64>().ok());
    (ticks(11).unwrap_or(f64::NAN) + ticks(12).unwrap_or(f64::NAN)) / 100.0
}

fn stand(folder: &Path) -> Result<()> {
    let library = Library::open(folder)?;
    let simulated = SimulatedBoard { frames_per_s: Some(1000), ..SimulatedBoard::default() };
    let start = WindowStart { records: Some(library), simulated, ..WindowStart::default() };
    let ask = StandAsk {
        condition: "foam/hip-width/open".parse()?,
        errand: Errand::Guided,
        board: BoardPick::Simulated,
        address: String::new(),
        facing: Facing::Front,
        sole_height_mm: None,
        record_s: 20.0,
        settle_s: 1.0,
    };
    open(move |ctx| {
        let mut window = FootingWindow::new(ctx, &ENGLISH, start)?;
        window.finish_reading();
        window.turn_to(Screen::Stand, Some("P-00000"));
        window.finish_reading();
        window.begin_stand(ctx, &ask);
        Ok(Box::new(Standing { window, n_drawn: 0, recording: None }))
    })
}

/// The window while somebody stands, and how often it was drawn.
struct Standing {
    window: FootingWindow,
    n_drawn: u32,
    /// When recording began, and the processor's time then.
    recording: Option<(Instant, f64)>,
}

impl eframe::App for Standing {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.window.logic(ctx, frame);
        match (self.window.stand_now(), self.recording) {
            (Some(StandNow::Recording(Progress { stage: Stage::Recording, .. })), None) => {
                self.recording = Some((Instant::now(), processor_s()));
            }
            (Some(StandNow::Recording(_) | StandNow::Connecting), _) | (_, None) => {}
            (_, Some((begun, before_s))) => {
                let elapsed_s = begun.elapsed().as_secs_f64();
                println!(
                    "stand at 1,000 frames a second: {:.1} pictures a second, {:.0} % of a core",
                    f64::from(self.n_drawn) / elapsed_s,
                    100.0 * (processor_s() - before_s) / elapsed_s
                );
                self.recording = None;
                ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            }
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.window.ui(ui, frame);
        self.n_drawn += u32::from(self.recording.is_some());
    }
}
