//! Draws the window's screens into PNG files without a display, from stands that nobody stood.
//!
//! `cargo run -p viewer --example screenshots -- FOLDER`

#[path = "../tests/window/synthetic_stands.rs"]
mod synthetic_stands;

#[path = "../tests/window/made_up_course.rs"]
mod made_up_course;

use std::path::{Path, PathBuf};

use acquisition::library::Library;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use viewer::strings::ENGLISH;
use viewer::window::{FootingWindow, WindowStart};

use made_up_course::{Day, EASY, MadeUp};

type Window = Harness<'static, FootingWindow>;

fn main() -> anyhow::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "screenshots".to_owned()));
    std::fs::create_dir_all(&folder)?;
    let stands = tempfile::tempdir()?;
    let files = synthetic_stands::two_days(stands.path());
    let data = tempfile::tempdir()?;
    let library = three_people(data.path());
    let themes = [(egui::Theme::Light, "light"), (egui::Theme::Dark, "dark")];
    for (theme, theme_name) in themes {
        let save = |window: &mut Window, name: &str| {
            save(window, &folder.join(format!("{name}-{theme_name}.png")))
        };
        let mut empty = open(theme, WindowStart::default());
        save(&mut empty, "start")?;

        let records = Some(library.clone());
        let mut clinic = open(theme, WindowStart { records, ..WindowStart::default() });
        press(&mut clinic, "People");
        save(&mut clinic, "people")?;
        for code in ["P-07", "P-11", "P-12"] {
            press(&mut clinic, &format!("Course of {code}"));
            save(&mut clinic, &format!("course-{code}"))?;
            press(&mut clinic, "People");
        }

        let gone = WindowStart { files: vec![PathBuf::from("gone.h5")], ..WindowStart::default() };
        save(&mut open(theme, gone), "message")?;

        let mut window =
            open(theme, WindowStart { files: files.clone(), ..WindowStart::default() });
        press(&mut window, "Set A: foam, hip width, eyes open");
        press(&mut window, "Set B: foam, hip width, eyes closed");
        save(&mut window, "trials")?;
        press(&mut window, "Compare A with B");
        save(&mut window, "compare-path")?;
        press(&mut window, "Draw only trial 1 of set A");
        press(&mut window, "Draw only trial 1 of set B");
        save(&mut window, "compare-path-single")?;
        press(&mut window, "Over time");
        save(&mut window, "compare-over-time")?;
        press(&mut window, "Draw every trial of set A");
        press(&mut window, "Frequency");
        press(&mut window, "Show all measures");
        save(&mut window, "compare-frequency")?;
    }
    Ok(())
}

/// Somebody who is ready, somebody who must stop, and somebody new.
fn three_people(folder: &Path) -> Library {
    let mut made_up = MadeUp::new(folder);
    let ready = made_up.person("P-07", Some("made-up name"));
    let stopped = made_up.person("P-11", None);
    made_up.person("P-12", None);
    for day in EASY {
        made_up.session(&ready, day);
        let wider = Day { wobble_mm: 1.5 * day.wobble_mm, pain: [3, 4, 3], ..day };
        made_up.session(&stopped, wider);
    }
    let sign = Day { days_ago: 1, pain: [3, 7, 6], warning_sign: true, ..EASY[4] };
    made_up.session(&stopped, sign);
    made_up.library
}

fn open(theme: egui::Theme, start: WindowStart) -> Window {
    let mut window =
        Harness::builder().with_size([1024.0, 700.0]).with_theme(theme).build_eframe(|creation| {
            FootingWindow::new(&creation.egui_ctx, &ENGLISH, start).expect("a thread for reading")
        });
    settle(&mut window);
    window
}

fn settle(window: &mut Window) {
    for _ in 0..3 {
        window.run_steps(2);
        window.state_mut().finish_reading();
    }
    window.run_steps(4);
}

fn press(window: &mut Window, part: &str) {
    if let Some(found) = window.get_all_by_label_contains(part).next() {
        found.click();
    }
    settle(window);
    // Away from whatever was pressed, so that no hint covers the picture.
    window.hover_at(egui::pos2(2.0, 2.0));
    settle(window);
}

fn save(window: &mut Window, path: &Path) -> anyhow::Result<()> {
    let image = window.render().map_err(anyhow::Error::msg)?;
    image.save(path)?;
    Ok(())
}
