//! `footing completions` and `footing manual`: what shells and `man` are given, made from the same
//! definition that reads the command line.

use clap::CommandFactory as _;

use super::arguments::Arguments;
use super::interchange_arguments::{CompletionsArguments, ManualArguments};
use super::output;
use super::problem::Problem;

pub(crate) fn completions(arguments: &CompletionsArguments) -> Result<(), Problem> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "footing", &mut script);
    output::stream(|writer| writer.write_all(&script)).map_err(Problem::Print)
}

pub(crate) fn manual(arguments: &ManualArguments) -> Result<(), Problem> {
    let folder = &arguments.folder;
    clap_mangen::generate_to(Arguments::command(), folder)
        .map_err(|source| Problem::WriteFile { path: folder.clone(), source })?;
    output::aside(&format!("Written: {}", folder.join("footing.1").display()));
    Ok(())
}
