//! The wobble of the last half minute as a line between two banks: the ends of its window.

use std::collections::VecDeque;

use acquisition::LiveView;
use egui::{Align2, Pos2, Rect, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::picture::{Chart, ChartPanel, Ink, KeyEntry, Look, Mark, Sample, Ticks};
use crate::strings::Language;
use crate::window::style::{Palette, Side};

/// How much of the past shows.
const SHOWN_S: f64 = 30.0;

/// The strip reaches so many times as high as the window's upper end (our own choice).
const HEADROOM: f64 = 1.75;

/// Wobble over time, as far as it shows.
#[derive(Debug, Default)]
pub(super) struct Trail {
    /// Board time in seconds and wobble in millimetres, in order.
    points: VecDeque<(f64, f64)>,
}

impl Trail {
    /// Takes the newest numbers; the same ones again change nothing.
    pub(super) fn take(&mut self, live: &LiveView) {
        let Some(sway) = live.sway else { return };
        let now_s = live.time_us as f64 / 1e6;
        if self.points.back().is_some_and(|&(last_s, _)| now_s <= last_s) {
            return;
        }
        self.points.push_back((now_s, sway.wobble_mm));
        while self.points.front().is_some_and(|&(first_s, _)| first_s < now_s - SHOWN_S) {
            self.points.pop_front();
        }
    }

    /// Forgets the stand before.
    pub(super) fn clear(&mut self) {
        self.points.clear();
    }

    /// Whether there is nothing of it yet.
    pub(super) fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// What shows of it as a picture to keep.
    pub(super) fn chart(&self, words: &Language, person: &str, window_mm: [f64; 2]) -> Chart {
        let now_s = self.points.back().map_or(0.0, |&(at_s, _)| at_s);
        let wobble = Look::line(Ink::A, 2.0);
        let points = self.points.iter().map(|&(at_s, mm)| [at_s - now_s, mm]).collect();
        let highest_mm = self.points.iter().map(|&(_, mm)| mm).fold(window_mm[1], f64::max);
        let edges = window_mm.map(|mm| Mark::Line {
            points: vec![[-SHOWN_S, mm], [0.0, mm]],
            look: Look::line(Ink::Quiet, 1.0),
        });
        let mut marks = vec![Mark::Area { across: None, upward: Some(window_mm) }];
        marks.extend(edges);
        marks.push(Mark::Line { points, look: wobble });
        let entry = |sample, text: &str| KeyEntry { sample, text: text.to_owned() };
        Chart {
            language: words.key,
            title: (words.picture.stand)(person),
            key: vec![
                entry(Sample::Line(wobble), words.stand.wobble_head),
                entry(Sample::Area, &(words.course.window)(window_mm)),
            ],
            across: words.picture.before_end.to_owned(),
            range: [-SHOWN_S, 0.0],
            ticks: Ticks::Round,
            tick_room: 60.0,
            width: 820.0,
            rooms: [70.0, 40.0],
            panels: vec![ChartPanel {
                upward: format!("{}, {}", words.stand.wobble_head, words.course.mm),
                height: 320.0,
                range: [0.0, highest_mm * 1.12],
                left: Ticks::Round,
                right: Vec::new(),
                marks,
            }],
            notes: vec![words.common.caution.to_owned()],
            about: words.stand.strip_about.to_owned(),
        }
    }
}

/// From time and wobble to points of the screen.
struct Scale {
    rect: Rect,
    now_s: f64,
    top_mm: f64,
}

impl Scale {
    #[expect(clippy::cast_possible_truncation, reason = "shares of a few hundred points")]
    fn place(&self, at_s: f64, wobble_mm: f64) -> Pos2 {
        let across = 1.0 - (self.now_s - at_s) / SHOWN_S;
        let up = (wobble_mm / self.top_mm).min(1.0);
        pos2(
            self.rect.left() + self.rect.width() * across as f32,
            self.rect.bottom() - self.rect.height() * up as f32,
        )
    }
}

/// Draws the strip over the whole width.
pub(super) fn strip_ui(
    ui: &mut Ui,
    words: &Language,
    trail: &Trail,
    window_mm: [f64; 2],
    height: f32,
) {
    let palette = Palette::of(ui.theme());
    let ink = ui.visuals().text_color();
    let size = vec2(ui.available_width(), height);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, words.stand.strip_about));
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 4.0, palette.paper);
    let now_s = trail.points.back().map_or(0.0, |&(at_s, _)| at_s);
    let inner = rect.shrink2(vec2(12.0, 24.0));
    let scale = Scale { rect: inner, now_s, top_mm: HEADROOM * window_mm[1] };
    let [low, high] = window_mm.map(|mm| scale.place(now_s, mm).y);
    painter.rect_filled(Rect::from_x_y_ranges(inner.x_range(), high..=low), 0.0, palette.band);
    let small = egui::TextStyle::Small.resolve(ui.style());
    for (mm, y) in window_mm.into_iter().zip([low, high]) {
        painter.hline(inner.x_range(), y, Stroke::new(1.5, ink));
        let text = (words.stand.wobble)(mm);
        painter.text(
            pos2(inner.left() + 4.0, y - 2.0),
            Align2::LEFT_BOTTOM,
            text,
            small.clone(),
            ink,
        );
    }
    for (text, x, align) in [
        (words.stand.strip_time[0], inner.left(), Align2::LEFT_BOTTOM),
        (words.stand.strip_time[1], inner.right(), Align2::RIGHT_BOTTOM),
    ] {
        painter.text(pos2(x, rect.bottom() - 4.0), align, text, small.clone(), ink);
    }
    let line: Vec<Pos2> =
        trail.points.iter().map(|&(at_s, wobble_mm)| scale.place(at_s, wobble_mm)).collect();
    let colour = palette.set(Side::A);
    if let Some(&end) = line.last() {
        // A plumb line down to nothing: how wide it is now.
        painter.vline(end.x, end.y..=inner.bottom(), Stroke::new(3.0, colour));
        painter.circle_filled(end, 6.0, colour);
    }
    painter.line(line, Stroke::new(3.0, colour));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strings::ENGLISH;

    #[test]
    fn a_picture_ends_with_the_stand_and_holds_the_highest_wobble() {
        let points = [(100.0, 5.0), (101.0, 60.0), (104.0, 20.0)];
        let trail = Trail { points: points.into() };
        let chart = trail.chart(&ENGLISH, "P-07", [6.35, 25.4]);
        let Some(Mark::Line { points, .. }) = chart.panels[0].marks.last() else {
            panic!("{chart:?}");
        };
        assert_eq!(*points, [[-4.0, 5.0], [-3.0, 60.0], [0.0, 20.0]]);
        assert!(60.0 < chart.panels[0].range[1]);
        assert!(chart.title.contains("P-07"));
    }
}
