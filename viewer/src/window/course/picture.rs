//! The drawing of a course as a picture to keep.

use analysis::MM_PER_INCH;

use crate::picture::layout::{digits_of, round_places};
use crate::picture::{Chart, ChartPanel, Form, Ink, KeyEntry, Look, Mark, Sample, Ticks};
use crate::strings::Language;
use crate::window::course::drawing::{shown, top_mm};
use crate::window::course::model::{ConditionCourse, CourseView, DayOfCourse};

/// Width of the panels, in points.
const WIDTH: f64 = 820.0;

const WOBBLE: Look = Look::line(Ink::A, 2.0);
const DECISION: Look = Look::dashed(Ink::B, 1.5);
const DIFFICULTY: Look = Look::line(Ink::Text, 2.0);
const PAIN: Look = Look::line(Ink::B, 2.0);

/// At the start, worst, next morning.
const PAIN_FORMS: [Form; 3] = [Form::Ring, Form::Square, Form::Cross];

impl CourseView {
    /// The course at one condition; `in_sight` are the first and last day drawn, `None` for all.
    pub fn chart(
        &self,
        words: &Language,
        course: &ConditionCourse,
        in_sight: Option<[f64; 2]>,
    ) -> Chart {
        let ends = || Some([course.days.first()?.day, course.days.last()?.day].map(f64::from));
        let all = in_sight.or_else(ends).unwrap_or_default();
        let days = shown(&course.days, all);
        // Room for the marks of the first and of the last day.
        let air = ((all[1] - all[0]) * 0.025).max(0.5);
        let per_point = (all[1] - all[0] + 2.0 * air) / WIDTH;
        let title = format!("{}: {}", self.title, course.name);
        Chart {
            language: words.key,
            title,
            key: self.key(words, course),
            across: words.picture.dates.to_owned(),
            range: [all[0] - air, all[1] + air],
            ticks: Ticks::Named(
                course.days.iter().map(|day| (f64::from(day.day), day.date.clone())).collect(),
            ),
            tick_room: 90.0,
            width: WIDTH,
            rooms: [70.0, 70.0],
            panels: vec![
                self.wobble(words, course, days),
                rated(words.course.difficulty_title, difficulties(days)),
                rated(words.course.pain_title.trim_end_matches(':'), pains(days, per_point)),
            ],
            notes: vec![self.sessions_done.clone(), words.common.caution.to_owned()],
            about: (words.course.about)(course.days.len()),
        }
    }

    fn key(&self, words: &Language, course: &ConditionCourse) -> Vec<KeyEntry> {
        let entry = |sample, text: &str| KeyEntry { sample, text: text.to_owned() };
        let mut key = vec![entry(Sample::Point(Form::Disc, WOBBLE), words.picture.wobble_of_day)];
        if course.days.iter().any(|day| day.learning) {
            key.push(entry(Sample::Point(Form::Ring, WOBBLE), words.course.learning));
        }
        key.push(entry(Sample::Area, &(words.course.window)(self.window_mm)));
        if !self.decision_days.is_empty() {
            key.push(entry(Sample::Line(DECISION), words.course.decision_mark));
        }
        let pain = words.course.pain_title;
        for (form, name) in PAIN_FORMS.into_iter().zip(words.course.pain_marks) {
            key.push(entry(Sample::Point(form, PAIN), &format!("{pain} {name}")));
        }
        key
    }

    fn wobble(
        &self,
        words: &Language,
        course: &ConditionCourse,
        days: &[DayOfCourse],
    ) -> ChartPanel {
        let top_mm = top_mm(self, course);
        let mut marks = vec![Mark::Area { across: None, upward: Some(self.window_mm) }];
        for &day in &self.decision_days {
            let at = f64::from(day);
            let points = vec![[at, 0.0], [at, top_mm]];
            marks.push(Mark::Line { points, look: DECISION });
        }
        let known: Vec<([f64; 2], bool)> = days
            .iter()
            .filter_map(|day| Some(([f64::from(day.day), day.wobble_mm?], day.learning)))
            .collect();
        let points = known.iter().map(|(at, _)| *at).collect();
        marks.push(Mark::Line { points, look: Look { width: 1.5, ..WOBBLE } });
        let crowded = 120 < known.len();
        for (at, learning) in known {
            let form = if learning { Form::Ring } else { Form::Disc };
            if learning || !crowded {
                marks.push(Mark::Point { at, form, look: WOBBLE });
            }
        }
        let (step, inches) = round_places(0.0, top_mm / MM_PER_INCH, top_mm / MM_PER_INCH / 6.0);
        let inch = |value: f64| {
            let number = (words.decimals)(value, digits_of(step));
            (value * MM_PER_INCH, format!("{number} {}", words.course.inch))
        };
        ChartPanel {
            upward: format!("{}, {}", words.course.wobble_title, words.course.mm),
            height: 280.0,
            range: [0.0, top_mm],
            left: Ticks::Round,
            right: inches.into_iter().map(inch).collect(),
            marks,
        }
    }
}

/// A panel of ratings from 0 to 10.
fn rated(title: &str, marks: Vec<Mark>) -> ChartPanel {
    let left = [0.0, 5.0, 10.0].map(|value| (value, format!("{value:.0}")));
    ChartPanel {
        upward: title.to_owned(),
        height: 130.0,
        // A mark at either end is drawn whole.
        range: [-0.6, 10.6],
        left: Ticks::Named(left.to_vec()),
        right: Vec::new(),
        marks,
    }
}

fn difficulties(days: &[DayOfCourse]) -> Vec<Mark> {
    let marks = |day: &DayOfCourse| {
        let (at, points) = (f64::from(day.day), f64::from(day.difficulty?));
        let stem = Mark::Line { points: vec![[at, 0.0], [at, points]], look: DIFFICULTY };
        Some([stem, Mark::Point { at: [at, points], form: Form::Bar, look: DIFFICULTY }])
    };
    days.iter().filter_map(marks).flatten().collect()
}

/// `per_point` days lie in a point of the drawing.
fn pains(days: &[DayOfCourse], per_point: f64) -> Vec<Mark> {
    /// How far apart the marks of a day stand where there is room, and how much they need.
    const APART: f64 = 11.0;
    const ROOM: f64 = 34.0;
    let apart = if ROOM * per_point <= 1.0 { APART * per_point } else { 0.0 };
    let mut marks = Vec::new();
    for day in days {
        let at = f64::from(day.day);
        if let [Some(start), Some(worst), _] = day.pain {
            let points = [start, worst].map(|points| [at, f64::from(points)]).to_vec();
            marks.push(Mark::Line { points, look: PAIN });
        }
        for ((form, points), side) in PAIN_FORMS.into_iter().zip(day.pain).zip([-1.0, 0.0, 1.0]) {
            if let Some(points) = points {
                let at = [at + side * apart, f64::from(points)];
                marks.push(Mark::Point { at, form, look: PAIN });
            }
        }
    }
    marks
}
