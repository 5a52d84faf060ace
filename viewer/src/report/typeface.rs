//! The one typeface of the pages: what it can print, how wide a text is, where lines break.

use rustybuzz::{Face, UnicodeBuffer};

/// Takes the place of a character that the typeface has no picture of.
const UNPRINTABLE: char = '?';

/// The typeface that comes with egui, so that every machine prints the same.
pub(super) struct Typeface {
    face: Face<'static>,
}

impl Typeface {
    pub(super) fn new() -> Self {
        let face =
            Face::from_slice(Self::bytes(), 0).expect("the font that comes with egui is one");
        Self { face }
    }

    pub(super) const fn bytes() -> &'static [u8] {
        epaint_default_fonts::UBUNTU_LIGHT
    }

    /// The text as it can be printed on one line: white space becomes single spaces, what has no
    /// picture becomes `?`, what has none on purpose goes.
    pub(super) fn printable(&self, text: &str) -> String {
        let mut printable = String::with_capacity(text.len());
        for word in text.split(|c: char| c.is_whitespace() || c.is_control()) {
            let before = printable.len();
            if 0 < before {
                printable.push(' ');
            }
            printable.extend(word.chars().filter_map(|c| self.letter(c)));
            if printable.len() <= before + 1 && printable.ends_with(' ') {
                printable.pop();
            }
        }
        printable
    }

    fn letter(&self, c: char) -> Option<char> {
        // Marks of direction and joining: they have no picture of their own.
        let is_mark = matches!(c,
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{2069}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}');
        let is_private = matches!(c, '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..);
        if is_mark {
            return None;
        }
        let has_picture = !is_private && self.face.glyph_index(c).is_some_and(|glyph| glyph.0 != 0);
        Some(if has_picture { c } else { UNPRINTABLE })
    }

    /// Width of printable text in points, with the letters set as close as the typeface says.
    pub(super) fn width(&self, text: &str, size: f32) -> f32 {
        let mut letters = UnicodeBuffer::new();
        letters.push_str(text);
        letters.set_direction(rustybuzz::Direction::LeftToRight);
        letters.guess_segment_properties();
        let set = rustybuzz::shape(&self.face, &[], letters);
        let units: i32 = set.glyph_positions().iter().map(|glyph| glyph.x_advance).sum();
        units as f32 * size / self.face.units_per_em() as f32
    }

    /// The text made printable and broken at spaces so that no line is wider than `width`; a word
    /// that is wider by itself is broken where the line ends. At least one line.
    pub(super) fn lines(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in self.printable(text).split(' ') {
            let joined = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if self.width(&joined, size) <= width {
                line = joined;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for c in word.chars() {
                line.push(c);
                if width < self.width(&line, size) && 1 < line.chars().count() {
                    line.pop();
                    lines.push(std::mem::replace(&mut line, c.to_string()));
                }
            }
        }
        lines.push(line);
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_becomes_one_printable_line() {
        let face = Typeface::new();
        for (text, expected) in [
            ("", ""),
            ("  two\n\twords\u{0} ", "two words"),
            ("Zoë, 2–3 × 4 mm² ±5 °", "Zoë, 2–3 × 4 mm² ±5 °"),
            ("漢字", "??"),
            ("a\u{200f}b\u{ad}c", "abc"),
            ("\u{e0ff}", "?"),
        ] {
            assert_eq!(face.printable(text), expected, "{text:?}");
        }
    }

    #[test]
    fn lines_fit_and_lose_nothing() {
        let face = Typeface::new();
        let text = format!("one two {} three", "x".repeat(300));
        for width in [1.0, 30.0, 100.0, 500.0] {
            let lines = face.lines(&text, 10.0, width);
            for line in &lines {
                assert!(face.width(line, 10.0) <= width || line.chars().count() == 1, "{line}");
            }
            let letters = |text: &str| text.replace(' ', "");
            assert_eq!(letters(&lines.concat()), letters(&text));
        }
        assert_eq!(face.lines("", 10.0, 100.0), [""]);
    }
}
