//! What is drawn: texts, lines and areas, in points from the top left.

use super::typeface::Typeface;
use crate::strings::Language;

/// The few colours of the pages. They differ in lightness too: a page printed in grey stays
/// readable, and colour is nowhere the only difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Colour {
    Ink,
    /// Text of less weight.
    Quiet,
    /// Paths, points and rules.
    Deep,
    /// Ellipses and marks.
    Warm,
    Hairline,
    Band,
}

impl Colour {
    pub(super) const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Ink => [0x1d, 0x22, 0x28],
            Self::Quiet => [0x55, 0x5a, 0x5e],
            Self::Deep => [0x17, 0x60, 0x7a],
            Self::Warm => [0xb4, 0x51, 0x1a],
            Self::Hairline => [0xcf, 0xc9, 0xbd],
            Self::Band => [0xec, 0xe6, 0xd8],
        }
    }
}

/// One stroke of the pen.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ink {
    /// A printable text with its baseline beginning at `at`.
    Text { at: [f32; 2], size: f32, colour: Colour, text: String },
    /// A line through points.
    Line { points: Vec<[f32; 2]>, width: f32, colour: Colour, dashed: bool },
    /// A filled outline.
    Area { points: Vec<[f32; 2]>, colour: Colour },
}

impl Ink {
    pub(super) fn line(points: Vec<[f32; 2]>, width: f32, colour: Colour) -> Self {
        Self::Line { points, width, colour, dashed: false }
    }

    pub(super) fn rectangle(left: f32, top: f32, right: f32, bottom: f32, colour: Colour) -> Self {
        let points = vec![[left, top], [right, top], [right, bottom], [left, bottom]];
        Self::Area { points, colour }
    }

    pub(super) fn moved(mut self, by: [f32; 2]) -> Self {
        match &mut self {
            Self::Text { at, .. } => *at = [at[0] + by[0], at[1] + by[1]],
            Self::Line { points, .. } | Self::Area { points, .. } => {
                for point in points {
                    *point = [point[0] + by[0], point[1] + by[1]];
                }
            }
        }
        self
    }
}

/// A picture with the words that stand for it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figure {
    pub(super) width: f32,
    pub(super) height: f32,
    pub(super) inks: Vec<Ink>,
    /// What it shows, for a reader who does not see it.
    pub(super) alternative: String,
}

/// Where a text stands against its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A text anchored at a point; what cannot be printed is replaced.
pub(super) fn label(
    face: &Typeface,
    text: &str,
    at: [f32; 2],
    size: f32,
    anchor: Anchor,
    colour: Colour,
) -> Ink {
    let text = face.printable(text);
    let width = face.width(&text, size);
    let left = match anchor {
        Anchor::Start => at[0],
        Anchor::Middle => at[0] - width / 2.0,
        Anchor::End => at[0] - width,
    };
    Ink::Text { at: [left, at[1]], size, colour, text }
}

/// A number as an axis shows it: so many decimals as its step needs.
pub(super) fn tick_text(language: &Language, tick: f64, step: f64) -> String {
    let digits = [1.0, 0.1].into_iter().filter(|unit| step < *unit).count();
    (language.decimals)(tick, digits)
}

/// A step of 1, 2 or 5 times a power of ten with which `reach` takes at most `most` steps.
pub(super) fn round_step(reach: f64, most: f64) -> f64 {
    let mut decade = 0.01;
    for _ in 0..12 {
        for step in [decade, 2.0 * decade, 5.0 * decade] {
            if reach / step <= most {
                return step;
            }
        }
        decade *= 10.0;
    }
    reach / most
}

/// Leaves out points that cannot be told from the last one on paper, and those that are no number.
pub(super) fn thinned(points: impl Iterator<Item = [f32; 2]>) -> Vec<[f32; 2]> {
    /// A sixth of a point is a hair on paper (our own choice).
    const NEAREST: f32 = 1.0 / 6.0;
    let mut kept: Vec<[f32; 2]> = Vec::new();
    for point in points {
        if !(point[0].is_finite() && point[1].is_finite()) {
            continue;
        }
        let is_new = kept.last().is_none_or(|last| {
            NEAREST <= (point[0] - last[0]).abs() || NEAREST <= (point[1] - last[1]).abs()
        });
        if is_new {
            kept.push(point);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        for (reach, expected) in
            [(0.3, 0.1), (1.0, 0.2), (25.4, 10.0), (26.0, 10.0), (1234.0, 500.0)]
        {
            let step = round_step(reach, 5.0);
            assert!((step - expected).abs() < 1e-9 * expected, "{reach}: {step}");
        }
    }

    #[test]
    fn thinning_keeps_the_form_and_drops_what_is_no_number() {
        let points = [[0.0, 0.0], [0.1, 0.0], [f32::NAN, 1.0], [1.0, 0.0], [1.0, 0.05], [1.0, 3.0]];
        assert_eq!(thinned(points.into_iter()), [[0.0, 0.0], [1.0, 0.0], [1.0, 3.0]]);
    }
}
