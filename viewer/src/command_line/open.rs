//! `footing open`: the window, or a picture of one of its screens.

use std::path::PathBuf;

use super::arguments::OpenArguments;
use super::data_folder::DataFolder;
use super::output;
use super::problem::Problem;
use crate::picture::write_pixels;
use crate::standing::SimulatedBoard;
use crate::strings::ENGLISH;
use crate::window::headless::{Shot, shoot};
use crate::window::{Screen, WindowStart, run as open_window};

pub(super) fn run(arguments: OpenArguments, data: &DataFolder) -> Result<(), Problem> {
    // Settings that cannot be read are told, and hinder nobody from looking at the records.
    let words = data.words(arguments.language).unwrap_or_else(|problem| {
        output::say(&problem);
        &ENGLISH
    });
    let start = WindowStart {
        library: Some(data.trials()),
        records: Some(data.library().clone()),
        files: arguments.files,
        simulated: SimulatedBoard::default(),
        reader: data.reader().clone(),
    };
    let Some(asked) = arguments.screenshot else { return Ok(open_window(words, start)?) };
    let (name, path) = match &asked[..] {
        [name, path] => (name, PathBuf::from(path)),
        _ => return Err(Problem::UnknownScreen { found: asked.join(" ") }),
    };
    let known = Screen::NAMED.iter().find(|(known, _)| known == name);
    let (_, screen) = known.ok_or_else(|| Problem::UnknownScreen { found: name.clone() })?;
    let shot = Shot {
        screen: *screen,
        person: arguments.person,
        theme: if arguments.dark { egui::Theme::Dark } else { egui::Theme::Light },
        size: [arguments.width, arguments.height],
        scale: f32::from(arguments.scale),
    };
    let pixels = shoot(words, start, &shot).map_err(Problem::NoThread)?;
    write_pixels(&pixels, &path)?;
    output::result(&format!("{}", path.display()));
    Ok(())
}
