//! The page for the chart.

use super::course_plot::CoursePlot;
use super::figure::Colour;
use super::made_at::MadeAt;
use super::pages::{Pages, Style};
use super::paper::Paper;
use super::pdf::{About, ReportError, export};
use super::results_table::{columns_of_many, columns_of_one, groups, row_of_one, rows_of_many};
use super::sway_plot::{SwayFrame, SwayPlot};
use crate::strings::Language;

/// Everything the page says, ready to be printed.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartReport {
    /// Code of the person.
    pub person: String,
    /// When the report was made.
    pub made: MadeAt,
    /// The days covered, in words.
    pub period: String,
    /// Board, calibration, pad: what was measured with, and in which state it was.
    pub board: Vec<Fact>,
    /// Results of each condition.
    pub conditions: Vec<ConditionPart>,
    /// Sway paths to draw.
    pub sway: Vec<SwayPlot>,
    /// Courses to draw.
    pub courses: Vec<CoursePlot>,
    /// The program's advice, if it was asked for.
    pub next_step: Option<NextStepPart>,
    /// The clinician's decision, if there is one.
    pub decision: Option<DecisionPart>,
    /// How the measures are defined, in sentences.
    pub definitions: Vec<String>,
    /// Program and version, such as "Footing 0.1.0".
    pub software: String,
}

/// A name and its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The name.
    pub name: String,
    /// The value, with its unit.
    pub value: String,
}

/// Results of one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct ConditionPart {
    /// The condition in words.
    pub title: String,
    /// How many trials, of what length, on how many days.
    pub basis: String,
    /// The measures that lead, in order.
    pub values: Vec<HeadlineValue>,
    /// Doubts about the recordings, in sentences.
    pub doubts: Vec<String>,
}

/// One measure of one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadlineValue {
    /// Name of the measure.
    pub name: String,
    /// Unit, or empty for a pure number.
    pub unit: String,
    /// The value; `None` if there is none.
    pub value: Option<f64>,
    /// Its 95 % interval, if it has one.
    pub interval: Option<[f64; 2]>,
    /// What to know beside it, such as the change that would be more than chance, or why there is
    /// no value.
    pub note: String,
}

/// The program's advice with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStepPart {
    /// The advice in a sentence.
    pub headline: String,
    /// Reasons and what else is to be said.
    pub lines: Vec<String>,
}

/// What a clinician decided.
#[derive(Debug, Clone, PartialEq)]
pub struct DecisionPart {
    /// The decision in words.
    pub decision: String,
    /// Who decided.
    pub author: String,
    /// When.
    pub date: String,
    /// The note, or empty.
    pub note: String,
}

const TITLE: Style = Style { size: 21.0, colour: Colour::Deep, after: 2.0 };
const SUBTITLE: Style = Style { size: 10.5, colour: Colour::Quiet, after: 6.0 };
const SECTION: Style = Style { size: 13.5, colour: Colour::Deep, after: 2.0 };
const CONDITION: Style = Style { size: 11.0, colour: Colour::Ink, after: 0.0 };
const BODY: Style = Style { size: 9.5, colour: Colour::Ink, after: 2.0 };
const SAID: Style = Style { size: 11.5, colour: Colour::Ink, after: 3.0 };
const SMALL: Style = Style { size: 8.0, colour: Colour::Quiet, after: 2.0 };
const BETWEEN_SECTIONS: f32 = 5.0;
const FOOT_SIZE: f32 = 7.5;

/// Sway plots stand four in a row.
const IN_A_ROW: usize = 4;
const BETWEEN_PLOTS: f32 = 14.0;

/// Makes the page for the chart; it goes on over more pages if it must.
///
/// # Errors
/// [`ReportError`] if the pages cannot be written as PDF.
pub fn chart(
    report: &ChartReport,
    paper: Paper,
    language: &Language,
) -> Result<Vec<u8>, ReportError> {
    let words = &language.report;
    let mut pages = Pages::new(paper);
    let title = (words.chart_title)(&report.person);
    pages.heading(1, &title, TITLE, 0.0);
    pages.paragraph(&(words.subtitle)(&report.period, &report.software), SUBTITLE);
    pages.rule(Colour::Deep, 1.2, 8.0);
    board(&mut pages, report, language);
    results(&mut pages, report, language);
    next_step(&mut pages, report, language);
    sway(&mut pages, report, language);
    courses(&mut pages, report, language);
    definitions(&mut pages, report, language);
    pages.feet(
        &format!("{} {}", language.common.caution, words.measures_only),
        FOOT_SIZE,
        words.page_of,
    );
    let title = pages.face.printable(&title);
    let about = About {
        title: &title,
        language: words.language_tag,
        software: &report.software,
        made: report.made,
    };
    export(&pages, &about)
}

fn board(pages: &mut Pages, report: &ChartReport, language: &Language) {
    pages.heading(2, language.report.board_head, SECTION, 30.0);
    if report.board.is_empty() {
        pages.paragraph(language.report.nothing_recorded, BODY);
    }
    let facts: Vec<_> =
        report.board.iter().map(|fact| (fact.name.clone(), fact.value.clone())).collect();
    pages.facts(&facts, Style { after: 0.5, ..BODY });
    pages.advance(BETWEEN_SECTIONS);
}

fn results(pages: &mut Pages, report: &ChartReport, language: &Language) {
    let words = &language.report;
    pages.heading(2, words.results_head, SECTION, 60.0);
    if report.conditions.is_empty() {
        pages.paragraph(words.nothing_recorded, BODY);
    }
    for parts in groups(&report.conditions) {
        match parts {
            [part] => one_condition(pages, part, language),
            parts => many_conditions(pages, parts, language),
        }
        pages.advance(3.0);
    }
    pages.advance(BETWEEN_SECTIONS - 3.0);
}

fn one_condition(pages: &mut Pages, part: &ConditionPart, language: &Language) {
    pages.heading(3, &part.title, CONDITION, 50.0);
    pages.paragraph(&part.basis, SMALL);
    let rows: Vec<_> = part.values.iter().map(|value| row_of_one(value, language)).collect();
    if !rows.is_empty() {
        pages.table(&columns_of_one(language), &rows, 2.0);
    }
    let doubts: Vec<_> = part.doubts.iter().map(|doubt| (language.report.doubt)(doubt)).collect();
    pages.list(&doubts, BODY);
}

fn many_conditions(pages: &mut Pages, parts: &[ConditionPart], language: &Language) {
    let rows = rows_of_many(parts, language);
    if !rows.is_empty() {
        pages.table(&columns_of_many(parts, language), &rows, 2.0);
    }
    let shared = parts.iter().all(|part| part.basis == parts[0].basis);
    if shared {
        pages.paragraph(&parts[0].basis, SMALL);
    }
    for part in parts {
        if !shared {
            pages.paragraph(&format!("{}: {}", part.title, part.basis), SMALL);
        }
        let doubts: Vec<_> =
            part.doubts.iter().map(|doubt| said_of(part, doubt, language)).collect();
        pages.list(&doubts, BODY);
    }
}

/// A doubt with the condition it is about.
fn said_of(part: &ConditionPart, doubt: &str, language: &Language) -> String {
    (language.report.doubt)(&format!("{}: {doubt}", part.title))
}

fn next_step(pages: &mut Pages, report: &ChartReport, language: &Language) {
    let words = &language.report;
    pages.heading(2, words.next_step_head, SECTION, 40.0);
    match &report.next_step {
        Some(step) => {
            pages.paragraph(&step.headline, SAID);
            pages.list(&step.lines, BODY);
        }
        None => pages.paragraph(words.no_next_step, BODY),
    }
    pages.advance(4.0);
    pages.heading(2, words.decision_head, SECTION, 30.0);
    match &report.decision {
        Some(decision) => {
            pages.paragraph(&decision.decision, SAID);
            pages.paragraph(&(words.decided_by)(&decision.author, &decision.date), BODY);
            for note in decision.note.lines().filter(|line| !line.trim().is_empty()) {
                pages.paragraph(note, BODY);
            }
        }
        None => pages.paragraph(words.no_decision, BODY),
    }
    pages.advance(BETWEEN_SECTIONS);
}

fn sway(pages: &mut Pages, report: &ChartReport, language: &Language) {
    if report.sway.is_empty() {
        return;
    }
    let width = (pages.width() - BETWEEN_PLOTS * (IN_A_ROW as f32 - 1.0)) / IN_A_ROW as f32;
    let reach_mm = report.sway.iter().map(SwayPlot::reach_mm).fold(0.0, f64::max);
    let n_title_lines =
        report.sway.iter().map(|plot| plot.n_title_lines(&pages.face, width)).max().unwrap_or(1);
    let frame = SwayFrame { width, reach_mm, n_title_lines };
    pages.heading(2, language.report.sway_head, SECTION, width + 90.0);
    pages.paragraph(language.report.sway_about, SMALL);
    for row in report.sway.chunks(IN_A_ROW) {
        let figures = row.iter().map(|plot| plot.figure(&pages.face, frame, language)).collect();
        pages.figures(figures, BETWEEN_PLOTS, BETWEEN_SECTIONS);
    }
}

fn courses(pages: &mut Pages, report: &ChartReport, language: &Language) {
    const HEIGHT: f32 = 32.0;
    const LETTERS: f32 = 8.0;
    if report.courses.is_empty() {
        return;
    }
    pages.heading(2, language.report.course_head, SECTION, HEIGHT + 54.0);
    // Ratings have no unit and few steps: two of them share a row, and so do many conditions.
    let rated = |plot: &&CoursePlot| plot.unit.is_empty();
    let (ratings, measured): (Vec<&CoursePlot>, Vec<&CoursePlot>) =
        report.courses.iter().partition(rated);
    let in_a_row = if measured.len() < 3 { 1 } else { 2 };
    let rows = measured.chunks(in_a_row).chain(ratings.chunks(2));
    for row in rows {
        let n_plots = row.len() as f32;
        let width = (pages.width() - BETWEEN_PLOTS * (n_plots - 1.0)) / n_plots;
        let figure =
            |plot: &&CoursePlot| plot.figure(&pages.face, [width, HEIGHT], LETTERS, language);
        let figures = row.iter().map(figure).collect();
        pages.figures(figures, BETWEEN_PLOTS, 4.0);
    }
    pages.advance(BETWEEN_SECTIONS);
}

fn definitions(pages: &mut Pages, report: &ChartReport, language: &Language) {
    if report.definitions.is_empty() {
        return;
    }
    pages.heading(2, language.report.definitions_head, SECTION, 30.0);
    for definition in &report.definitions {
        pages.paragraph(definition, SMALL);
    }
}
