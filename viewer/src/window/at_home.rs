//! Home mode inside the window: it takes the whole of it, until somebody leaves it in two steps.

use acquisition::WallTime;
use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::trial_file::TrialReader;
use egui::ViewportCommand;

use crate::command_line::{BoardChoice, Problem};
use crate::home::Practice;
use crate::home::window::{HomeWindow, Leaving};
use crate::strings::{Language, Message};

/// Home mode, while it is on.
#[derive(Debug, Default)]
pub(crate) struct AtHome {
    window: Option<Box<HomeWindow>>,
    /// What reads trial files that the records do not know yet.
    reader: TrialReader,
}

impl AtHome {
    /// Not on yet.
    pub(crate) fn new(reader: TrialReader) -> Self {
        Self { window: None, reader }
    }

    /// Switches to home mode for the one person paired here.
    ///
    /// # Errors
    /// The message for a data folder that is not a home's, or records that refuse.
    pub(crate) fn begin(
        &mut self,
        ctx: &egui::Context,
        library: &Library,
        words: &'static Language,
    ) -> Result<(), Option<Message>> {
        let practice = practice(library, &self.reader)
            .map_err(|problem| (words.practice.trouble)(&problem))?;
        let board = BoardChoice::new(None, None);
        let window = HomeWindow::new(practice, board, words, Leaving::InTwoSteps);
        self.window = Some(Box::new(window));
        ctx.send_viewport_cmd(ViewportCommand::Fullscreen(true));
        Ok(())
    }

    /// Does what is due; true when home mode has just been left.
    pub(crate) fn logic(&mut self, ctx: &egui::Context) -> bool {
        let Some(window) = &mut self.window else { return false };
        let is_left = window.is_left();
        if is_left {
            self.window = None;
            ctx.send_viewport_cmd(ViewportCommand::Fullscreen(false));
        } else {
            window.do_what_is_due(ctx);
        }
        is_left
    }

    /// Shows home mode, if it is on; whether it was.
    pub(crate) fn ui(&mut self, ui: &mut egui::Ui) -> bool {
        let Some(window) = &mut self.window else { return false };
        window.show_in(ui);
        true
    }
}

fn practice(library: &Library, reader: &TrialReader) -> Result<Practice, Problem> {
    // A stand that was sealed and is in no record yet would be asked for again. What is in the way of
    // a trial file is told where people show.
    let (records, _) = Records::open_up_to_date(library, reader)?;
    Practice::open(library, records, None, WallTime::now())
}
