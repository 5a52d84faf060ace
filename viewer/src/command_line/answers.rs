//! What the person at the keyboard answers while a stand is recorded.

use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

use acquisition::{Stage, Wish};

/// How many typed lines may wait.
const LINES_WAITING: usize = 8;

/// Lines typed, where somebody can type.
pub(crate) struct Answers {
    same_person: bool,
    /// `None` without a terminal: nobody can be asked.
    lines: Option<Receiver<String>>,
}

impl Answers {
    /// Listens to the keyboard; `same_person` if that was answered on the command line.
    pub(crate) fn listen(same_person: bool) -> Self {
        Self { same_person, lines: io::stdin().is_terminal().then(read_lines) }
    }

    /// What the person wants at this stage. Without anybody to ask, a load far from the recorded mass
    /// is refused at once, so that nobody is left standing.
    pub(crate) fn wish(&self, stage: &Stage) -> Wish {
        match self.lines.as_ref().map(Receiver::try_recv) {
            None => wish(stage, self.same_person, &Typed::NobodyThere),
            Some(Err(_)) => wish(stage, self.same_person, &Typed::Nothing),
            Some(Ok(line)) => wish(stage, self.same_person, &Typed::Line(line)),
        }
    }
}

/// What came from the keyboard.
enum Typed {
    /// There is no terminal.
    NobodyThere,
    Nothing,
    Line(String),
}

fn wish(stage: &Stage, same_person: bool, typed: &Typed) -> Wish {
    let asked = matches!(stage, Stage::ConfirmingPerson { .. });
    match typed {
        _ if asked && same_person => Wish::SamePerson,
        Typed::NobodyThere if asked => Wish::OtherPerson,
        Typed::NobodyThere | Typed::Nothing => Wish::GoOn,
        Typed::Line(line) if asked => match line.trim() {
            "y" | "Y" | "yes" => Wish::SamePerson,
            "n" | "N" | "no" => Wish::OtherPerson,
            _ => Wish::GoOn,
        },
        // Enter alone, or anything else typed.
        Typed::Line(_) => Wish::Stop,
    }
}

/// Reads lines on a thread of its own, which ends with the program.
fn read_lines() -> Receiver<String> {
    let (lines, typed) = sync_channel(LINES_WAITING);
    thread::spawn(move || {
        for line in io::stdin().lines() {
            let Ok(line) = line else { return };
            if lines.send(line).is_err() {
                return;
            }
        }
    });
    typed
}

#[cfg(test)]
mod tests {
    use super::*;

    const ASKED: Stage = Stage::ConfirmingPerson { measured_kg: 70.0, recorded_kg: 60.0 };

    #[test]
    fn the_question_is_answered_by_key_by_option_or_by_nobody() {
        let typed = |line: &str| wish(&ASKED, false, &Typed::Line(line.to_owned()));
        assert_eq!(wish(&ASKED, false, &Typed::Nothing), Wish::GoOn);
        assert_eq!(typed("y"), Wish::SamePerson);
        assert_eq!(typed(" n "), Wish::OtherPerson);
        assert_eq!(typed("perhaps"), Wish::GoOn);
        assert_eq!(wish(&ASKED, true, &Typed::NobodyThere), Wish::SamePerson);
        assert_eq!(wish(&ASKED, false, &Typed::NobodyThere), Wish::OtherPerson);
    }

    #[test]
    fn enter_stops_at_any_other_stage() {
        let enter = Typed::Line(String::new());
        assert_eq!(wish(&Stage::Recording, false, &enter), Wish::Stop);
        assert_eq!(wish(&Stage::Recording, true, &Typed::Nothing), Wish::GoOn);
        assert_eq!(wish(&Stage::AwaitingLoad, false, &Typed::NobodyThere), Wish::GoOn);
    }
}
