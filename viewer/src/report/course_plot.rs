//! One quantity over the days.

use super::figure::{Anchor, Colour, Figure, Ink, label, round_step, tick_text};
use super::typeface::Typeface;
use crate::strings::Language;

/// One quantity of one condition over the days.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CoursePlot {
    /// What it is, such as "Wobble: foam, feet together, eyes open".
    pub title: String,
    /// Unit, or empty for a pure number.
    pub unit: String,
    /// Values in order of days.
    pub points: Vec<CoursePoint>,
    /// A range to aim at, with its name.
    pub band: Option<(String, [f64; 2])>,
    /// What happened meanwhile, such as a decision.
    pub marks: Vec<CourseMark>,
}

/// The value of one day.
#[derive(Debug, Clone, PartialEq)]
pub struct CoursePoint {
    /// Day, counted from any day that is the same for all.
    pub day: i32,
    /// The day as it is written under the axis.
    pub date: String,
    /// The value.
    pub value: f64,
    /// Its 95 % interval, if it has one.
    pub interval: Option<[f64; 2]>,
}

/// Something that happened on a day.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseMark {
    /// Day, counted as for the points.
    pub day: i32,
    /// What happened, in a word or two.
    pub what: String,
}

/// From days and values to points on paper.
struct Frame {
    days: [f64; 2],
    values: [f64; 2],
    width: f32,
    height: f32,
    /// Size of letters; the room beside and over the drawing follows it.
    size: f32,
}

impl Frame {
    fn left(&self) -> f32 {
        3.6 * self.size
    }

    fn top(&self) -> f32 {
        3.6 * self.size
    }

    fn bottom(&self) -> f32 {
        self.top() + self.height
    }

    fn x(&self, day: i32) -> f32 {
        let [first, last] = self.days;
        let share = if first < last { (f64::from(day) - first) / (last - first) } else { 0.5 };
        self.left() + 8.0 + (self.width - self.left() - 16.0) * narrowed(share)
    }

    fn y(&self, value: f64) -> f32 {
        let [low, high] = self.values;
        self.top() + self.height * narrowed((high - value.clamp(low, high)) / (high - low))
    }
}

impl CoursePlot {
    /// A drawing of `area` points, width first, with letters of `size` around it.
    pub(super) fn figure(
        &self,
        face: &Typeface,
        area: [f32; 2],
        size: f32,
        language: &Language,
    ) -> Figure {
        let points: Vec<&CoursePoint> =
            self.points.iter().filter(|point| point.value.is_finite()).collect();
        let frame = self.frame(&points, area, size);
        let titles = face.lines(&self.titled(), size + 1.0, area[0]);
        let title = titles.first().map_or("", String::as_str);
        let over = [0.0, 1.3 * size];
        let mut inks = vec![label(face, title, over, size + 1.0, Anchor::Start, Colour::Ink)];
        self.draw_scale(face, &frame, language, &mut inks);
        self.draw_marks(face, &frame, &mut inks);
        draw_points(&points, &frame, &mut inks);
        draw_dates(face, &points, &frame, &mut inks);
        if points.is_empty() {
            let at = [area[0] / 2.0, frame.top() + area[1] / 2.0];
            let text = language.report.nothing_recorded;
            inks.push(label(face, text, at, size + 1.0, Anchor::Middle, Colour::Quiet));
        }
        let told = |point: &&CoursePoint| {
            format!("{}: {} {}", point.date, (language.significant)(point.value, 3), self.unit)
        };
        let ends = [points.first().map(told), points.last().map(told)];
        Figure {
            width: area[0],
            height: frame.bottom() + 2.6 * size,
            inks,
            alternative: (language.report.course_alternative)(&self.title, points.len(), &ends),
        }
    }

    fn titled(&self) -> String {
        if self.unit.is_empty() {
            self.title.clone()
        } else {
            format!("{}, {}", self.title, self.unit)
        }
    }

    fn frame(&self, points: &[&CoursePoint], [width, height]: [f32; 2], size: f32) -> Frame {
        let marks = self.marks.iter().map(|mark| mark.day);
        let days = || points.iter().map(|point| point.day).chain(marks.clone()).map(f64::from);
        let band = self.band.iter().flat_map(|(_, range)| *range);
        let values = points
            .iter()
            .flat_map(|point| point.interval.into_iter().flatten().chain([point.value]))
            .chain(band)
            .filter(|value| value.is_finite());
        let (low, high) = values.fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        Frame {
            days: [days().fold(f64::INFINITY, f64::min), days().fold(f64::NEG_INFINITY, f64::max)],
            values: if low < high { [low * 1.06, high * 1.06] } else { [0.0, 1.0] },
            width,
            height,
            size,
        }
    }

    fn draw_scale(&self, face: &Typeface, frame: &Frame, language: &Language, inks: &mut Vec<Ink>) {
        let (left, right, size) = (frame.left(), frame.width - 2.0, frame.size);
        if let Some((_, [low, high])) = &self.band {
            let (top, bottom) = (frame.y(*high), frame.y(*low));
            inks.push(Ink::rectangle(left, top, right, bottom, Colour::Band));
        }
        let [low, high] = frame.values;
        let step = round_step(high - low, 5.0);
        for n in -6_i32..=6 {
            let tick = f64::from(n) * step;
            if tick < low || high < tick {
                continue;
            }
            let y = frame.y(tick);
            let colour = if n == 0 { Colour::Quiet } else { Colour::Hairline };
            inks.push(Ink::line(vec![[left, y], [right, y]], 0.4, colour));
            let text = tick_text(language, tick, step);
            inks.push(label(
                face,
                &text,
                [left - 4.0, y + 0.3 * size],
                size,
                Anchor::End,
                Colour::Quiet,
            ));
        }
        if let Some((name, [low, _])) = &self.band {
            // On a ground of its own, or a line of the scale would cross it out.
            let (at, size) = ([right - 3.0, frame.y(*low) - 3.0], size - 0.5);
            let left = at[0] - face.width(&face.printable(name), size) - 2.0;
            let [top, bottom] = [at[1] - 0.85 * size, at[1] + 0.25 * size];
            inks.push(Ink::rectangle(left, top, at[0] + 2.0, bottom, Colour::Band));
            inks.push(label(face, name, at, size, Anchor::End, Colour::Quiet));
        }
    }

    fn draw_marks(&self, face: &Typeface, frame: &Frame, inks: &mut Vec<Ink>) {
        let size = frame.size;
        let mut free_from = frame.left();
        for mark in &self.marks {
            let x = frame.x(mark.day);
            let points = vec![[x, frame.top() - 6.0], [x, frame.bottom()]];
            inks.push(Ink::Line { points, width: 0.8, colour: Colour::Warm, dashed: true });
            let width = face.width(&face.printable(&mark.what), size);
            let left = (x + 3.0).min(frame.width - width);
            if free_from <= left {
                let at = [left, frame.top() - 8.0];
                inks.push(label(face, &mark.what, at, size, Anchor::Start, Colour::Warm));
                free_from = left + width + 6.0;
            }
        }
    }
}

fn draw_points(points: &[&CoursePoint], frame: &Frame, inks: &mut Vec<Ink>) {
    let line = points.iter().map(|point| [frame.x(point.day), frame.y(point.value)]).collect();
    inks.push(Ink::line(line, 0.7, Colour::Deep));
    let half = if points.len() < 40 { 2.4 } else { 1.2 };
    for point in points {
        let (x, y) = (frame.x(point.day), frame.y(point.value));
        if let Some([low, high]) = point.interval.filter(|ends| ends.iter().all(|v| v.is_finite()))
        {
            let bar = vec![[x, frame.y(low)], [x, frame.y(high)]];
            inks.push(Ink::line(bar, 0.7, Colour::Deep));
        }
        let diamond = vec![[x, y - half], [x + half, y], [x, y + half], [x - half, y]];
        inks.push(Ink::Area { points: diamond, colour: Colour::Deep });
    }
}

/// The first and the last date, and of those between as many as find room.
fn draw_dates(face: &Typeface, points: &[&CoursePoint], frame: &Frame, inks: &mut Vec<Ink>) {
    let Some((last, others)) = points.split_last() else { return };
    let size = frame.size;
    let below = frame.bottom() + size + 4.0;
    let half = |date: &str| face.width(&face.printable(date), size) / 2.0;
    let place = |point: &CoursePoint| {
        let half = half(&point.date);
        frame.x(point.day).clamp(half, (frame.width - half).max(half))
    };
    let last_left = place(last) - half(&last.date);
    let mut free_from = 0.0;
    for point in others {
        let (middle, half) = (place(point), half(&point.date));
        if free_from <= middle - half && middle + half + 10.0 <= last_left {
            let at = [middle, below];
            inks.push(label(face, &point.date, at, size, Anchor::Middle, Colour::Quiet));
            free_from = middle + half + 10.0;
        }
    }
    let at = [place(last), below];
    inks.push(label(face, &last.date, at, size, Anchor::Middle, Colour::Quiet));
}

#[expect(clippy::cast_possible_truncation, reason = "a place on paper needs no more digits")]
fn narrowed(share: f64) -> f32 {
    share as f32
}
