//! The only place that prints: results to standard output, everything else to standard error.

#![expect(clippy::print_stderr, reason = "this is where the command line speaks")]

use std::io::{self, BufWriter, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::message::message;
use super::problem::Problem;

/// Exit code of a program that Ctrl-C ended, by custom of shells: 128 and the signal's number.
const INTERRUPTED: i32 = 130;

/// How much the command line says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Talk {
    /// Results, remarks and progress.
    Everything,
    /// Results and errors.
    ResultsOnly,
}

/// Prints a result.
pub(crate) fn result(text: &str) {
    let end = if text.ends_with('\n') { "" } else { "\n" };
    // Whoever reads may stop early, as `head` does; that is no error of ours.
    write!(io::stdout().lock(), "{text}{end}").ok();
}

/// Streams a result too long for one text.
pub(crate) fn stream(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    let mut out = BufWriter::new(io::stdout().lock());
    match write(&mut out).and_then(|()| out.flush()) {
        // Whoever reads has seen enough, as `head` does.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        written => written,
    }
}

/// Set once, before anything is done.
static RESULTS_ONLY: AtomicBool = AtomicBool::new(false);

/// From here on [`aside`] says nothing.
pub(crate) fn results_only() {
    RESULTS_ONLY.store(true, Ordering::Relaxed);
}

/// Prints that something was done, such as a file written, unless only results are wanted.
pub(crate) fn aside(text: &str) {
    if !RESULTS_ONLY.load(Ordering::Relaxed) {
        eprintln!("{text}");
    }
}

/// Prints what must be known beside the result, such as a stand that was kept after a crash.
pub(crate) fn remark(text: &str) {
    eprintln!("{text}");
}

/// Ends the program at once, on Ctrl-C that nobody heeds or that was pressed twice.
#[expect(clippy::exit, reason = "whoever presses Ctrl-C twice does not want to wait for anything")]
pub(crate) fn leave() {
    remark(
        "\nLeft at once. Whatever was recorded is kept; the next start of this program brings it in.",
    );
    std::process::exit(INTERRUPTED);
}

/// Prints what did not work, why, and what to do.
pub(crate) fn say(problem: &Problem) {
    let Some(message) = message(problem) else { return };
    eprintln!("{}", message.what);
    if !message.why.is_empty() {
        eprintln!("  Why: {}", message.why);
    }
    eprintln!("  What to do: {}", message.what_to_do);
}

/// A bar over a known number of steps, or nothing where only results are wanted.
pub(crate) fn bar(talk: Talk, n_steps: u64, doing: &str) -> ProgressBar {
    if talk == Talk::ResultsOnly {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(n_steps);
    let style = ProgressStyle::with_template("{msg:<44} {bar:30} {percent:>3} %")
        .expect("the template names only what exists");
    bar.set_style(style.progress_chars("\u{2501}\u{2578}\u{2500}"));
    bar.set_message(doing.to_owned());
    bar.enable_steady_tick(Duration::from_millis(200));
    bar
}
