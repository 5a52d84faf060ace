//! A bench to try the built programs on: a fresh folder, the program, a simulated board.

use std::ffi::OsStr;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

use crate::built_simulator;

/// A fresh folder with a data folder inside, removed at the end.
pub(crate) struct Bench {
    folder: TempDir,
}

/// What a run of the program gave back.
pub(crate) struct Outcome {
    pub(crate) code: Option<i32>,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl Outcome {
    pub(crate) fn from_output(output: &Output) -> Self {
        Self {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout.clone()).expect("the program prints UTF-8"),
            stderr: String::from_utf8(output.stderr.clone()).expect("the program prints UTF-8"),
        }
    }

    /// The outcome, if the program said all went well.
    #[track_caller]
    pub(crate) fn well(self) -> Self {
        assert_eq!(self.code, Some(0), "stdout: {}\nstderr: {}", self.stdout, self.stderr);
        self
    }

    /// The printed JSON, if the program said all went well.
    #[track_caller]
    pub(crate) fn json(self) -> Value {
        let outcome = self.well();
        serde_json::from_str(&outcome.stdout).expect("with --json the program prints JSON")
    }

    /// Checks that the program refused with one message of what, why and what to do, and no panic.
    #[track_caller]
    pub(crate) fn refused(&self, words: &[&str]) {
        assert_eq!(self.code, Some(1), "stdout: {}\nstderr: {}", self.stdout, self.stderr);
        assert!(!self.stderr.contains("panicked"), "{}", self.stderr);
        assert!(self.stdout.is_empty(), "nothing is printed as a result: {}", self.stdout);
        for heading in ["What to do: "].iter().chain(words) {
            assert!(self.stderr.contains(heading), "{heading:?} is missing in: {}", self.stderr);
        }
    }
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a temporary folder can be made") }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file on the bench and returns its path.
    pub(crate) fn file(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, content).expect("the bench can be written to");
        path
    }

    /// The program with its data folder on the bench, ready for arguments.
    pub(crate) fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_footing"));
        command.arg("--data").arg(self.path("data")).arg("--quiet").stdin(Stdio::null());
        command
    }

    pub(crate) fn footing<I, S>(&self, arguments: I) -> Outcome
    where
        I: IntoIterator<Item = S>,
        S: AsRef<std::ffi::OsStr>,
    {
        let output = self.command().args(arguments).output().expect("the program starts");
        Outcome::from_output(&output)
    }

    /// Imports a published recording such as `BDS00001`, whose columns need no map file.
    pub(crate) fn import_recording(&self, name: &str, options: &[&str]) -> Outcome {
        let file = open_data(&format!("{name}.txt.gz"));
        let columns =
            ["--time", "Time[s]:s", "--ml", "COPy[cm]:cm", "--ap", "COPx[cm]:cm"].map(OsStr::new);
        let options = options.iter().map(OsStr::new);
        self.footing(
            [OsStr::new("import"), file.as_os_str()].into_iter().chain(columns).chain(options),
        )
    }

    /// Trial files sealed on this bench, in order of name.
    pub(crate) fn sealed(&self) -> Vec<PathBuf> {
        files_in(&self.path("data").join("trials"))
    }

    /// Everything in the data folder, whatever it is.
    pub(crate) fn everything_kept(&self) -> Vec<PathBuf> {
        let data = self.path("data");
        let mut all = files_in(&data.join("trials"));
        all.extend(files_in(&data.join("journals")));
        all
    }
}

fn files_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    paths
}

/// A simulated board in a process of its own, stopped at the end.
pub(crate) struct Simulator {
    process: Child,
    pub(crate) port: String,
}

impl Simulator {
    pub(crate) fn start(arguments: &[&str]) -> Self {
        let mut process = Command::new(built_simulator::program())
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the simulator starts");
        let mut line = String::new();
        let stdout = process.stdout.take().expect("its output is ours");
        BufReader::new(stdout).read_line(&mut line).expect("the simulator says where it is");
        let port = line.trim().strip_prefix("port ").expect("`port WHERE`").to_owned();
        Self { process, port }
    }
}

impl Drop for Simulator {
    fn drop(&mut self) {
        // It may have ended by itself; either way there is nothing to keep.
        drop(self.process.kill());
        drop(self.process.wait());
    }
}

/// A file of the published recordings kept with the tests.
pub(crate) fn open_data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/open-data").join(name)
}
