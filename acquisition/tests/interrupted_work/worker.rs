//! The process that is interrupted: it records, seals, indexes and imports, and says what it has.

use std::error::Error;
use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use acquisition::import::{
    ColumnMap, Measured, TextForm, TimeSource, parse_column, read_delimited,
};
use acquisition::library::Library;
use acquisition::records::Records;
use acquisition::{
    BoardSession, LiveView, Progress, RecordObserver, Stage, StoredTrial, Wish, journal,
    new_trial_id, record, trial_file,
};
use analysis::{Analyser, TrialKind};

use crate::judge::start;
use crate::paced_port::PacedPort;
use crate::request::request;

/// Makes `n_cycles` trials of `record_s` seconds and as many imports of `table` in the data folder.
pub(crate) fn work(
    folder: &Path,
    table: &Path,
    n_cycles: usize,
    record_s: f64,
) -> Result<(), Box<dyn Error>> {
    let library = Library::open(folder)?;
    start(&library)?;
    let mut records = Records::open(&library)?;
    let mut analyser = Analyser::new();
    for _ in 0..n_cycles {
        let id = new_trial_id();
        say(&format!("record {id}"));
        let session = BoardSession::over(Box::new(PacedPort::default()))?;
        let mut wanted = request();
        wanted.facts.id.clone_from(&id);
        wanted.facts.person = person_of(&id)?;
        // Nobody steps off for another zero after a guided trial.
        wanted.facts.kind = TrialKind::Guided;
        wanted.record_s = record_s;
        let mut teller = Teller { recording: false };
        let recorded = record(&session, &wanted, &library.journals_folder(), &mut teller)?;
        say(&format!("seal {id} {}", recorded.n_frames));
        let sealed = journal::seal(&recorded.journal, &library.trials_folder())?;
        say("index");
        let file = sealed.trial_file.ok_or("a record holds frames")?;
        records.index_trial(&file, &mut analyser)?;
        let id = new_trial_id();
        say("import");
        let file = trial_file::seal(&imported(table, &id)?, &library.trials_folder())?;
        records.index_trial(&file, &mut analyser)?;
        say(&format!("imported {id}"));
    }
    Ok(())
}

/// One line, at once, to whoever reads standard output.
pub(crate) fn say(line: &str) {
    let mut stdout = io::stdout().lock();
    writeln!(stdout, "{line}").expect("the parent listens");
    stdout.flush().expect("the parent listens");
}

/// Says of each frame in the record that it was taken.
struct Teller {
    recording: bool,
}

impl RecordObserver for Teller {
    fn progress(&mut self, progress: &Progress) -> Wish {
        self.recording = progress.stage == Stage::Recording;
        Wish::GoOn
    }

    fn live(&mut self, live: &LiveView) {
        if self.recording {
            say(&format!("frame {}", live.time_us));
        }
    }
}

/// Somebody new for each trial, so that each makes a row and a plain file of a person.
fn person_of(id: &str) -> Result<analysis::PersonCode, analysis::BadPersonCode> {
    format!("P-{}", &id[id.len() - 12..]).parse()
}

/// The table as a trial.
pub(crate) fn imported(table: &Path, id: &str) -> Result<StoredTrial, Box<dyn Error>> {
    let mut facts = request().facts;
    id.clone_into(&mut facts.id);
    facts.person = person_of(id)?;
    "plate".clone_into(&mut facts.setup.board);
    let (ml, ap) = (parse_column("ml:mm")?, parse_column("ap:mm")?);
    let map = ColumnMap {
        form: TextForm::default(),
        time: TimeSource::Column(parse_column("time:s")?),
        measured: Measured::Cop { ml, ap },
    };
    Ok(read_delimited(table, &map, facts)?)
}

/// Writes the table that is imported over and over: 6 s at 100 a second.
pub(crate) fn write_table(path: &Path) -> io::Result<()> {
    let mut text = "time,ml,ap\n".to_owned();
    for row in 0..600 {
        let t = f64::from(row) * 0.01;
        let line = format!("{t:.2},{:.4},{:.4}\n", 9.0 * (2.0 * t).sin(), 7.0 * (3.0 * t).cos());
        text.push_str(&line);
    }
    fs::write(path, text)
}
