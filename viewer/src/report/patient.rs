//! The plain page for the person who stands.

use super::course_plot::CoursePlot;
use super::figure::Colour;
use super::made_at::MadeAt;
use super::pages::{Pages, Style};
use super::paper::Paper;
use super::pdf::{About, ReportError, export};
use super::table::Column;
use crate::strings::Language;

/// Everything the page says, ready to be printed.
#[derive(Debug, Clone, PartialEq)]
pub struct PatientPage {
    /// Name or code, as the person wants it.
    pub person: String,
    /// When the page was made.
    pub made: MadeAt,
    /// The days covered, in words.
    pub period: String,
    /// What was practised.
    pub practice: Vec<PracticeLine>,
    /// What to know of it, in plain sentences.
    pub messages: Vec<String>,
    /// How it went over the days.
    pub course: Option<CoursePlot>,
    /// What comes next, in plain sentences: the clinician's decision first.
    pub next: Vec<String>,
    /// When to stop, in plain sentences.
    pub stop_when: Vec<String>,
    /// Whom to ask, with number; empty if not set.
    pub contact: String,
    /// The local emergency number; empty if not set.
    pub emergency_number: String,
    /// Program and version.
    pub software: String,
}

/// One kind of stand and how often it was done.
#[derive(Debug, Clone, PartialEq)]
pub struct PracticeLine {
    /// The stand in plain words.
    pub what: String,
    /// How often it was done, in words.
    pub done: String,
    /// How often it was planned, in words.
    pub planned: String,
}

const TITLE: Style = Style { size: 28.0, colour: Colour::Deep, after: 2.0 };
const SUBTITLE: Style = Style { size: 13.0, colour: Colour::Quiet, after: 8.0 };
const SECTION: Style = Style { size: 18.0, colour: Colour::Deep, after: 4.0 };
const BODY: Style = Style { size: 13.5, colour: Colour::Ink, after: 4.0 };
const BETWEEN_SECTIONS: f32 = 10.0;
const FOOT_SIZE: f32 = 10.0;

/// Makes the plain page; it goes on over more pages if it must.
///
/// # Errors
/// [`ReportError`] if the pages cannot be written as PDF.
pub fn patient(
    page: &PatientPage,
    paper: Paper,
    language: &Language,
) -> Result<Vec<u8>, ReportError> {
    let words = &language.report;
    let mut pages = Pages::new(paper);
    let title = (words.patient_title)(&page.person);
    pages.heading(1, &title, TITLE, 0.0);
    pages.paragraph(&page.period, SUBTITLE);
    pages.rule(Colour::Deep, 1.6, 12.0);
    next(&mut pages, page, language);
    // Before what was done, so that it stands on the first page whatever follows.
    stop(&mut pages, page, language);
    practice(&mut pages, page, language);
    if let Some(plot) = &page.course {
        let figure = plot.figure(&pages.face, [pages.width(), 66.0], 11.0, language);
        pages.figures(vec![figure], 0.0, BETWEEN_SECTIONS);
    }
    pages.feet(&format!("{} {}", language.common.caution, page.software), FOOT_SIZE, words.page_of);
    let title = pages.face.printable(&title);
    let about = About {
        title: &title,
        language: words.language_tag,
        software: &page.software,
        made: page.made,
    };
    export(&pages, &about)
}

fn next(pages: &mut Pages, page: &PatientPage, language: &Language) {
    pages.heading(2, language.report.your_next_head, SECTION, 40.0);
    if page.next.is_empty() {
        pages.paragraph(language.report.no_decision, BODY);
    }
    for sentence in &page.next {
        pages.paragraph(sentence, BODY);
    }
    pages.advance(BETWEEN_SECTIONS);
}

fn practice(pages: &mut Pages, page: &PatientPage, language: &Language) {
    let words = &language.report;
    pages.heading(2, words.your_practice_head, SECTION, 60.0);
    if page.practice.is_empty() {
        pages.paragraph(words.nothing_recorded, BODY);
    } else {
        let columns = [
            Column { head: words.stand_head, share: 0.46 },
            Column { head: words.done_head, share: 0.18 },
            Column { head: words.planned_head, share: 0.36 },
        ];
        let rows: Vec<Vec<String>> = page
            .practice
            .iter()
            .map(|line| vec![line.what.clone(), line.done.clone(), line.planned.clone()])
            .collect();
        pages.table_of_size(&columns, &rows, BODY.size, 8.0);
    }
    for sentence in &page.messages {
        pages.paragraph(sentence, BODY);
    }
    pages.advance(BETWEEN_SECTIONS);
}

fn stop(pages: &mut Pages, page: &PatientPage, language: &Language) {
    let words = &language.report;
    pages.heading(2, words.stop_head, SECTION, 60.0);
    pages.list(&page.stop_when, BODY);
    let numbers = [
        (!page.contact.is_empty()).then(|| (words.contact)(&page.contact)),
        (!page.emergency_number.is_empty()).then(|| (words.emergency)(&page.emergency_number)),
    ];
    for sentence in numbers.into_iter().flatten() {
        pages.paragraph(&sentence, BODY);
    }
    pages.advance(BETWEEN_SECTIONS);
}
