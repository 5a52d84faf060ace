//! From what was typed to a list of trial files.

use std::path::{Path, PathBuf};

use super::problem::Problem;

/// Ending of trial files.
const ENDING: &str = "h5";

/// The trial files meant by paths: files stand for themselves, folders for the trial files directly
/// inside, in order of name. A file given twice counts once.
pub(crate) fn trial_paths(given: &[PathBuf]) -> Result<Vec<PathBuf>, Problem> {
    let mut paths = Vec::new();
    for path in given {
        if path.is_dir() {
            let inside = in_folder(path)?;
            if inside.is_empty() {
                return Err(Problem::NoTrials { place: path.display().to_string() });
            }
            paths.extend(inside);
        } else {
            paths.push(path.clone());
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    paths.retain(|path| seen.insert(path.clone()));
    Ok(paths)
}

fn in_folder(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(Problem::list(folder))? {
        let path = entry.map_err(Problem::list(folder))?.path();
        if path.extension().is_some_and(|ending| ending == ENDING) {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_give_their_trial_files_once_and_in_order() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["b.h5", "a.h5", "notes.txt"] {
            std::fs::write(folder.path().join(name), "").unwrap();
        }
        let a = folder.path().join("a.h5");
        let found = trial_paths(&[a.clone(), folder.path().to_owned()]).unwrap();
        assert_eq!(found, [a, folder.path().join("b.h5")]);
    }

    #[test]
    fn an_empty_folder_is_said() {
        let folder = tempfile::tempdir().unwrap();
        let problem = trial_paths(&[folder.path().to_owned()]).unwrap_err();
        assert!(problem.to_string().starts_with("no trials in"));
    }
}
