//! Opening the window and keeping it open.

use std::path::PathBuf;

use acquisition::library::Library;
use acquisition::trial_file::TrialReader;
use thiserror::Error;

use crate::standing::SimulatedBoard;
use crate::strings::Language;
use crate::window::app::FootingWindow;

/// Smallest size at which every screen is readable, in points; also the size it opens at.
const OPENING_SIZE: [f32; 2] = [1024.0, 700.0];

/// What the window shows when it opens.
#[derive(Debug, Clone, Default)]
pub struct WindowStart {
    /// Folder of the trial files this program keeps, listed at once; it need not exist yet.
    pub library: Option<PathBuf>,
    /// The data folder whose people and courses show; `None` for none.
    pub records: Option<Library>,
    /// Trial files to open besides.
    pub files: Vec<PathBuf>,
    /// The simulated board that can be stood on in place of a real one.
    pub simulated: SimulatedBoard,
    /// What reads trial files.
    pub reader: TrialReader,
}

/// Why the window could not be shown.
#[derive(Debug, Error)]
pub enum WindowError {
    /// There is no display, it gives no drawing surface, or the system gives no thread.
    #[error("the window could not be opened")]
    NotOpened(#[source] eframe::Error),
}

/// Opens the window in a language, to begin with, and returns when it is closed.
///
/// # Errors
/// [`WindowError`] if there is no display to open it on.
pub fn run(words: &'static Language, start: WindowStart) -> Result<(), WindowError> {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title(words.common.program)
            .with_app_id("footing")
            .with_inner_size(OPENING_SIZE)
            .with_min_inner_size([800.0, 560.0]),
        // Tests switch on a second renderer, which would otherwise become the default.
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    eframe::run_native(
        words.common.program,
        options,
        Box::new(|creation| Ok(Box::new(FootingWindow::new(&creation.egui_ctx, words, start)?))),
    )
    .map_err(WindowError::NotOpened)
}
