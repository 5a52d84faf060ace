//! Whether a session at home was heard: on a sound device that takes without measure, and on one that
//! stops taking in mid-stand.
//!
//! The devices are made of the system library's own parts (alsa-lib, `doc/pcm_plugins`): `null` takes
//! whatever it is given at once, `file` passes it on to a file first, here a pipe that this test empties.

use std::fs::OpenOptions;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Arc, Condvar, Mutex};
use std::thread;

use crate::bench::{Outcome, Simulator};
use crate::two_sides::{HERE, NOTHING_NEW, Side, two_sides};

const NOW: &str = "2026-03-02T18:00:00+01:00";

/// The answers until the board is stood on: nothing new, little pain, the room is ready, loud enough,
/// heard.
fn before_the_board() -> String {
    format!("{NOTHING_NEW}2\nyes\nyes\nyes\n")
}

fn device(folder: &Side, slave: &str) -> PathBuf {
    let path = folder.path("asound.conf");
    // Nothing of the system's own: a sound server that runs there would put itself in its place.
    let text = format!("pcm.!default {{ type plug slave.pcm {{ {slave} }} }}\n");
    std::fs::write(&path, text).unwrap();
    path
}

fn at_home(home: &Side, device: &Path, board: &Simulator) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_footing"));
    command.arg("--data").arg(home.path("data"));
    command.args(["home", "--plain", "--port", &board.port, "--now", NOW]);
    command.env("ALSA_CONFIG_PATH", device);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

fn a_board(speed: &str) -> Simulator {
    let options =
        format!("--pty --speed {speed} --seed 31 --steadiness 2 --rate 80 --stand {HERE}");
    Simulator::start(&options.split(' ').collect::<Vec<_>>())
}

/// The far end of the pipe: empties it, or hangs.
struct Loudspeaker {
    hangs: Arc<(Mutex<bool>, Condvar)>,
}

impl Loudspeaker {
    fn on(pipe: &Path) -> Self {
        // Open for both, so that it neither waits for the program nor ends with it.
        let mut pipe = OpenOptions::new().read(true).write(true).open(pipe).unwrap();
        let hangs = Arc::new((Mutex::new(false), Condvar::new()));
        let gate = Arc::clone(&hangs);
        // Lives as long as the test's process: nobody waits for it.
        thread::spawn(move || {
            let mut heard = [0; 4096];
            while pipe.read_exact(&mut heard).is_ok() {
                let (hangs, changed) = &*gate;
                drop(changed.wait_while(hangs.lock().unwrap(), |hangs| *hangs).unwrap());
            }
        });
        Self { hangs }
    }

    fn hang(&self, hangs: bool) {
        *self.hangs.0.lock().unwrap() = hangs;
        self.hangs.1.notify_all();
    }
}

#[test]
fn a_device_that_takes_without_measure_is_not_lost() {
    let (_, home) = two_sides("P-01");
    let board = a_board("max");
    let device = device(&home, "type null");
    let mut child = at_home(&home, &device, &board).spawn().unwrap();
    let lines = format!("{}no\n2\n2\n2\n", before_the_board());
    child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let done = Outcome::from_output(&child.wait_with_output().unwrap()).well();
    assert!(done.stdout.contains("Did you hear five notes?"), "{}", done.stdout);
    assert!(done.stdout.contains("Done, thank you"), "{}", done.stdout);
    assert!(!done.stdout.contains("The sound went away"), "{}", done.stdout);
}

/// A plan whose second condition closes the eyes, for a person who hears little.
const BY_SIGHT: &str = r#"
sessions_per_day = 1
guided_by = "sight"

[[conditions]]
condition = "foam/hip-width/open"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/hip-width/closed"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "alone"
"#;

#[test]
fn who_is_guided_by_sight_by_the_clinics_plan_counts_on_no_sound_and_keeps_the_eyes_open() {
    let (clinic, home) = two_sides("P-01");
    let plan = clinic.path("by-sight.toml");
    std::fs::write(&plan, BY_SIGHT).unwrap();
    let answer = clinic.sends(&format!(
        "answer P-01 --condition foam/hip-width/closed --author clinician-1 \
         --made 2026-03-01T13:00:00+01:00 --plan {}",
        plan.display()
    ));
    home.takes(&answer).well();
    let board = a_board("max");
    let device = device(&home, "type null");
    let mut child = at_home(&home, &device, &board).spawn().unwrap();
    let lines = format!("{NOTHING_NEW}2\nyes\nno\n2\n2\n2\n");
    child.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let shown = Outcome::from_output(&child.wait_with_output().unwrap()).well().stdout;
    assert!(shown.contains("Done, thank you") && shown.contains("eyes open"), "{shown}");
    for never in ["Did you hear five notes?", "Louder or quieter?", "eyes closed"] {
        assert!(!shown.contains(never), "{never:?} in {shown}");
    }
}

#[test]
fn a_device_that_takes_no_more_in_mid_stand_is_told_at_its_end_and_the_stand_is_marked() {
    let (clinic, home) = two_sides("P-01");
    // The stand of 15 s lasts five seconds: more than the two of sound that a device is thought to hold
    // and the half after which a silence is in doubt.
    let board = a_board("3");
    let pipe = home.path("sound");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let slave = format!("type file file {pipe:?} format raw slave.pcm {{ type null }}");
    let device = device(&home, &slave);
    let loudspeaker = Loudspeaker::on(&pipe);
    let mut child = at_home(&home, &device, &board).spawn().unwrap();
    // What follows the first stand is asked of nobody: the session ends with its input.
    child.stdin.take().unwrap().write_all(before_the_board().as_bytes()).unwrap();
    let mut told = String::new();
    for line in BufReader::new(child.stderr.take().unwrap()).lines().map(Result::unwrap) {
        match line.trim() {
            "Stand" => loudspeaker.hang(true),
            "The sound device takes no more sound." => loudspeaker.hang(false),
            _ => {}
        }
        told.push_str(&line);
        told.push('\n');
    }
    let shown = Outcome::from_output(&child.wait_with_output().unwrap()).well().stdout;
    assert!(told.contains("The sound device takes no more sound."), "{told}");
    assert!(shown.contains("The sound went away"), "{shown}");

    let package = home.sends("send P-01 --days 3660");
    clinic.takes(&package).well();
    let review = clinic.json("review P-01 --as-of 2026-03-02 --json");
    let flags = review["sessions"][0]["flags"].to_string();
    assert!(flags.contains("sound-lost"), "{review:#}");
}
