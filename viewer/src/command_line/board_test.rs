//! `footing board-test`: acceptance tests of a board, each value beside its limit.

use acquisition::board_folder::{BoardFolder, CheckedWith, findings_json};
use acquisition::board_test::{BoardTest, DeadWeight, Finding, course, dead_weight, judge};
use acquisition::guided::GuidedReadings;
use acquisition::{BoardAddress, BoardSession, Calibration, WallTime};
use serde_json::json;

use super::board_arguments::BoardTestArguments;
use super::board_test_words::{instruction, limit_words, name, verdict_words};
use super::data_folder::DataFolder;
use super::guided::read_course;
use super::output::{self, Talk};
use super::problem::Problem;
use super::text_table::{Side, text_table};
use crate::strings::{decimals, significant};

pub(crate) fn run(
    arguments: &BoardTestArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    let tests = if arguments.tests.is_empty() { BoardTest::ALL } else { &arguments.tests };
    if arguments.list {
        output::result(&list(tests));
        return Ok(());
    }
    let address: BoardAddress = match arguments.port.as_deref().unwrap_or_default().parse() {
        Ok(address) => address,
        Err(never) => match never {},
    };
    let session = BoardSession::connect(&address)?;
    let identity = session.identity();
    let folder = data.board(&identity)?;
    let calibration = folder.calibration_in_force(identity.gain)?;
    if talk == Talk::Everything && calibration.version == 0 {
        output::remark(
            "This board was never calibrated: tests of places will be outside their limits. \
             `footing calibrate` comes first.",
        );
    }
    let mut findings = Vec::new();
    let mut stone = None;
    for &test in tests {
        if talk == Talk::Everything {
            output::remark(&format!("{}. {}. {}", test.number(), name(test), instruction(test)));
        }
        let read = course(test, &calibration, f64::from(identity.frames_per_s))
            .map(|course| read_course(&session, course, talk, &mut |_| Ok(())))
            .transpose()?;
        findings.extend(judge(test, read.as_ref(), &calibration));
        if test == BoardTest::Noise {
            stone = read.as_ref().and_then(|read| stone_of(read, &calibration));
        }
    }
    let with = CheckedWith {
        board_id: identity.board_id,
        at: WallTime::now(),
        calibration: calibration.id,
        temperature_c: Some(session.identity().temperature_c),
    };
    keep_and_print(&findings, stone.as_ref(), &folder, &with, arguments.json)
}

fn stone_of(read: &GuidedReadings, calibration: &Calibration) -> Option<DeadWeight> {
    let reading = read.readings().first()?;
    dead_weight(&reading.frames, &reading.zero, calibration).ok()
}

fn keep_and_print(
    findings: &[Finding],
    stone: Option<&DeadWeight>,
    folder: &BoardFolder,
    with: &CheckedWith,
    as_json: bool,
) -> Result<(), Problem> {
    if let Some(stone) = stone {
        folder.store_dead_weight(stone, with)?;
    }
    let file = folder.store_tests(findings, with)?;
    let n_outside = findings.iter().filter(|finding| !finding.is_within()).count();
    if as_json {
        let findings =
            findings_json(findings).map_err(acquisition::board_folder::BoardFolderError::Json)?;
        let result = json!({ "file": file, "n_outside": n_outside, "findings": findings });
        output::result(&result.to_string());
        return Ok(());
    }
    let mut text = table(findings);
    if let Some(stone) = stone {
        text.push_str(&stone_words(stone));
    }
    let n_values = findings.len();
    let verdict = match n_outside {
        0 => format!("All {n_values} values are within their limits."),
        n => format!("Outside their limits: {n} of {n_values} values."),
    };
    text.extend([&verdict, " Kept in ", &file.display().to_string(), "\n"]);
    output::result(&text);
    Ok(())
}

fn stone_words(stone: &DeadWeight) -> String {
    format!(
        "A stone of this weight would show a path of {} mm in a minute.\n",
        decimals(stone.path_in_a_minute_mm(), 0)
    )
}

fn table(findings: &[Finding]) -> String {
    let rows: Vec<Vec<String>> = findings
        .iter()
        .map(|finding| {
            vec![
                finding.test.key().to_owned(),
                finding.quantity.to_owned(),
                significant(finding.value, 3),
                finding.unit.to_owned(),
                limit_words(&finding.limit),
                verdict_words(finding).to_owned(),
            ]
        })
        .collect();
    let sides = [Side::Left, Side::Left, Side::Right, Side::Left, Side::Left, Side::Left];
    text_table(&sides, &rows)
}

fn list(tests: &[BoardTest]) -> String {
    let lines = |test: &BoardTest| {
        [test.key(), "\n    ", name(*test), ". ", instruction(*test), "\n"].concat()
    };
    tests.iter().map(lines).collect()
}
