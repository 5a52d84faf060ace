//! `footing compare`: two sets of trials side by side, in words, JSON or CSV, and as a picture.

use std::path::PathBuf;

use acquisition::library::TrialFilter;
use acquisition::results::{
    ComparedMeasure, MeasuredFile, compare_all, comparison_csv, comparison_json, measure_with_trace,
};
use analysis::{
    Analyser, Comparison, Condition, IntervalBasis, MeasuredTrial, NotAvailable, PersonCode, Scale,
    Trace, TrialKind,
};

use super::arguments::{CompareArguments, PictureOf};
use super::data_folder::DataFolder;
use super::measure_files::measure_files;
use super::output::{self, Talk};
use super::problem::Problem;
use super::text_table::{Side, text_table};
use super::trial_paths::trial_paths;
use crate::picture::{Chart, IfThere, chart_svg, write_picture};
use crate::strings::{ENGLISH, significant};
use crate::window::compare::{CompareView, ComparedTrial, Drawing};

/// One side of the comparison.
struct Set {
    files: Vec<(MeasuredFile, Result<Trace, NotAvailable>)>,
}

impl Set {
    fn measure(
        paths: &[PathBuf],
        data: &DataFolder,
        arguments: &CompareArguments,
        talk: Talk,
    ) -> Result<Self, Problem> {
        let processing = arguments.result.processing;
        let (files, n_left_out) =
            measure_files(paths, data.reader(), measure_with_trace, processing, None, talk)?;
        if n_left_out == 0 { Ok(Self { files }) } else { Err(Problem::Said) }
    }

    fn trials(&self) -> Vec<&MeasuredTrial> {
        self.files
            .iter()
            .filter_map(|(file, _)| Some(&file.found.as_ref().ok()?.measured))
            .collect()
    }

    /// The condition in words, and how many trials there are.
    fn label(&self) -> String {
        let trials = self.trials();
        let condition =
            trials.first().map(|trial| (ENGLISH.condition)(&trial.condition)).unwrap_or_default();
        format!("{condition} ({})", (ENGLISH.choose.n_trials)(trials.len()))
    }
}

pub(crate) fn run(
    arguments: &CompareArguments,
    data: &DataFolder,
    talk: Talk,
) -> Result<(), Problem> {
    let (a_paths, b_paths) = match (&arguments.person, arguments.a, arguments.b) {
        (Some(person), Some(a), Some(b)) => {
            (of_person(person, a, data)?, of_person(person, b, data)?)
        }
        _ if arguments.a_files.is_empty() => {
            return Err(Problem::NoTrials {
                place: "an empty command: no sets were named".to_owned(),
            });
        }
        _ => (trial_paths(&arguments.a_files)?, trial_paths(&arguments.b_files)?),
    };
    let a = Set::measure(&a_paths, data, arguments, talk)?;
    let b = Set::measure(&b_paths, data, arguments, talk)?;
    say_what_is_missing(&a);
    say_what_is_missing(&b);
    let rows = compare_all(&a.trials(), &b.trials())?;
    let processing = arguments.result.processing;
    let text = if arguments.result.json {
        comparison_json(&rows, processing.key())
    } else if arguments.result.csv {
        comparison_csv(&rows)
    } else {
        words(&a, &b, &rows)
    };
    if let Some(path) = &arguments.picture {
        let if_there = if arguments.replace { IfThere::Replace } else { IfThere::Keep };
        write_picture(&chart_svg(&picture(a, b, arguments.picture_of)), path, if_there)?;
    }
    output::result(&text);
    Ok(())
}

/// The person's measured trials at a condition.
fn of_person(
    person: &PersonCode,
    condition: Condition,
    data: &DataFolder,
) -> Result<Vec<PathBuf>, Problem> {
    let wanted = TrialFilter { person: Some(person.clone()), condition: Some(condition) };
    let listing = data.library().list(&wanted, data.reader())?;
    let paths: Vec<PathBuf> = listing
        .trials
        .into_iter()
        .filter(|trial| trial.outline.facts.kind == TrialKind::Measured)
        .map(|trial| trial.path)
        .collect();
    if paths.is_empty() {
        let place =
            format!("{}: {person} has no measured trial at {condition}", data.trials().display());
        return Err(Problem::NoTrials { place });
    }
    Ok(paths)
}

fn say_what_is_missing(set: &Set) {
    for (file, _) in &set.files {
        if let Err(reason) = &file.found {
            output::remark(&format!("Left out: {}: {reason}", file.path.display()));
        }
    }
}

fn words(a: &Set, b: &Set, rows: &[ComparedMeasure]) -> String {
    let words = &ENGLISH.compare;
    let head = ["", "A", "B", words.change_head, "95 % interval", words.verdict_head, ""];
    let mut lines: Vec<Vec<String>> = vec![head.map(str::to_owned).to_vec()];
    for (measure, row) in rows.iter().filter(|(measure, _)| measure.headline) {
        let name = (ENGLISH.measure)(measure.key).unwrap_or(measure.key);
        let mut line = vec![format!("{name}, {}", measure.unit)];
        match row {
            Ok(comparison) => line.extend(change_cells(comparison)),
            Err(reason) => {
                line.extend(["", "", words.no_change, "", ""].map(str::to_owned));
                line.push(reason.to_string());
            }
        }
        lines.push(line);
    }
    let sides =
        [Side::Left, Side::Right, Side::Right, Side::Right, Side::Left, Side::Left, Side::Left];
    format!(
        "A: {}\nB: {}\n\n{}\nBeyond chance: larger than repeats of one person on one day usually \
         differ; between days a lower bound.\n* interval from published repeats. \
         All measures: --csv or --json. A measurement, not a diagnosis.\n",
        a.label(),
        b.label(),
        text_table(&sides, &lines)
    )
}

fn change_cells(comparison: &Comparison) -> [String; 6] {
    let words = &ENGLISH.compare;
    let change = match comparison.scale {
        Scale::Ratio => (words.ratio)(comparison.change),
        Scale::Difference => significant(comparison.change, 2),
    };
    let interval = comparison.interval.map_or_else(
        || words.no_interval.to_owned(),
        |interval| {
            let from_table = interval.basis == IntervalBasis::OpenTable;
            (words.interval)(
                &significant(interval.low, 3),
                &significant(interval.high, 3),
                from_table,
            )
        },
    );
    let (verdict, from) = match comparison.detectable {
        Some(detectable) if detectable.exceeded => {
            (words.verdict_exceeds, (words.detectable_from)(detectable.ratio))
        }
        Some(detectable) => (words.verdict_within, (words.detectable_from)(detectable.ratio)),
        None => (words.verdict_unknown, String::new()),
    };
    [
        significant(comparison.before.mean, 3),
        significant(comparison.after.mean, 3),
        change,
        interval,
        verdict.to_owned(),
        from,
    ]
}

/// The drawing that was asked for, of both sets.
fn picture(a: Set, b: Set, drawing: PictureOf) -> Chart {
    let titles = [&a, &b].map(|set| match set.files.first() {
        Some((file, _)) => {
            format!("{}, {}, {}", file.facts.person, set.label(), file.facts.started.date())
        }
        None => set.label(),
    });
    let mut analyser = Analyser::new();
    let sets = [a, b].map(|set| -> Vec<ComparedTrial> {
        let drawn = |(file, trace)| ComparedTrial::of(file, trace, &mut analyser);
        set.files.into_iter().map(drawn).collect()
    });
    let view = CompareView::new(&ENGLISH, &sets, titles);
    let all = |drawing| view.chart(&ENGLISH, drawing, [None, None], None);
    match drawing {
        PictureOf::Paths => all(Drawing::Path),
        PictureOf::Time => all(Drawing::OverTime),
        PictureOf::Frequency => all(Drawing::Spectra),
        PictureOf::Differences => view.differences(&ENGLISH, false),
    }
}
