//! The drawing of a course: wobble, felt difficulty and pain under each other on the same dates.

use analysis::MM_PER_INCH;
use egui::{
    Align2, Color32, EventFilter, FontId, Key, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui,
    WidgetInfo, pos2, vec2,
};

use crate::strings::CourseWords;
use crate::window::course::layout::{Panel, labelled, moved, nearest, showing, zoomed};
use crate::window::course::model::{ConditionCourse, CourseView, DayOfCourse};
use crate::window::marks::DASH;
use crate::window::style::{Palette, Side};
use crate::window::zoom::Zoom;

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

/// Points between two days from which on they do.
const PAIN_ROOM: f32 = 34.0;

/// What the drawing is made with.
struct Pen<'a> {
    painter: &'a Painter,
    palette: Palette,
    ink: Color32,
    quiet: Color32,
    font: FontId,
    decimals: fn(f64, usize) -> String,
}

/// What of a course is looked at.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Look {
    /// Position of the day that is read out.
    pub(super) day: Option<usize>,
    /// First and last day in sight; `None` for all.
    pub(super) in_sight: Option<[f64; 2]>,
}

/// Draws the course at one condition; pointer, arrow keys and zoom change what is looked at.
pub(super) fn course_ui(
    ui: &mut Ui,
    words: &CourseWords,
    view: &CourseView,
    course: &ConditionCourse,
    look: &mut Look,
    room_below: f32,
) {
    let days: Vec<i32> = course.days.iter().map(|day| day.day).collect();
    let (Some(&first), Some(&last)) = (days.first(), days.last()) else { return };
    let all = [first, last].map(f64::from);
    let size = vec2(ui.available_width(), (ui.available_height() - room_below).max(240.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let about = (words.about)(days.len());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &about));
    let tops = [top_mm(view, course), 10.0, 10.0];
    let before = look.day.unwrap_or(days.len() - 1).min(days.len() - 1);
    let seen = panels(rect, look.in_sight.unwrap_or(all), tops)[0];
    let around = f64::from(days[before]);
    look.in_sight = zoomed_or_moved(ui, &response, &seen, (look.in_sight, all), around);
    let pointed = response.hover_pos().and_then(|at| nearest(&seen, &days, at.x));
    let now = stepped(ui, &response, pointed.unwrap_or(before), days.len());
    if now != before && pointed.is_none() {
        look.in_sight = showing(look.in_sight.unwrap_or(all), all, f64::from(days[now]));
    }
    look.day = Some(now);
    let panels = panels(rect, look.in_sight.unwrap_or(all), tops);
    let ink = ui.visuals().text_color();
    let quiet = ui.visuals().weak_text_color();
    let palette = Palette::of(ui.theme());
    let font = egui::TextStyle::Small.resolve(ui.style());
    let decimals = words.decimals;
    let pen = Pen { painter: ui.painter(), palette, ink, quiet, font, decimals };
    for panel in &panels {
        pen.painter.rect_filled(panel.rect, 0.0, pen.palette.paper);
    }
    let shown = shown(&course.days, panels[0].days);
    wobble(&pen, &panels[0], words, view, shown);
    ratings(&pen, &panels[1], shown, words);
    pains(&pen, &panels[2], shown, words);
    dates(&pen, &panels[2], shown);
    let x = panels[0].x(days[now]);
    for panel in &panels {
        if panel.rect.x_range().contains(x) {
            pen.painter.vline(x, panel.rect.y_range(), Stroke::new(1.0, pen.quiet));
        }
        let edge = if response.has_focus() { 2.0 } else { 1.0 };
        let colour = if response.has_focus() { pen.ink } else { pen.palette.hairline };
        let stroke = Stroke::new(edge, colour);
        pen.painter.rect_stroke(panel.rect, 0.0, stroke, egui::StrokeKind::Outside);
    }
}

/// The wobble at the upper edge of its panel.
pub(super) fn top_mm(view: &CourseView, course: &ConditionCourse) -> f64 {
    course.days.iter().filter_map(|day| day.wobble_mm).fold(view.window_mm[1], f64::max) * 1.12
}

/// The days in sight, and one on each side of them.
pub(super) fn shown(days: &[DayOfCourse], in_sight: [f64; 2]) -> &[DayOfCourse] {
    let from = days.partition_point(|day| f64::from(day.day) < in_sight[0]).saturating_sub(1);
    let to = days.partition_point(|day| f64::from(day.day) <= in_sight[1]) + 1;
    &days[from..to.min(days.len())]
}

/// The days in sight after what keys, wheel and dragging did.
fn zoomed_or_moved(
    ui: &Ui,
    response: &egui::Response,
    seen: &Panel,
    (mut in_sight, all): (Option<[f64; 2]>, [f64; 2]),
    around: f64,
) -> Option<[f64; 2]> {
    let now = |in_sight: Option<[f64; 2]>| in_sight.unwrap_or(all);
    let factor = f64::from(Zoom::FACTOR);
    match Zoom::from_keys(ui) {
        Some(Zoom::In) => in_sight = zoomed(now(in_sight), all, factor, around),
        Some(Zoom::Out) => in_sight = zoomed(now(in_sight), all, 1.0 / factor, around),
        Some(Zoom::All) => in_sight = None,
        None => {}
    }
    if let Some(at) = response.hover_pos() {
        let factor = f64::from(ui.input(egui::InputState::zoom_delta));
        if factor < 1.0 || 1.0 < factor {
            in_sight = zoomed(now(in_sight), all, factor, seen.day_at(at.x));
        }
    }
    if response.dragged() && 0.0 < seen.points_per_day() {
        let by = f64::from(-response.drag_delta().x / seen.points_per_day());
        in_sight = moved(now(in_sight), all, by);
    }
    in_sight
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

fn panels(rect: Rect, days: [f64; 2], tops: [f64; 3]) -> [Panel; 3] {
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
    days: &[DayOfCourse],
) {
    let [low, high] = view.window_mm;
    let band = Rect::from_x_y_ranges(panel.rect.x_range(), panel.y(high)..=panel.y(low));
    pen.painter.rect_filled(band, 0.0, pen.palette.band);
    for end in [low, high] {
        pen.painter.hline(panel.rect.x_range(), panel.y(end), Stroke::new(1.0, pen.quiet));
    }
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
    let known: Vec<(Pos2, bool)> = days
        .iter()
        .filter_map(|day| Some((panel.at(day.day, day.wobble_mm?), day.learning)))
        .collect();
    let inside = inside(pen, panel);
    for pair in known.windows(2) {
        inside.line_segment([pair[0].0, pair[1].0], Stroke::new(1.5, colour));
    }
    let radius = sized(panel, 5.0);
    for &(at, learning) in &known {
        // A first session stays to be seen, however crowded the days are.
        let (fill, radius) = if learning { (pen.palette.paper, 5.0) } else { (colour, radius) };
        inside.circle(at, radius, fill, Stroke::new(radius.min(2.0), colour));
    }
    // At the edge of the band that the last days leave free.
    let is_low = known.last().is_some_and(|(at, _)| band.center().y < at.y);
    let (at, anchor) = if is_low {
        (band.right_top() + vec2(-6.0, 4.0), Align2::RIGHT_TOP)
    } else {
        (band.right_bottom() - vec2(6.0, 4.0), Align2::RIGHT_BOTTOM)
    };
    text(pen, at, anchor, &(words.window)(view.window_mm), pen.quiet);
    if days.iter().any(|day| day.learning) {
        let at = panel.rect.right_top() - vec2(0.0, 4.0);
        text(pen, at, Align2::RIGHT_BOTTOM, words.learning, pen.quiet);
    }
}

/// What is beyond the days in sight is not drawn.
fn inside(pen: &Pen<'_>, panel: &Panel) -> Painter {
    pen.painter.with_clip_rect(panel.rect.intersect(pen.painter.clip_rect()))
}

/// The size of a mark that is `full` points large where days are far apart, and touches its
/// neighbours where they are not.
fn sized(panel: &Panel, full: f32) -> f32 {
    let apart = panel.points_per_day();
    if 0.0 < apart { full.min(0.45 * apart).max(0.75) } else { full }
}

fn within(panel: &Panel, day: i32) -> bool {
    panel.days[0] <= f64::from(day) && f64::from(day) <= panel.days[1]
}

fn ratings(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse], words: &CourseWords) {
    title(pen, panel, words.difficulty_title);
    ten(pen, panel);
    let (inside, half) = (inside(pen, panel), sized(panel, 6.0));
    for day in days {
        if let Some(points) = day.difficulty {
            let foot = panel.at(day.day, 0.0);
            let head = panel.at(day.day, f64::from(points));
            inside.line_segment([foot, head], Stroke::new(half.min(2.0), pen.ink));
            inside.hline(head.x - half..=head.x + half, head.y, Stroke::new(3.0, pen.ink));
        }
    }
}

fn pains(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse], words: &CourseWords) {
    let mut x = title(pen, panel, words.pain_title) + 12.0;
    for (index, name) in words.pain_marks.into_iter().enumerate() {
        let at = pos2(x + 6.0, panel.rect.top() - 11.0);
        pain_mark(pen.painter, pen.palette, index, (at, 6.0));
        let written = text(pen, at + vec2(12.0, 0.0), Align2::LEFT_CENTER, name, pen.quiet);
        x = written.right() + 14.0;
    }
    ten(pen, panel);
    let (inside, size) = (inside(pen, panel), sized(panel, 6.0));
    // Beside each other only where there is room for three.
    let apart = if panel.points_per_day() < PAIN_ROOM { 0.0 } else { 1.0 };
    for day in days {
        if let [Some(start), Some(worst), _] = day.pain {
            let ends = [start, worst].map(|points| panel.at(day.day, f64::from(points)));
            inside.line_segment(ends, Stroke::new(size.min(2.0), pen.palette.set(Side::B)));
        }
        for (index, points) in day.pain.iter().enumerate() {
            if let Some(points) = points {
                let at = panel.at(day.day, f64::from(*points));
                let at = at + vec2(apart * PAIN_APART[index], 0.0);
                pain_mark(&inside, pen.palette, index, (at, size));
            }
        }
    }
}

/// A ring at the start, a square at the worst, a cross the next morning; `size` is the ring's.
fn pain_mark(painter: &Painter, palette: Palette, index: usize, (at, size): (Pos2, f32)) {
    let stroke = Stroke::new(size.min(2.0), palette.set(Side::B));
    match index {
        0 => {
            painter.circle_stroke(at, size, stroke);
        }
        1 => {
            let square = Rect::from_center_size(at, egui::Vec2::splat(1.16 * size));
            painter.rect_filled(square, 0.0, stroke.color);
        }
        _ => {
            let reach = 0.83 * size;
            for (x, y) in [(reach, reach), (reach, -reach)] {
                painter.line_segment([at - vec2(x, y), at + vec2(x, y)], stroke);
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
        beside(pen, panel, y, &(pen.decimals)(value, digits), side);
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
        beside(pen, panel, y, &(pen.decimals)(value, 0), Side::A);
    }
}

fn dates(pen: &Pen<'_>, panel: &Panel, days: &[DayOfCourse]) {
    let days: Vec<&DayOfCourse> = days.iter().filter(|day| within(panel, day.day)).collect();
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
