//! The only place that prints: results to standard output, everything else to standard error.

#![expect(clippy::print_stderr, reason = "this is where the command line speaks")]

use std::io::{self, BufWriter, Write};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};

use super::message::message;
use super::problem::Problem;

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
    write(&mut out)?;
    out.flush()
}

/// Prints something worth knowing beside the result, such as a stand that was kept after a crash.
pub(crate) fn remark(text: &str) {
    eprintln!("{text}");
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
