//! What is said for each problem: what, why, and what to do.

use acquisition::ConnectError;
use acquisition::FindBoardError;
use acquisition::home::HomeStandError;
use acquisition::import::{C3dError, ImportError};
use acquisition::records::RecordsError;
use acquisition::trial_file::OpenTrialError;
use acquisition::trial_file::apart::ApartError;

use super::board_message;
use super::problem::Problem;
use super::two_sides::message as sides;
use crate::picture::PictureError;
use crate::strings::{ENGLISH, Message, with_causes};

const ABOUT_COLUMNS: &str = "Name a column that is there, as NAME:UNIT or #NUMBER:UNIT; \
    `footing help import` shows an example.";

/// The words for a problem; `None` if it was said already.
#[expect(clippy::too_many_lines, reason = "one arm a problem, so that none is forgotten")]
pub(crate) fn message(problem: &Problem) -> Option<Message> {
    let (what, why, what_to_do) = match problem {
        Problem::NoDataFolder => (
            "There is no place to keep trials.".to_owned(),
            "this system names no folder for a user's data".to_owned(),
            "Name one with --data FOLDER.",
        ),
        Problem::Library(source) => (
            "The folder for trials cannot be used.".to_owned(),
            with_causes(source),
            "Name a folder you may write to with --data FOLDER.",
        ),
        Problem::List { path, source } => (
            format!("The folder {} could not be read.", path.display()),
            source.to_string(),
            "Check that it is there and that you may read it.",
        ),
        Problem::NoTrials { place } => (
            "There is nothing to work on.".to_owned(),
            format!("no trials were found in {place}"),
            "Record or import a trial first, or name another file or folder.",
        ),
        Problem::OpenTrial { path, source } => (
            format!("The trial file {} was not opened.", path.display()),
            with_causes(source.as_ref()),
            open_advice(source),
        ),
        Problem::SomeNotOpened { n_files } => (
            "Not every trial is in the result.".to_owned(),
            format!("{n_files} of the files named above could not be opened"),
            "Restore them from a backup, or leave them out by naming the files you want.",
        ),
        Problem::Said => return None,
        Problem::Recover(source) => (
            "An interrupted stand could not be read.".to_owned(),
            with_causes(source),
            "The file is left as it is. Keep it, and ask whoever looks after this program.",
        ),
        Problem::SealJournal(source) => (
            "A stand was recorded but not yet put into its trial file.".to_owned(),
            with_causes(source),
            "Nothing is lost. Make room on the disk or free the folder; the next start tries again.",
        ),
        Problem::Connect(source) => (
            "There is no connection to a board.".to_owned(),
            with_causes(source),
            connect_advice(source),
        ),
        Problem::FindBoard(source) => (
            "It is not clear which board to use.".to_owned(),
            find_board_words(source),
            find_board_advice(source),
        ),
        Problem::Record(source) => return Some((ENGLISH.not_recorded)(source)),
        Problem::BoardFolder(source) => board_message::folder(source),
        Problem::Guided(source) => board_message::guided(source),
        Problem::Calibration(source) => board_message::calibration(source),
        Problem::Recompute { path, source } => board_message::recompute(path, source),
        Problem::NothingNewer { path } => (
            format!("{} was not computed anew.", path.display()),
            "its board was never calibrated".to_owned(),
            "Calibrate the board, or name a calibration with --calibration FILE.",
        ),
        Problem::MakeFolder { path, source } => (
            format!("The folder {} could not be made.", path.display()),
            source.to_string(),
            "Name a folder you may write to with --into FOLDER.",
        ),
        Problem::ReadMap { path, source } => (
            format!("The column map {} could not be read.", path.display()),
            source.to_string(),
            "Check the name of the file, and that it is text.",
        ),
        Problem::Map(source) => {
            ("The column map cannot be used.".to_owned(), with_causes(source), ABOUT_COLUMNS)
        }
        Problem::MapMissing => (
            "It is not known where the numbers stand.".to_owned(),
            "neither a column map nor columns were named".to_owned(),
            "Give --ml and --ap with --time or --rate, or --map FILE.",
        ),
        Problem::Import { path, source } => (
            format!("{} was not imported.", path.display()),
            with_causes(source.as_ref()),
            import_advice(source),
        ),
        Problem::ImportC3d { path, source } => (
            format!("{} was not imported.", path.display()),
            with_causes(source),
            c3d_advice(source),
        ),
        Problem::Guess { path, source } => (
            format!("The columns of {} are not known.", path.display()),
            with_causes(source.as_ref()),
            "Write a column map by hand, after the example in acquisition/docs/import.md, and give it \
             with --map FILE.",
        ),
        Problem::Seal(source) => (
            "The trial file could not be written.".to_owned(),
            with_causes(source),
            "Make room on the disk or name another folder with --data, then do it again.",
        ),
        Problem::OutOfRange { what, given, low, high } => (
            format!("The {what} cannot be used."),
            format!("{given} is not between {low} and {high}"),
            "Correct it and run the command again.",
        ),
        Problem::NotComparable(source) => (
            "The two sets were not compared.".to_owned(),
            with_causes(source),
            "Choose sets that differ only in what you want to compare.",
        ),
        Problem::Threads(source) => (
            "Nothing was measured.".to_owned(),
            source.to_string(),
            "Close other programs, or ask for fewer trials at once with --jobs.",
        ),
        Problem::Print(source) => (
            "The result could not be written.".to_owned(),
            source.to_string(),
            "Make room where the result goes, then run the command again.",
        ),
        Problem::OneTrial { n_trials } => (
            "The samples were not written.".to_owned(),
            format!("{n_trials} trials were named, and their rows could not be told apart"),
            "Name one trial, or write all of them with --parquet FOLDER --samples.",
        ),
        Problem::ResearchSet(source) => (
            "The research set was not written.".to_owned(),
            with_causes(source),
            "Name a folder that is not there yet, on a disk with enough room.",
        ),
        Problem::Report(source) => (
            "The page was not written.".to_owned(),
            with_causes(source),
            "This is a fault of the program; please tell whoever looks after it.",
        ),
        Problem::WriteFile { path, source } => (
            format!("{} was not written.", path.display()),
            source.to_string(),
            "Name a file in a folder that is there and that you may write to.",
        ),
        Problem::Signals(source) => (
            "The stand was not begun: the system does not let this program heed Ctrl-C.".to_owned(),
            source.to_string(),
            "Close other programs, then start again.",
        ),
        Problem::Picture(source @ PictureError::AlreadyThere { .. }) => (
            "The picture was not written.".to_owned(),
            with_causes(source),
            "Name another file, or give --replace.",
        ),
        Problem::Picture(source) => (
            "The picture was not written.".to_owned(),
            with_causes(source),
            "Name a file that ends in .png or .svg, in a folder you may write to.",
        ),
        Problem::OpenRecords(source) => return Some((ENGLISH.clinic.not_opened)(source)),
        Problem::Records(source) => {
            ("Nothing was recorded.".to_owned(), with_causes(source), records_advice(source))
        }
        Problem::NotTakenIn { path, source, n_more } => {
            return Some((ENGLISH.clinic.not_taken_in)(path, source, *n_more));
        }
        Problem::CatchUp(source) => return Some((ENGLISH.clinic.not_up_to_date)(source)),
        Problem::Index(source) => (
            "The trial is kept in its file, but not yet in the records.".to_owned(),
            with_causes(source),
            "Nothing is lost: the next start of this program brings it into the records.",
        ),
        Problem::NoPerson { person } => (
            format!("{person} is not in the records."),
            "nobody was recorded under this code".to_owned(),
            "Check the code with `footing people`, or add the person with `footing people set`.",
        ),
        Problem::NoPlan { person } => (
            format!("{person} has no plan."),
            "the next step is judged by the plan's conditions and limits".to_owned(),
            "`footing plan show CODE --toml` prints one to begin with; `footing plan set` records it.",
        ),
        Problem::NoSession { person } => (
            format!("{person} has no session here."),
            "none is in progress, or the one named is another person's".to_owned(),
            "`footing sessions list CODE` shows them; `footing sessions begin CODE` begins one.",
        ),
        Problem::UnknownSession { id } => (
            format!("There is no session {id:?}."),
            "no session of this person was recorded under this id".to_owned(),
            "`footing sessions list CODE` shows the ids.",
        ),
        Problem::NoStand { person } => (
            format!("There is no reference of {person} to take."),
            "the session has no such stand".to_owned(),
            "Record 15 s at the condition with `footing record`, then ask again; `footing trials CODE \
             --json` shows the ids.",
        ),
        Problem::NoBand { condition } => (
            "The stand was not taken as a reference.".to_owned(),
            format!(
                "no band pulls at {}, so there is no offset to tell",
                (ENGLISH.condition)(condition)
            ),
            "Record the reference with the band on, and name it in the condition.",
        ),
        Problem::SessionOpen { person, started } => (
            format!("No session was begun: {person} is in the middle of one."),
            format!("it began on {started} and has not been ended"),
            "End it with `footing sessions end CODE`, then begin the next one.",
        ),
        Problem::ReadPlan { path, source } => (
            format!("The plan {} could not be read.", path.display()),
            source.to_string(),
            "Check the name of the file, and that it is text.",
        ),
        Problem::PlanDraft { path, source } => (
            format!("{} is not a plan.", path.display()),
            with_causes(source.as_ref()),
            "`footing plan show CODE --toml` prints a plan to begin with; correct yours after it.",
        ),
        Problem::Backup(source) => (
            "The backup was not made.".to_owned(),
            with_causes(source),
            "Name a folder that is not there yet, on a disk with enough room.",
        ),
        Problem::Rebuild(source) => (
            "The records were not made anew.".to_owned(),
            with_causes(source),
            "What was there is still there. Close other windows of this program, make room on the disk, then do it again.",
        ),
        Problem::Erase(source) => (
            "Not everything was erased.".to_owned(),
            with_causes(source),
            "Do it again: it goes on where it stopped.",
        ),
        Problem::NotConfirmed { person } => (
            "Nothing was erased.".to_owned(),
            format!("the code {person} was not given a second time"),
            "Run it in a terminal and type the code when asked, or add --confirm CODE.",
        ),
        Problem::Findings { n_findings } => (
            "The records and the files do not agree.".to_owned(),
            format!("{n_findings} differences are named above"),
            "Keep a copy with `footing backup`, then `footing rebuild`; missing files come from an older backup.",
        ),
        Problem::NotInPlan(source) => (
            "That condition is not in the plan.".to_owned(),
            source.to_string(),
            "Name one of the plan's conditions, or add it with `footing plan set`.",
        ),
        Problem::Date(source) => {
            ("That is not a day.".to_owned(), source.to_string(), "Write it as 2026-03-01.")
        }
        Problem::AtHome => (
            "This is not changed at home.".to_owned(),
            "plans, releases and decisions are the clinic's".to_owned(),
            "Ask the clinic for a new plan; `footing take` takes it when it comes.",
        ),
        Problem::ReadFile { path, source } => (
            format!("{} could not be read.", path.display()),
            source.to_string(),
            "Check the name of the file, and that you may read it.",
        ),
        Problem::PublicKeys { path, source } => (
            format!("{} holds no public keys.", path.display()),
            with_causes(source),
            "Ask the other side for the file that `footing pair make` wrote there, unchanged.",
        ),
        Problem::Keys(source) => sides::keys(source),
        Problem::Code(source) => (
            "The two sides were not paired.".to_owned(),
            with_causes(source),
            "Have the code read once more, and type all five groups.",
        ),
        Problem::Pair(source) => sides::pair(source),
        Problem::Send(source) => sides::send(source),
        Problem::Take { path, source } => sides::take(path, source),
        Problem::KeepSafe(source) => sides::keep_safe(source),
        Problem::BringBack(source) => sides::bring_back(source),
        Problem::WhoPractises => (
            "It is not clear who practises.".to_owned(),
            "this home is paired for nobody, or for more than one person".to_owned(),
            "Name the person's code; `footing pair show` lists who is paired.",
        ),
        Problem::OpenHome(source) => (
            "The session cannot begin.".to_owned(),
            with_causes(source),
            "Nothing is lost. Check the disk, then start again; if it stays so, call the clinic.",
        ),
        Problem::HomeSettings(source) => (
            "The settings of the home cannot be used.".to_owned(),
            with_causes(source),
            "Set them again with `footing home-settings`.",
        ),
        Problem::HomeStand(HomeStandError::Record(source)) => {
            return Some((ENGLISH.not_recorded)(source));
        }
        Problem::HomeStand(source) => home_stand(source),
        Problem::UnknownScreen { found } => (
            "No picture was drawn.".to_owned(),
            format!("no screen is called {found:?}"),
            "Name start, people, course, plan, stand, trials, compare or board, then a file that \
             ends in .png.",
        ),
        Problem::NoThread(source) => (
            "No picture was drawn.".to_owned(),
            source.to_string(),
            "Close other programs, then do it again.",
        ),
        Problem::Window(source) => (
            "The window could not be opened.".to_owned(),
            with_causes(source),
            "Run it on a desktop; without one, `footing analyse` and `footing compare` print results.",
        ),
    };
    Some(Message { what, why, what_to_do: what_to_do.to_owned() })
}

/// As for a stand in the clinic, but for another board or a stand that was not kept yet.
fn home_stand(error: &HomeStandError) -> (String, String, &'static str) {
    let what = match error {
        HomeStandError::Seal(_) | HomeStandError::Index(_) => {
            "The stand is kept, but not yet in the records."
        }
        HomeStandError::Record(_)
        | HomeStandError::OtherBoard { .. }
        | HomeStandError::Board(_)
        | HomeStandError::Recover(_)
        | HomeStandError::Records(_) => "The stand was not recorded.",
    };
    let advice = match error {
        HomeStandError::OtherBoard { .. } => {
            "Plug in the board that your clinic gave you, or ask the clinic to pair this one."
        }
        HomeStandError::Seal(_) | HomeStandError::Index(_) | HomeStandError::Recover(_) => {
            "Nothing is lost: the next start of this program brings it in."
        }
        HomeStandError::Record(_) | HomeStandError::Board(_) | HomeStandError::Records(_) => {
            "Check that the disk is not full, then start again."
        }
    };
    (what.to_owned(), with_causes(error), advice)
}

fn records_advice(error: &RecordsError) -> &'static str {
    match error {
        RecordsError::UnknownPerson { .. } => "Check the code with `footing people`.",
        RecordsError::OtherPerson { .. } => {
            "Check whose session it is with `footing sessions list`."
        }
        RecordsError::Plan(_) => "Correct the plan, then record it again.",
        RecordsError::PlanVersion { .. } => {
            "Somebody recorded another version meanwhile: look at it first, then do it again."
        }
        RecordsError::ClinicOnly => {
            "Ask the clinic: it sends plans and decisions as a sealed file for `footing take`."
        }
        RecordsError::Keys(error) => sides::keys(error).2,
        RecordsError::Sqlite(_) | RecordsError::PersonFile(_) | RecordsError::Export { .. } => {
            "Check that the disk is not full and that the values make sense, then do it again."
        }
    }
}

fn open_advice(error: &OpenTrialError) -> &'static str {
    match error {
        OpenTrialError::Missing => "Check the name of the file.",
        OpenTrialError::NotAFile => "Name a trial file; a folder stands for the trial files in it.",
        OpenTrialError::Unreadable(_) => "Check that you may read it.",
        OpenTrialError::TooLarge { .. } => "Name a trial file; none is that large.",
        OpenTrialError::Digest(_) | OpenTrialError::Content(_) => {
            "The file was left as it is. Take it from a backup, or import the recording again."
        }
        OpenTrialError::Apart(ApartError::NotStarted(_)) => {
            "Close other programs and try again; if that does not help, install this program anew."
        }
        OpenTrialError::Apart(
            ApartError::Died { .. } | ApartError::TooLong { .. } | ApartError::Garbled,
        ) => {
            "Nothing else was touched, and the file was left as it is. Do not use it; ask whoever \
             gave it to you for another copy."
        }
    }
}

fn connect_advice(error: &ConnectError) -> &'static str {
    match error {
        ConnectError::Open { .. } => {
            "Plug the board in, check the port's name, and close any other program that uses it."
        }
        ConnectError::InUse { .. } => "Close that program, then run the command again.",
        ConnectError::Silent { .. } | ConnectError::Lost { .. } => {
            "Unplug the board, plug it in again, and check that this is its port."
        }
        ConnectError::NotABoard { .. } => {
            "Name the board's port; something else answers on this one."
        }
        ConnectError::OtherVersion { .. } => {
            "Bring the board's firmware and this program to versions that belong together."
        }
    }
}

/// Why, with each port and what it said.
fn find_board_words(error: &FindBoardError) -> String {
    let mut words = with_causes(error);
    let lines: Vec<String> = match error {
        FindBoardError::NoBoard { refused } => {
            refused.iter().map(|error| with_causes(error)).collect()
        }
        FindBoardError::Several { boards } => boards.iter().map(ToString::to_string).collect(),
        FindBoardError::List(_) | FindBoardError::NoPort | FindBoardError::NotBack { .. } => {
            Vec::new()
        }
    };
    for line in lines {
        words.push_str("\n    ");
        words.push_str(&line);
    }
    words
}

fn find_board_advice(error: &FindBoardError) -> &'static str {
    match error {
        FindBoardError::List(_) => "Say where the board is with --port.",
        FindBoardError::NoPort | FindBoardError::NoBoard { .. } => {
            "Plug the board in and close any other program that uses it, or say where it is with \
             --port."
        }
        FindBoardError::Several { .. } => "Say which one with --port.",
        FindBoardError::NotBack { .. } => {
            "Nothing was recorded. Check the cable, plug the board in, then start again."
        }
    }
}

fn c3d_advice(error: &C3dError) -> &'static str {
    match error {
        C3dError::Missing | C3dError::Unreadable(_) => {
            "Check the name of the file, and that you may read it."
        }
        C3dError::TooLarge { .. } | C3dError::TooManySamples { .. } => {
            "Split the recording into stands, one file each, and import those."
        }
        C3dError::NotC3d | C3dError::Damaged { .. } | C3dError::CutShort { .. } => {
            "Export the recording again from the program that made it."
        }
        C3dError::NoPlatform { .. } => "Name another one with --platform NUMBER.",
        C3dError::NoForces
        | C3dError::TooFewSamples { .. }
        | C3dError::UnknownType { .. }
        | C3dError::Parameter { .. }
        | C3dError::Channel { .. }
        | C3dError::LengthUnit { .. }
        | C3dError::NotFinite { .. }
        | C3dError::Rate { .. } => {
            "Export forces or the centre of pressure as text, and import that with a column map."
        }
    }
}

fn import_advice(error: &ImportError) -> &'static str {
    match error {
        ImportError::Missing | ImportError::NotAFile | ImportError::Unreadable(_) => {
            "Check the name of the file, and that you may read it."
        }
        ImportError::TooLarge { .. }
        | ImportError::TooManySamples { .. }
        | ImportError::LineTooLong { .. } => {
            "Split the recording into stands, one file each, and import those."
        }
        ImportError::NotText { .. } => "Export the recording as text, then import that.",
        ImportError::Empty | ImportError::NoHeader { .. } | ImportError::TooFewSamples { .. } => {
            "Check that the recording was exported completely."
        }
        ImportError::UnknownColumn { .. }
        | ImportError::AmbiguousColumn { .. }
        | ImportError::UnitDiffers { .. }
        | ImportError::Map(_) => ABOUT_COLUMNS,
        ImportError::MissingCell { .. }
        | ImportError::NotANumber { .. }
        | ImportError::NotFinite { .. }
        | ImportError::TimeBackwards { .. }
        | ImportError::TimeRepeated { .. }
        | ImportError::TimeOutOfRange { .. } => {
            "Look at that line of the file and correct or remove it; nothing is repaired silently."
        }
    }
}
