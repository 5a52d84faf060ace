//! The command line: `footing record`, `import`, `analyse`, `compare`, `next-step`, `export`, `open`
//! and the rest.

mod analyse;
mod answers;
mod arguments;
mod board_arguments;
mod board_choice;
mod board_message;
mod board_test;
mod board_test_words;
mod calibrate;
mod care;
mod compare;
mod course;
mod data_folder;
mod export;
mod guess_columns;
mod guided;
mod import;
mod interchange_arguments;
mod manual;
mod measure_files;
mod message;
mod open;
pub(crate) mod output;
mod problem;
mod prove;
mod recompute;
mod record;
mod report;
mod stand_facts;
mod stand_rules;
mod strangers;
mod text_table;
mod trial_paths;
mod two_sides;

use std::process::ExitCode;

use clap::Parser as _;

use arguments::{Arguments, Command};
use board_arguments::BoardCommand;
pub(crate) use board_choice::BoardChoice;
use data_folder::DataFolder;
use interchange_arguments::InterchangeCommand;
pub(crate) use message::message;
use output::Talk;
pub(crate) use problem::Problem;

/// Runs the program with the arguments it was started with.
///
/// Exit code 0: done; 1: not done, with the reason on standard error; 2: the arguments were wrong.
pub fn run() -> ExitCode {
    if strangers::is_asked_for() {
        return strangers::serve();
    }
    let arguments = Arguments::parse();
    match dispatch(arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            output::say(&problem);
            ExitCode::FAILURE
        }
    }
}

fn dispatch(arguments: Arguments) -> Result<(), Problem> {
    let talk = if arguments.quiet { Talk::ResultsOnly } else { Talk::Everything };
    if talk == Talk::ResultsOnly {
        output::results_only();
    }
    // These two are asked for while the program is being installed: no data folder is made.
    match &arguments.command {
        Command::Interchange(InterchangeCommand::Completions(asked)) => {
            return manual::completions(asked);
        }
        Command::Interchange(InterchangeCommand::Manual(asked)) => return manual::manual(asked),
        _ => {}
    }
    let data = DataFolder::open(arguments.data.as_deref())?;
    data.bring_in_interrupted()?;
    match arguments.command {
        Command::Record(arguments) => record::run(&arguments, &data, talk),
        Command::Import(arguments) => import::run(&arguments, &data),
        Command::Analyse(arguments) => analyse::run(&arguments, &data, talk),
        Command::Compare(arguments) => compare::run(&arguments, &data, talk),
        Command::Backup(arguments) => care::backup(&arguments, &data),
        Command::Verify => care::verify(&data, talk),
        Command::Rebuild => care::rebuild(&data),
        Command::Erase(arguments) => care::erase(&arguments, &data),
        Command::Prove(arguments) => {
            prove::run(&arguments, talk);
            Ok(())
        }
        Command::Course(command) => course::run(&command, &data),
        Command::Interchange(command) => match command {
            InterchangeCommand::Report(asked) => report::run(&asked, &data),
            InterchangeCommand::Export(asked) => export::run(&asked, &data, talk),
            InterchangeCommand::Completions(asked) => manual::completions(&asked),
            InterchangeCommand::Manual(asked) => manual::manual(&asked),
        },
        Command::Sides(command) => two_sides::run(&command, &data),
        Command::Board(BoardCommand::Calibrate(asked)) => calibrate::run(&asked, &data, talk),
        Command::Board(BoardCommand::BoardTest(asked)) => board_test::run(&asked, &data, talk),
        Command::Board(BoardCommand::Recompute(asked)) => recompute::run(&asked, &data, talk),
        Command::Open(arguments) => open::run(arguments, &data),
    }
}
