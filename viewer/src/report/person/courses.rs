//! Courses over the days as the pages draw them.

use super::PersonMaterial;
use crate::report::{CourseMark, CoursePlot, CoursePoint};
use crate::strings::Language;
use crate::window::course::{ConditionCourse, CourseView, DayOfCourse};

/// Courses of wobble on one page for the chart; those of other conditions are in the results.
const MOST_COURSES: usize = 4;

impl PersonMaterial {
    /// The course as the screens show it.
    pub(super) fn course_view(&self, words: &Language) -> CourseView {
        let (plan, now) = (self.plan.as_ref(), self.until.moment());
        CourseView::new(words, &self.person, &self.known, plan, &self.decisions, now)
    }
}

/// Wobble of the conditions stood, the one the advice is about first, then difficulty and pain
/// there.
pub(super) fn course_plots(words: &Language, view: &CourseView) -> Vec<CoursePlot> {
    let report = &words.report;
    let here = view.conditions.get(view.here);
    let others = view.conditions.iter().enumerate().filter(|(index, _)| *index != view.here);
    let mut plots: Vec<CoursePlot> = here
        .into_iter()
        .chain(others.map(|(_, other)| other))
        .filter(|course| course.days.iter().any(|day| day.wobble_mm.is_some()))
        .take(MOST_COURSES)
        .map(|course| wobble(words, view, course))
        .collect();
    let Some(here) = here else { return plots };
    let rated = |title: &str, of: fn(&DayOfCourse) -> Option<u8>| CoursePlot {
        title: title.to_owned(),
        points: points(here, |day| of(day).map(f64::from)),
        ..CoursePlot::default()
    };
    for (title, of) in [
        (report.difficulty_course, (|day| day.difficulty) as fn(&DayOfCourse) -> Option<u8>),
        (report.pain_course, |day| day.pain[1]),
    ] {
        let plot = rated(title, of);
        plots.extend((!plot.points.is_empty()).then_some(plot));
    }
    plots
}

/// The course of wobble at one condition, with the window and the decisions in it.
pub(super) fn wobble(words: &Language, view: &CourseView, course: &ConditionCourse) -> CoursePlot {
    let decided = |day: &i32| CourseMark { day: *day, what: words.course.decision_mark.to_owned() };
    let points = points(course, |day| day.wobble_mm);
    let first = points.first().map_or(i32::MAX, |point| point.day);
    CoursePlot {
        title: (words.report.wobble_course)(&course.name),
        unit: words.course.mm.to_owned(),
        points,
        band: Some(((words.course.window)(view.window_mm), view.window_mm)),
        marks: view.decision_days.iter().filter(|day| first <= **day).map(decided).collect(),
    }
}

fn points(course: &ConditionCourse, of: impl Fn(&DayOfCourse) -> Option<f64>) -> Vec<CoursePoint> {
    let point = |day: &DayOfCourse| {
        let value = of(day)?;
        Some(CoursePoint { day: day.day, date: day.date.clone(), value, interval: None })
    };
    course.days.iter().filter_map(point).collect()
}
