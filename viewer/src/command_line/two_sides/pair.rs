//! `footing pair`: keys made, compared aloud, shown, let go.

use std::fs;
use std::io::{self, BufRead as _};

use acquisition::exchange::KeyRing;
use acquisition::keys::{Assignment, Pairing, PublicKeys, Role, SpokenCode};

use super::arguments::{EndPairArguments, MakeArguments, PairAction, PairArguments, WithArguments};
use crate::command_line::data_folder::DataFolder;
use crate::command_line::output;
use crate::command_line::problem::Problem;

/// Largest public half that is read: four lines.
const MAX_PUBLIC_BYTES: u64 = 4096;

pub(super) fn run(arguments: &PairArguments, data: &DataFolder) -> Result<(), Problem> {
    let mut keys = KeyRing::open(data.library())?;
    match &arguments.action {
        PairAction::Make(arguments) => make(arguments, &mut keys),
        PairAction::With(arguments) => with(arguments, &mut keys),
        PairAction::Show => show(&keys),
        PairAction::End(arguments) => end(arguments, &mut keys),
    }
}

fn make(arguments: &MakeArguments, keys: &mut KeyRing) -> Result<(), Problem> {
    let made = keys.make(arguments.side)?;
    let public = keys.own()?.public();
    let text = public.to_string();
    match &arguments.write {
        Some(path) => fs::write(path, &text)
            .map_err(|source| Problem::WriteFile { path: path.clone(), source })?,
        None => output::result(&text),
    }
    let done = if made { "Keys made" } else { "The keys were there already" };
    output::remark(&format!(
        "{done}. Send these four lines to the other side by any road; they are no secret.\n\
         Then talk, face to face or by telephone, and read them this code:\n\n    {}\n\n\
         Do not send the code along with the keys: hearing it from you shows that the keys are yours.",
        public.spoken_code()
    ));
    Ok(())
}

fn with(arguments: &WithArguments, keys: &mut KeyRing) -> Result<(), Problem> {
    let own = keys.own()?.role();
    let path = &arguments.file;
    let unreadable = |source| Problem::ReadFile { path: path.clone(), source };
    if MAX_PUBLIC_BYTES < fs::metadata(path).map_err(unreadable)?.len() {
        return Err(unreadable(io::ErrorKind::FileTooLarge.into()));
    }
    let other: PublicKeys = fs::read_to_string(path)
        .map_err(unreadable)?
        .parse()
        .map_err(|source| Problem::PublicKeys { path: path.clone(), source })?;
    let heard = match arguments.heard {
        Some(heard) => heard,
        None => ask_code(own.other())?,
    };
    let assignment = Assignment {
        clinic: arguments.clinic.clone(),
        person: arguments.person.clone(),
        board: arguments.board.clone(),
    };
    keys.pair(Pairing::new(own, other, heard, assignment)?)?;
    output::result(&format!(
        "Paired for {}: clinic {}, board {}.",
        arguments.person, arguments.clinic, arguments.board
    ));
    output::remark(match own {
        Role::Clinic => "`footing send` seals the plan for this home.",
        Role::Home => "`footing take` takes the plan; `footing home` begins to practise.",
    });
    Ok(())
}

fn ask_code(other: Role) -> Result<SpokenCode, Problem> {
    output::remark(&format!("Type the code that the {other} reads to you, then Enter:"));
    let mut line = String::new();
    io::stdin().lock().read_line(&mut line).map_err(Problem::Print)?;
    Ok(line.trim().parse()?)
}

fn show(keys: &KeyRing) -> Result<(), Problem> {
    let own = keys.own()?;
    let mut lines =
        vec![format!("This is a {}. Its code: {}", own.role(), own.public().spoken_code())];
    for pairing in keys.pairings() {
        let about = pairing.assignment();
        lines.push(format!(
            "Paired for {}: clinic {}, board {}; the other side's code: {}",
            about.person,
            about.clinic,
            about.board,
            pairing.other().spoken_code()
        ));
    }
    if keys.pairings().is_empty() {
        lines.push("Paired with nobody yet.".to_owned());
    }
    output::result(&lines.join("\n"));
    Ok(())
}

fn end(arguments: &EndPairArguments, keys: &mut KeyRing) -> Result<(), Problem> {
    keys.part(&arguments.person)?;
    output::result(&format!("The pairing for {} is ended.", arguments.person));
    Ok(())
}
