//! The page for the chart, from the records.

use acquisition::WallTime;
use acquisition::results::PROGRAM;
use analysis::MEASURES;

use super::PersonMaterial;
use super::courses::course_plots;
use crate::report::{ChartReport, DecisionPart, NextStepPart};
use crate::strings::Language;

impl PersonMaterial {
    /// Everything the page for the chart says. A name stands on it only `with_name`.
    pub fn chart(&self, words: &Language, with_name: bool) -> ChartReport {
        let view = self.course_view(words);
        ChartReport {
            person: self.person.code.to_string(),
            made: self.made(),
            period: self.period(words),
            board: self.facts(words, with_name),
            conditions: self.condition_parts(words),
            sway: self.sway_plots(words),
            courses: course_plots(words, &view),
            next_step: view.step.as_ref().ok().map(|step| NextStepPart {
                headline: (words.report.step_at)(&step.headline, &step.condition),
                lines: step
                    .lines
                    .iter()
                    .cloned()
                    .chain(step.left_out.iter().map(|line| (words.report.left_out)(line)))
                    .collect(),
            }),
            decision: self.decision(words),
            definitions: definitions(words),
            software: PROGRAM.to_owned(),
        }
    }

    /// The days of the trials, and the day of the page.
    pub(super) fn period(&self, words: &Language) -> String {
        let days = self.days.map(|days| days.map(WallTime::date_of_day));
        (words.report.period)(days.as_ref(), &self.until.date())
    }

    fn decision(&self, words: &Language) -> Option<DecisionPart> {
        let made = self.decisions.last()?;
        let condition = (words.condition)(&made.condition);
        let advice = made.advice.map_or(words.course.not_asked, words.people.verdict);
        Some(DecisionPart {
            decision: (words.report.go_on_with)(&condition, advice),
            author: made.author.clone(),
            date: made.made.date(),
            note: made.note.clone(),
        })
    }
}

/// What the numbers on the page mean, each with who defined it; those of one axis follow from the
/// others.
fn definitions(words: &Language) -> Vec<String> {
    let of_one_axis = |key: &str| key.ends_with("_ml") || key.ends_with("_ap");
    let headlines = MEASURES.iter().filter(|measure| measure.headline && !of_one_axis(measure.key));
    let told: Vec<String> = headlines
        .map(|measure| {
            let name = (words.measure)(measure.key).unwrap_or(measure.key);
            let definition = (words.definition)(measure).replace('_', " ");
            format!("{name}: {definition} ({}).", (words.source)(measure))
        })
        .collect();
    let about = words.report.about_definitions.iter().map(|&sentence| sentence.to_owned());
    about.chain([told.join(" ")]).collect()
}
