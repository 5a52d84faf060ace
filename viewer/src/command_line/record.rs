//! `footing record`: one stand from a board into a sealed trial file.

use acquisition::records::{IndexTrialError, TrialRecord};
use acquisition::results::MeasuredFile;
use acquisition::trial_file::TrialReader;
use acquisition::{
    BoardSession, Ending, Interrupts, Progress, RecordError, RecordRequest, RecordedTrial,
    SleepHold, Stage, WallTime, Wish, journal, record,
};
use analysis::Analyser;
use indicatif::ProgressBar;
use serde_json::json;

use super::answers::Answers;
use super::arguments::RecordArguments;
use super::board_choice::BoardChoice;
use super::data_folder::{DataFolder, ending_words};
use super::output::{self, Talk};
use super::problem::Problem;
use super::stand_facts::{complete, known_session, stand_facts, within};
use super::stand_rules::{RuleWatch, StandRules, refused};
use crate::strings::{ENGLISH, significant};

/// Shortest and longest record, in seconds: a wobble window needs 5 s; an hour is no stand.
pub(crate) const SECONDS: (f64, f64) = (5.0, 3600.0);
const BAR_STEPS: u64 = 1000;
const SETTLE_SECONDS: (f64, f64) = (0.0, 120.0);
/// Standing before a record, where neither command nor plan says how long: 10 to 15 s are usual
/// (common practice, no source).
const USUAL_SETTLE_S: f64 = 12.0;

pub(crate) fn run(
    arguments: &RecordArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    within("length of the record in seconds", Some(arguments.seconds), SECONDS)?;
    within("time to settle in seconds", arguments.settle, SETTLE_SECONDS)?;
    let choice = BoardChoice::new(arguments.port.as_deref(), arguments.ports_in.as_deref());
    let mut records = data.records()?;
    let occasion = match &arguments.session {
        Some(id) => Some(known_session(&records, &arguments.stand.person, id)?),
        None => records.open_session(&arguments.stand.person, WallTime::now())?,
    };
    let rules = StandRules::of(arguments, occasion.as_ref());
    rules.check(&records)?;
    let plan = records.current_plan(&arguments.stand.person)?;
    let settle_s =
        arguments.settle.or_else(|| plan.and_then(|plan| plan.settle_s)).unwrap_or(USUAL_SETTLE_S);
    let session = choice.connect()?;
    let identity = session.identity();
    let stand = &arguments.stand;
    let board = &identity.board_id;
    let mut facts = stand_facts(&stand.person, stand.condition, &stand.details, board)?;
    complete(&mut facts, &records)?;
    if let Some(occasion) = occasion {
        (facts.session, facts.plan) = (Some(occasion.id), occasion.plan);
    }
    let calibration = match &arguments.calibration {
        Some(path) => data.board(&identity)?.calibration_in(path)?.calibration,
        None => data.board(&identity)?.calibration_in_force(identity.gain)?,
    };
    let calibration_version = calibration.version;
    let request = RecordRequest {
        facts,
        calibration,
        settle_s,
        record_s: arguments.seconds,
        forbidden: None,
    };
    let condition = (ENGLISH.condition)(&arguments.stand.condition);
    let recorded = {
        let watch = RuleWatch::begin(&rules, &records);
        record_one(arguments, &choice, session, &request, watch, data, talk)?
    };
    let sealed = journal::seal(&recorded.journal, &data.trials())?;
    let Some(file) = sealed.trial_file else {
        return Err(RecordError::StoppedBefore.into());
    };
    let (trial, file) =
        TrialRecord::measure_with_file(&file, &TrialReader::here(), &mut Analyser::new())
            .map_err(IndexTrialError::from)?;
    records.put_trials(&[trial]).map_err(IndexTrialError::from)?;
    let link = file.link();
    output::result(&if arguments.json {
        json!({
            "file": file.path,
            "id": file.facts.id,
            "ended": recorded.ended.key(),
            "calibration_version": calibration_version,
            "frames": recorded.n_frames,
            "lost_frames": link.lost_frames,
            "damaged_frames": link.damaged_frames,
            "repeated_frames": link.repeated_frames,
        })
        .to_string()
    } else {
        format!(
            "{}: {condition}, {}, {} frames, {} lost; {}",
            file.facts.person,
            ending_words(recorded.ended),
            recorded.n_frames,
            link.lost_frames,
            wobble_words(&file),
        )
    });
    Ok(())
}

/// Records the stand. A board that goes away before the record began is waited for: nothing is
/// lost yet, and a cable that was moved is soon in again.
fn record_one(
    arguments: &RecordArguments,
    choice: &BoardChoice,
    mut session: BoardSession,
    request: &RecordRequest,
    mut rules: RuleWatch<'_>,
    data: &DataFolder,
    talk: Talk,
) -> Result<RecordedTrial, Problem> {
    let _awake = SleepHold::begin();
    let answers = Answers::listen(arguments.same_person);
    let interrupts = Interrupts::listen(output::leave).map_err(Problem::Signals)?;
    loop {
        let heeding = interrupts.heed();
        let bar = output::bar(talk, BAR_STEPS, "");
        let mut said = None;
        let mut watch = |progress: &Progress| {
            show(&bar, progress, &mut said);
            if heeding.pressed() {
                Wish::Stop
            } else if rules.broken().is_some() {
                Wish::StopByRule
            } else {
                answers.wish(&progress.stage)
            }
        };
        let recorded = record(&session, request, &data.journals(), &mut watch);
        bar.finish_and_clear();
        match (recorded, rules.broken()) {
            (Err(RecordError::LostBefore(lost)), None) => {
                drop(heeding);
                drop(session);
                session = choice.wait_for(&request.facts.setup.board, &lost)?;
            }
            (Err(RecordError::StoppedBefore | RecordError::LostBefore(_)), Some(forbidden)) => {
                return Err(refused(forbidden));
            }
            (recorded, forbidden) => {
                let recorded = recorded?;
                if let Some(forbidden) = forbidden
                    && recorded.ended == Ending::StoppedByRule
                {
                    let reason = (ENGLISH.forbidden)(forbidden);
                    output::remark(&format!("The stand was ended by a rule: {reason}."));
                }
                return Ok(recorded);
            }
        }
    }
}

fn wobble_words(file: &MeasuredFile) -> String {
    match file.found.as_ref().map(|found| found.measured.measures.wobble) {
        Ok(Ok(wobble)) => format!("wobble {} mm", significant(wobble.median_mm, 3)),
        Ok(Err(reason)) => format!("wobble not available: {reason}"),
        Err(reason) => format!("not measured: {reason}"),
    }
}

/// Moves the bar and says what the person on the board should do, once each time it changes.
fn show(bar: &ProgressBar, progress: &Progress, said: &mut Option<&'static str>) {
    let words = stage_words(&progress.stage);
    if *said != Some(words) {
        *said = Some(words);
        bar.set_message(words);
    }
    let share = progress.asked_s.map_or(0.0, |asked_s| progress.elapsed_s / asked_s.max(1e-3));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the bar's length"
    )]
    bar.set_position((share.clamp(0.0, 1.0) * BAR_STEPS as f64) as u64);
}

fn stage_words(stage: &Stage) -> &'static str {
    match stage {
        Stage::Zeroing { .. } => "Keep the board empty",
        Stage::AwaitingLoad => "Step on",
        Stage::AwaitingStillness => "Stand still",
        Stage::ConfirmingPerson { .. } => "Is this the same person? y or n, then Enter",
        Stage::Settling => "Stand still, the record begins soon",
        Stage::Recording => "Recording",
        Stage::Ended(_) => "Recorded. Step off; the empty board is read once more",
    }
}
