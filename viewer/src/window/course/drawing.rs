//! The drawing of a course: wobble, felt difficulty and pain under each other on the same dates.

use analysis::MM_PER_INCH;
use egui::{
    Align2, Color32, EventFilter, FontId, Key, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui,
    WidgetInfo, pos2, vec2,
};

use crate::strings::{CourseWords, decimals};
use crate::window::course::layout::{Panel, labelled, nearest};
use crate::window::course::model::{ConditionCourse, CourseView, DayOfCourse};
use crate::window::marks::DASH;
use crate::window::style::{Palette, Side};

/// Room beside the panels for the two scales, and over each for its title, in points.
const LEFT: f32 = 46.0;
const RIGHT: f32 = 46.0;
const TITLE: f32 = 24.0;
const DATES: f32 = 24.0;

/// Shares of the height that the three panels take.
const SHARES: [f32; 3] = [0.56, 0.22, 0.22];

/// Width of a date with its room, in points.
const DATE_WIDTH: f32 = 96.0;

/// How far the marks of pain stand beside their day, in points, so that equal ones are all seen.
const PAIN_APART: [f32; 3] = [-11.0, 0.0, 11.0];

/// What the drawing is made with.
struct Pen<'a> {
    painter: &'a Painter,
    palette: Palette,
    ink: Color32,
    quiet: Color32,
    font: FontId,
}

/// Draws the course at one condition; `picked` is the position of the day that is read out, moved
/// by pointer and arrow keys.
pub(super) fn course_ui(
    ui: &mut Ui,
    words: &CourseWords,
    view: &CourseView,
    course: &ConditionCourse,
    picked: &mut Option<usize>,
) {
    let days: Vec<i32> = course.days.iter().map(|day| day.day).collect();
    let (Some(&first), Some(&last)) = (days.first(), days.last()) else { return };
    let size = vec2(ui.available_width(), (ui.available_height() - 64.0).max(240.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let about = (words.about)(days.len());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &about));
    let top_mm =
        course.days.iter().filter_map(|day| day.wobble_mm).fold(view.window_mm[1], f64::max) * 1.12;
    let panels = panels(rect, [first, last], [top_mm, 10.0, 10.0]);
    let now = picked.unwrap_or(days.len() - 1).min(days.len() - 1);
    let now = response.hover_pos().and_then(|at| nearest(&panels[0], &days, at.x)).unwrap_or(now);
    let now = stepped(ui, &response, now, days.len());
    *picked = Some(now);
    let pen = Pen {
        painter: ui.painter(),
        palette: Palette::of(ui.theme()),
        ink: ui.visuals().text_color(),
        quiet: ui.visuals().weak_text_color(),
        font: egui::TextStyle::Small.resolve(ui.style()),
    };
    for panel in &panels {
        pen.painter.rect_filled(panel.rect, 0.0, pen.palette.paper);
    }
    wobble(&pen, &panels[0], words, view, course);
    ratings(&pen, &panels[1], &course.days, words);
    pains(&pen, &panels[2], &course.days, words);
    dates(&pen, &panels[2], &course.days);
    let x = panels[0].x(days[now]);
    for panel in &panels {
        pen.painter.vline(x, panel.rect.y_range(), Stroke::new(1.0, pen.quiet));
        let edge = if response.has_focus() { 2.0 } else { 1.0 };
        let colour = if response.has_focus() { pen.ink } else { pen.palette.hairline };
        let stroke = Stroke::new(edge, colour);
        pen.painter.rect_stroke(panel.rect, 0.0, stroke, egui::StrokeKind::Outside);
    }
}

/// The day the arrow keys move to, while the drawing has the focus.
fn stepped(ui: &Ui, response: &egui::Response, now: usize, n_days: usize) -> usize {
    if !response.has_focus() {
        return now;
    }
    let arrows = EventFilter { horizontal_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    let (back, on) =
        ui.input(|input| (input.key_pressed(Key::ArrowLeft), input.key_pressed(Key::ArrowRight)));
    if back {
        now.saturating_sub(1)
    } else if on {
        (now + 1).min(n_days - 1)
    } else {
        now
    }
}

fn panels(rect: Rect, days: [i32; 2], tops: [f64; 3]) -> [Panel; 3] {
    let free = rect.height() - 3.0 * TITLE - DATES;
    let mut from = rect.top();
    std::array::from_fn(|index| {
        let top = from + TITLE;
        let bottom = top + free * SHARES[index];
        from = bottom;
        let across = rect.left() + LEFT..=rect.right() - RIGHT;
        Panel { rect: Rect::from_x_y_ranges(across, top..=bottom), days, top: tops[index] }
    })
}

fn wobble(
    pen: &Pen<'_>,
    panel: &Panel,
    words: &CourseWords,
    view: &CourseView,
    course: &ConditionCourse,
) {
    let [low, high] = view.window_mm;
    let band = Rect::from_x_y_ranges(panel.rect.x_range(), panel.y(high)..=panel.y(low));
    pen.painter.rect_filled(band, 0.0, pen.palette.band);
    for end in [low, high] {
        pen.painter.hline(panel.rect.x_range(), panel.y(end), Stroke::new(1.0, pen.quiet));
    }
    let at = band.right_bottom() - vec2(6.0, 4.0);
    text(pen, at, Align2::RIGHT_BOTTOM, &(words.window)(view.window_mm), pen.quiet);
    title(pen, panel, words.wobble_title);
    scale(pen, panel, 1.0, words.mm, Side::A);
    scale(pen, panel, MM_PER_INCH, words.inch, Side::B);
    for &day in view.decision_days.iter().filter(|&&day| within(panel, day)) {
        let x = panel.x(day);
        let ends = [pos2(x, panel.rect.top()), pos2(x, panel.rect.bottom())];
        let stroke = Stroke::new(1.5, pen.palette.set(Side::B));
        pen.painter.extend(Shape::dashed_line(&ends, stroke, DASH[0], DASH[1]));
        let at = ends[0] + vec2(4.0, 2.0);
        text(pen, at, Align2::LEFT_TOP, words.decision_mark, pen.ink);
    }
    let colour = pen.palette.set(Side::A);
    let known: Vec<(Pos2, bool)> = course
        .days
        .iter()
        .filter_map(|day| Some((panel.at(day.day, day.wobble_mm?), day.learning)))
        .collect();
    for pair in known.windows(2) {
        pen.painter.line_segment([pair[0].0, pair[1].0], Stroke::new(1.5, colour));
    }
    for &(at, learning) in &known {
        let fill = if learning { pen.palette.paper } else { colour };
        pen.painter.circle(at, 5.0, fill, Stroke::new(2.0, colour));
    }
    if course.days.iter().any(|day| day.learning) {
        let at = panel.rect.right_top() - vec2(0.0, 4.0);
        text(pen, at, Align2::RIGHT_BOTTOM, words.learning, pen.quiet);
    }
}

fn within(panel: &Panel, day: i32) -> bool {
    panel.days[0] <= day && day <= panel.days[1]
}

fn ratings(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse], words: &CourseWords) {
    title(pen, panel, words.difficulty_title);
    ten(pen, panel);
    for day in days {
        if let Some(points) = day.difficulty {
            let foot = panel.at(day.day, 0.0);
            let head = panel.at(day.day, f64::from(points));
            pen.painter.line_segment([foot, head], Stroke::new(2.0, pen.ink));
            pen.painter.hline(head.x - 6.0..=head.x + 6.0, head.y, Stroke::new(3.0, pen.ink));
        }
    }
}

fn pains(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse], words: &CourseWords) {
    let mut x = title(pen, panel, words.pain_title) + 12.0;
    for (index, name) in words.pain_marks.into_iter().enumerate() {
        let at = pos2(x + 6.0, panel.rect.top() - 11.0);
        pain_mark(pen, index, at);
        let written = text(pen, at + vec2(12.0, 0.0), Align2::LEFT_CENTER, name, pen.quiet);
        x = written.right() + 14.0;
    }
    ten(pen, panel);
    for day in days {
        if let [Some(start), Some(worst), _] = day.pain {
            let ends = [start, worst].map(|points| panel.at(day.day, f64::from(points)));
            pen.painter.line_segment(ends, Stroke::new(2.0, pen.palette.set(Side::B)));
        }
        for (index, points) in day.pain.iter().enumerate() {
            if let Some(points) = points {
                let at = panel.at(day.day, f64::from(*points));
                pain_mark(pen, index, at + vec2(PAIN_APART[index], 0.0));
            }
        }
    }
}

/// A ring at the start, a square at the worst, a cross the next morning.
fn pain_mark(pen: &Pen<'_>, index: usize, at: Pos2) {
    let stroke = Stroke::new(2.0, pen.palette.set(Side::B));
    match index {
        0 => {
            pen.painter.circle_stroke(at, 6.0, stroke);
        }
        1 => {
            pen.painter.rect_filled(Rect::from_center_size(at, vec2(7.0, 7.0)), 0.0, stroke.color);
        }
        _ => {
            for (x, y) in [(5.0, 5.0), (5.0, -5.0)] {
                pen.painter.line_segment([at - vec2(x, y), at + vec2(x, y)], stroke);
            }
        }
    }
}

/// Ticks of a scale, `unit_mm` millimetres each unit: at the left for A, at the right for B.
fn scale(pen: &Pen<'_>, panel: &Panel, unit_mm: f64, unit: &str, side: Side) {
    let top = panel.top / unit_mm;
    let step = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .find(|step| top / step <= 6.0)
        .unwrap_or(top);
    let digits = if step < 1.0 { 2 } else { 0 };
    for n in 0..=6 {
        let value = f64::from(n) * step;
        if top * 0.95 < value {
            break;
        }
        let y = panel.y(value * unit_mm);
        beside(pen, panel, y, &decimals(value, digits), side);
    }
    beside(pen, panel, panel.rect.top(), unit, side);
}

fn beside(pen: &Pen<'_>, panel: &Panel, y: f32, what: &str, side: Side) {
    let (x, anchor) = match side {
        Side::A => (panel.rect.left() - 6.0, Align2::RIGHT_CENTER),
        Side::B => (panel.rect.right() + 6.0, Align2::LEFT_CENTER),
    };
    text(pen, pos2(x, y), anchor, what, pen.quiet);
}

/// The scale of a rating from 0 to 10.
fn ten(pen: &Pen<'_>, panel: &Panel) {
    for value in [0.0, 5.0, 10.0] {
        let y = panel.y(value);
        pen.painter.hline(panel.rect.x_range(), y, Stroke::new(1.0, pen.palette.hairline));
        beside(pen, panel, y, &decimals(value, 0), Side::A);
    }
}

fn dates(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse]) {
    let places: Vec<f32> = days.iter().map(|day| panel.x(day.day)).collect();
    for index in labelled(&places, DATE_WIDTH) {
        let half = DATE_WIDTH / 2.0 - 8.0;
        let x =
            places[index].clamp(panel.rect.left() + half - LEFT, panel.rect.right() + RIGHT - half);
        let at = pos2(x, panel.rect.bottom() + 5.0);
        text(pen, at, Align2::CENTER_TOP, &days[index].date, pen.quiet);
    }
}

/// Writes a panel's title and tells where it ends.
fn title(pen: &Pen<'_>, panel: &Panel, what: &str) -> f32 {
    let at = panel.rect.left_top() - vec2(0.0, 4.0);
    text(pen, at, Align2::LEFT_BOTTOM, what, pen.ink).right()
}

fn text(pen: &Pen<'_>, at: Pos2, anchor: Align2, what: &str, colour: Color32) -> Rect {
    pen.painter.text(at, anchor, what, pen.font.clone(), colour)
}
