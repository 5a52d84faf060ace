//! Saving what is drawn as a picture: where to, and whether a file that is there may go.

use std::path::PathBuf;

use egui::{RichText, Ui};

use crate::picture::{Chart, IfThere};
use crate::strings::PictureWords;
use crate::window::style::Palette;

/// A picture that somebody asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedPicture {
    /// Where to; its ending says whether as SVG or PNG.
    pub path: PathBuf,
    /// What to draw.
    pub chart: Box<Chart>,
    /// What becomes of a file that is there already.
    pub if_there: IfThere,
}

impl WantedPicture {
    /// One that replaces no file.
    pub(crate) fn new(path: PathBuf, chart: Chart) -> Self {
        Self { path, chart: Box::new(chart), if_there: IfThere::Keep }
    }
}

/// Where a drawing is saved, as it was typed.
#[derive(Debug, Default)]
pub(crate) struct PicturePlace {
    path: String,
}

impl PicturePlace {
    /// A name to begin with.
    pub(crate) fn new(suggestion: &str) -> Self {
        Self { path: suggestion.to_owned() }
    }

    /// Shows field and button under their names; gives the path once it is to be saved.
    pub(crate) fn ui(
        &mut self,
        ui: &mut Ui,
        [field_name, button_name]: [&str; 2],
    ) -> Option<PathBuf> {
        ui.horizontal_wrapped(|ui| {
            let label = ui.label(field_name);
            let field = egui::TextEdit::singleline(&mut self.path).desired_width(200.0);
            ui.add(field).labelled_by(label.id);
            let path = self.path.trim();
            let button = egui::Button::new(button_name);
            let clicked = ui.add_enabled(!path.is_empty(), button).clicked();
            clicked.then(|| PathBuf::from(path))
        })
        .inner
    }
}

/// The second step before a file is replaced.
#[derive(Debug, Default)]
pub(crate) struct Replacing {
    asked: Option<WantedPicture>,
}

impl Replacing {
    /// Asks about a picture whose file is there already.
    pub(crate) fn ask(&mut self, picture: WantedPicture) {
        self.asked = Some(picture);
    }

    /// Shows the question, if there is one; gives the picture once its file may go.
    pub(crate) fn ui(&mut self, ui: &mut Ui, words: &PictureWords) -> Option<WantedPicture> {
        let asked = self.asked.as_ref()?;
        let (mut replace, mut keep) = (false, false);
        let fill = Palette::of(ui.theme()).band;
        let margin = egui::Margin::symmetric(16, 10);
        let frame = egui::Frame::side_top_panel(ui.style()).fill(fill).inner_margin(margin);
        egui::Panel::top("replacing").frame(frame).show(ui, |ui| {
            ui.label(RichText::new((words.already_there)(&asked.path)).strong());
            ui.horizontal(|ui| {
                keep = ui.button(words.keep).clicked();
                replace = ui.button(words.replace).clicked();
            });
        });
        if replace {
            let picture = self.asked.take()?;
            return Some(WantedPicture { if_there: IfThere::Replace, ..picture });
        }
        if keep {
            self.asked = None;
        }
        None
    }
}
