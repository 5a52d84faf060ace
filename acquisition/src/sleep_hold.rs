//! Keeps the computer awake during a trial, where the system has a program for it.

use std::process::{Child, ChildStdin, Command, Stdio};

/// Programs that hold off sleep as long as what they run goes on; `cat` goes on until its input is
/// closed, which happens even when this program is killed.
const HOLDERS: &[&[&str]] = &[
    &[
        "systemd-inhibit",
        "--what=sleep:idle:handle-lid-switch",
        "--who=Footing",
        "--why=A trial is being recorded",
        "--mode=block",
        "cat",
    ],
    &["caffeinate", "-d", "-i", "-s", "cat"],
];

/// Sleep is held off until it is dropped.
///
/// Notifications cannot be held off this way: no system offers that to every program.
#[derive(Debug)]
pub struct SleepHold {
    held: Option<(Child, ChildStdin)>,
}

impl SleepHold {
    /// Holds off sleep if the system lets it; a system that does not is no reason not to record.
    pub fn begin() -> Self {
        Self { held: HOLDERS.iter().find_map(|words| hold_with(words)) }
    }

    /// Whether a program of the system was found that holds it off. What that program is refused
    /// by the system is not known here.
    pub fn is_held(&self) -> bool {
        self.held.is_some()
    }
}

fn hold_with(words: &[&str]) -> Option<(Child, ChildStdin)> {
    let (program, arguments) = words.split_first()?;
    let mut child = Command::new(program)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let input = child.stdin.take()?;
    Some((child, input))
}

impl Drop for SleepHold {
    fn drop(&mut self) {
        if let Some((mut child, input)) = self.held.take() {
            drop(input);
            // It ends by itself once its input is closed.
            drop(child.wait());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hold_lasts_until_it_is_dropped_and_not_longer() {
        let mut hold = SleepHold { held: hold_with(&["cat"]) };
        assert!(hold.is_held());
        let child = &mut hold.held.as_mut().unwrap().0;
        assert!(child.try_wait().unwrap().is_none(), "it goes on");
        let about = std::path::PathBuf::from(format!("/proc/{}", child.id()));
        drop(hold);
        assert!(!about.exists());
        assert!(hold_with(&["no-such-program-of-any-system"]).is_none());
    }
}
