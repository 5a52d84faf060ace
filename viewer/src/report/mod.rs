//! Pages to print or file: one for the chart, one for the person who stands.
//!
//! `person` reads what the records hold; in the rest values come in ready, and nothing is computed
//! but where things stand on the paper. The pages
//! are PDF/A-3a and PDF/UA-1 as far as the library that writes them can check: tagged in reading
//! order, searchable, with a text for every picture. Same input, same bytes.

mod chart;
mod course_plot;
mod figure;
mod made_at;
mod pages;
mod paper;
mod patient;
mod pdf;
mod person;
mod results_table;
mod sway_plot;
mod table;
#[cfg(test)]
mod tests;
mod typeface;

pub use chart::{
    ChartReport, ConditionPart, DecisionPart, Fact, HeadlineValue, NextStepPart, chart,
};
pub use course_plot::{CourseMark, CoursePlot, CoursePoint};
pub use made_at::{BadMadeAt, MadeAt};
pub use paper::{Paper, UnknownPaper};
pub use patient::{PatientPage, PracticeLine, patient};
pub use pdf::ReportError;
pub use person::{Calls, PersonMaterial, ReadPersonError};
pub use sway_plot::SwayPlot;
