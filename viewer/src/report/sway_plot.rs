//! Sway paths of one condition, around their own means.

use analysis::Cop;

use super::figure::{Anchor, Colour, Figure, Ink, label, round_step, thinned, tick_text};
use super::typeface::Typeface;
use crate::strings::Language;

/// More paths than this would be a blot; the latest are drawn, and how many is said.
const MOST_PATHS: usize = 6;

const SIZE: f32 = 8.0;
const TITLE_SIZE: f32 = 9.0;
const TITLE_LINE: f32 = 11.0;
const MOST_TITLE_LINES: usize = 3;

/// What the plots of a page have in common, so that they can be compared and stand level.
#[derive(Debug, Clone, Copy)]
pub(super) struct SwayFrame {
    /// Width of one drawing, in points.
    pub(super) width: f32,
    /// How far the drawing reaches to each side, in millimetres.
    pub(super) reach_mm: f64,
    /// Lines kept for the title.
    pub(super) n_title_lines: usize,
}

/// Sway paths to draw, in millimetres around the same origin.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SwayPlot {
    /// What they are of, such as a condition in words.
    pub title: String,
    /// One path a trial, the latest last.
    pub paths: Vec<Vec<Cop>>,
    /// Outline of one ellipse a trial, in the same order; may be empty.
    pub ellipses: Vec<Vec<Cop>>,
}

impl SwayPlot {
    /// How far paths and ellipses reach from the origin, in millimetres; 0 for an empty plot.
    pub(super) fn reach_mm(&self) -> f64 {
        let latest = |lines: &'_ [Vec<Cop>]| lines.len().saturating_sub(MOST_PATHS);
        self.paths[latest(&self.paths)..]
            .iter()
            .chain(&self.ellipses[latest(&self.ellipses)..])
            .flatten()
            .map(|point| point.ml_mm.abs().max(point.ap_mm.abs()))
            .filter(|reach| reach.is_finite())
            .fold(0.0, f64::max)
    }

    /// How many lines the title takes over a drawing `width` points wide.
    pub(super) fn n_title_lines(&self, face: &Typeface, width: f32) -> usize {
        face.lines(&self.title, TITLE_SIZE, width).len().min(MOST_TITLE_LINES)
    }

    /// A drawing as large as `frame` says.
    pub(super) fn figure(&self, face: &Typeface, frame: SwayFrame, language: &Language) -> Figure {
        let SwayFrame { width, reach_mm, n_title_lines } = frame;
        let words = &language.report;
        let titles = face.lines(&self.title, TITLE_SIZE, width);
        let mut inks: Vec<Ink> = Vec::new();
        let top = 5.0 + n_title_lines as f32 * TITLE_LINE;
        let n_lines = titles.len().min(n_title_lines);
        for (i, title) in titles.iter().take(n_lines).enumerate() {
            let at = [0.0, top - 5.0 - TITLE_LINE * (n_lines - 1 - i) as f32];
            inks.push(label(face, title, at, TITLE_SIZE, Anchor::Start, Colour::Ink));
        }
        let (left, side) = (18.0, width - 20.0);
        let reach_mm = if 0.0 < reach_mm { reach_mm * 1.05 } else { 10.0 };
        let at = |point: &Cop| {
            [
                left + side * share((point.ml_mm + reach_mm) / (2.0 * reach_mm)),
                top + side * share((reach_mm - point.ap_mm) / (2.0 * reach_mm)),
            ]
        };
        let step = round_step(reach_mm, 3.0);
        for n in -3_i32..=3 {
            let tick = f64::from(n) * step;
            if reach_mm < tick.abs() {
                continue;
            }
            let colour = if n == 0 { Colour::Quiet } else { Colour::Hairline };
            let [x, y] = at(&Cop { ml_mm: tick, ap_mm: tick });
            inks.push(Ink::line(vec![[x, top], [x, top + side]], 0.4, colour));
            inks.push(Ink::line(vec![[left, y], [left + side, y]], 0.4, colour));
            let text = tick_text(language, tick, step);
            let below = [x, top + side + SIZE + 1.0];
            inks.push(label(face, &text, below, SIZE - 1.0, Anchor::Middle, Colour::Quiet));
            let beside = [left - 3.0, y + 2.5];
            inks.push(label(face, &text, beside, SIZE - 1.0, Anchor::End, Colour::Quiet));
        }
        let first = self.paths.len().saturating_sub(MOST_PATHS);
        for path in &self.paths[first..] {
            inks.push(Ink::line(thinned(path.iter().map(at)), 0.35, Colour::Deep));
        }
        for ellipse in &self.ellipses[self.ellipses.len().saturating_sub(MOST_PATHS)..] {
            let points = thinned(ellipse.iter().map(at));
            inks.push(Ink::Line { points, width: 1.0, colour: Colour::Warm, dashed: true });
        }
        let mut bottom = top + side + 2.0 * SIZE + 4.0;
        let n_drawn = self.paths.len() - first;
        for line in [words.sway_axes.to_owned(), (words.paths_drawn)(n_drawn, self.paths.len())] {
            inks.push(label(face, &line, [left, bottom], SIZE - 1.0, Anchor::Start, Colour::Quiet));
            bottom += SIZE + 1.0;
        }
        Figure {
            width,
            height: bottom,
            inks,
            alternative: (words.sway_alternative)(&self.title, n_drawn, reach_mm),
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a place on paper needs no more digits")]
fn share(of: f64) -> f32 {
    of as f32
}
