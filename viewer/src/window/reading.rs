//! What the window asks its loader for, and how the loader answers.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use acquisition::trial_file::TrialReader;
use analysis::Analyser;

use crate::picture::{PictureError, chart_svg, write_picture};
use crate::strings::{Language, Message};
use crate::window::choose::ListedTrial;
use crate::window::compare::{CompareView, ComparedTrial};
use crate::window::loader::{Loader, Outlet};
use crate::window::saving::WantedPicture;
use crate::window::words_in_use::WordsInUse;

/// What the window wants to be read.
#[derive(Debug)]
pub(crate) enum Request {
    /// List the trial files of the program's own folder, which may not be there yet.
    Library(PathBuf),
    /// List trial files, and those in folders, that a person named.
    Open(Vec<PathBuf>),
    /// Compare two sets of trial files.
    Compare(Box<[WantedSet; 2]>),
    /// Write a picture.
    Save(WantedPicture),
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
    /// Something that was done, told like a message.
    Done(Message),
    /// Two sets side by side.
    Compared(Box<CompareView>),
    /// A picture that is not written, for there is a file of its name.
    AlreadyThere(WantedPicture),
}

/// Starts the loader with words for what it cannot read.
///
/// # Errors
/// If the system gives no thread.
pub(crate) fn start(
    ctx: &egui::Context,
    words: WordsInUse,
    reader: TrialReader,
) -> io::Result<Loader<Request, Answer>> {
    let mut analyser = Analyser::new();
    Loader::start(ctx, move |request, outlet| {
        let words = words.now();
        match request {
            Request::Library(folder) => library(words, &reader, &folder, outlet),
            Request::Open(paths) => open(words, &reader, &paths, outlet),
            Request::Save(picture) => outlet.give(save(words, picture)),
            Request::Compare(sets) => compare(words, &reader, *sets, &mut analyser, outlet),
        }
    })
}

fn library(words: &Language, reader: &TrialReader, folder: &Path, outlet: &Outlet<Answer>) {
    match trial_files_in(folder) {
        Ok(files) => list(words, reader, &files, outlet),
        // Before the first trial there is no folder, which is nobody's mistake.
        Err(error) if error.kind() == io::ErrorKind::NotFound => {}
        Err(error) => outlet.give(Answer::Refused((words.open_folder)(folder, &error))),
    }
}

fn open(words: &Language, reader: &TrialReader, paths: &[PathBuf], outlet: &Outlet<Answer>) {
    for path in paths {
        if !path.is_dir() {
            list(words, reader, std::slice::from_ref(path), outlet);
            continue;
        }
        match trial_files_in(path) {
            Ok(files) if files.is_empty() => {
                outlet.give(Answer::Refused((words.empty_folder)(path)));
            }
            Ok(files) => list(words, reader, &files, outlet),
            Err(error) => outlet.give(Answer::Refused((words.open_folder)(path, &error))),
        }
    }
}

fn list(words: &Language, reader: &TrialReader, files: &[PathBuf], outlet: &Outlet<Answer>) {
    for file in files {
        if outlet.is_stopped() {
            return;
        }
        outlet.give(list_file(words, reader, file));
    }
}

/// The trial files directly in a folder, in order of name. A file whose name begins with a dot is
/// still being sealed.
fn trial_files_in(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let hidden = entry.file_name().as_encoded_bytes().starts_with(b".");
        let path = entry.path();
        if !hidden && path.extension().is_some_and(|ending| ending == "h5") {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

fn list_file(words: &Language, reader: &TrialReader, path: &Path) -> Answer {
    match reader.outline(path) {
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
    reader: &TrialReader,
    wanted: [WantedSet; 2],
    analyser: &mut Analyser,
    outlet: &Outlet<Answer>,
) {
    let mut read = |set: &WantedSet| -> Vec<ComparedTrial> {
        let mut trials = Vec::with_capacity(set.paths.len());
        for path in &set.paths {
            match ComparedTrial::read(path, reader, analyser) {
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

fn save(words: &Language, picture: WantedPicture) -> Answer {
    let WantedPicture { path, chart, if_there } = &picture;
    match write_picture(&chart_svg(chart), path, *if_there) {
        Ok(()) => Answer::Done((words.picture.saved)(path)),
        Err(PictureError::AlreadyThere { .. }) => Answer::AlreadyThere(picture),
        Err(error) => Answer::Refused((words.picture.failed)(&error)),
    }
}
