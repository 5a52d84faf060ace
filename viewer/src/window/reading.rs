//! What the window asks its loader for, and how the loader answers.

use std::path::{Path, PathBuf};

use acquisition::trial_file;
use analysis::Analyser;

use crate::strings::{Language, Message};
use crate::window::choose::ListedTrial;
use crate::window::compare::{CompareView, ComparedTrial};
use crate::window::loader::{Loader, Outlet};

/// What the window wants to be read.
#[derive(Debug)]
pub(crate) enum Request {
    /// List trial files, and those in folders.
    List(Vec<PathBuf>),
    /// Compare two sets of trial files.
    Compare(Box<[WantedSet; 2]>),
}

/// A set of trial files to be compared.
#[derive(Debug)]
pub(crate) struct WantedSet {
    /// What the set is, in a line.
    pub title: String,
    /// Its trial files.
    pub paths: Vec<PathBuf>,
}

/// What was read.
#[derive(Debug)]
pub(crate) enum Answer {
    /// A trial file that can be opened.
    Listed(ListedTrial),
    /// Something that could not be read.
    Refused(Message),
    /// Two sets side by side.
    Compared(Box<CompareView>),
}

/// Starts the loader with words for what it cannot read.
///
/// # Errors
/// If the system gives no thread.
pub(crate) fn start(
    ctx: &egui::Context,
    words: &'static Language,
) -> std::io::Result<Loader<Request, Answer>> {
    let mut analyser = Analyser::new();
    Loader::start(ctx, move |request, outlet| match request {
        Request::List(paths) => list(words, &paths, outlet),
        Request::Compare(sets) => compare(words, *sets, &mut analyser, outlet),
    })
}

fn list(words: &Language, paths: &[PathBuf], outlet: &Outlet<Answer>) {
    for path in paths {
        if outlet.is_stopped() {
            return;
        }
        outlet.give(list_file(words, path));
    }
}

fn list_file(words: &Language, path: &Path) -> Answer {
    match trial_file::outline(path) {
        Ok(outline) => Answer::Listed(ListedTrial {
            id: outline.facts.id,
            path: path.to_owned(),
            person: outline.facts.person,
            condition: outline.facts.condition,
            kind: outline.facts.kind,
            started: outline.facts.started,
        }),
        Err(error) => Answer::Refused((words.open_trial)(path, &error)),
    }
}

fn compare(
    words: &Language,
    wanted: [WantedSet; 2],
    analyser: &mut Analyser,
    outlet: &Outlet<Answer>,
) {
    let mut read = |set: &WantedSet| -> Vec<ComparedTrial> {
        let mut trials = Vec::with_capacity(set.paths.len());
        for path in &set.paths {
            match ComparedTrial::read(path, analyser) {
                Ok(trial) => trials.push(trial),
                Err(error) => outlet.give(Answer::Refused((words.open_trial)(path, &error))),
            }
            if outlet.is_stopped() {
                break;
            }
        }
        trials
    };
    let sets = [read(&wanted[0]), read(&wanted[1])];
    let view = CompareView::new(words, &sets, wanted.map(|set| set.title));
    outlet.give(Answer::Compared(Box::new(view)));
}
