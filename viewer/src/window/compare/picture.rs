//! The drawings of the comparison as pictures to keep.

use crate::picture::layout::{digits_of, round_places};
use crate::picture::{Chart, ChartPanel, Form, Ink, KeyEntry, Look, Mark, Sample, Ticks};
use crate::strings::Language;
use crate::window::compare::layout::share_of_log_axis;
use crate::window::compare::strip::scale_of;
use crate::window::compare::view::{
    AxisPair, CompareView, MeasureRow, Panel, Picked, Strip, picked_of,
};
use crate::window::style::Side;

/// What of a comparison is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawing {
    /// Sway paths over each other, with their ellipses.
    Path,
    /// The centre of pressure over time.
    OverTime,
    /// The power of the sway over frequency.
    Spectra,
}

/// Width of the panels of a picture, in points; and how many columns of it tell two points apart,
/// for it is drawn with two pixels a point.
const WIDTH: f64 = 820.0;
const N_COLUMNS: usize = 1640;

/// Side of the square of sway paths, in points.
const SQUARE: f64 = 640.0;

/// Height of a row of the differences, in points.
const ROW: f64 = 34.0;

/// Shares of a panel that stay empty above and below its lines (our own choice).
const AIR: f64 = 0.06;

const fn ink_of(side: Side) -> Ink {
    match side {
        Side::A => Ink::A,
        Side::B => Ink::B,
    }
}

/// The line by which a set is known: A's is unbroken, B's is broken.
const fn line_of(side: Side, width: f64) -> Look {
    match side {
        Side::A => Look::line(ink_of(side), width),
        Side::B => Look::dashed(ink_of(side), width),
    }
}

impl CompareView {
    /// One of the drawings of `picked` trials; `in_sight` is the part of the horizontal axis that
    /// is drawn, `None` for all of it.
    pub fn chart(
        &self,
        words: &Language,
        drawing: Drawing,
        picked: Picked,
        in_sight: Option<[f64; 2]>,
    ) -> Chart {
        match drawing {
            Drawing::Path => self.paths(words, picked),
            Drawing::OverTime => {
                let about = words.compare.time_about;
                self.pair(
                    words,
                    (words.picture.over_time, about),
                    &self.over_time,
                    picked,
                    in_sight,
                )
            }
            Drawing::Spectra => {
                let about = words.compare.spectrum_about;
                self.pair(words, (words.picture.spectra, about), &self.spectra, picked, in_sight)
            }
        }
    }

    /// The table of differences as a drawing: the rows that lead, or all.
    pub fn differences(&self, words: &Language, all_measures: bool) -> Chart {
        let rows: Vec<&MeasureRow> =
            self.rows.iter().filter(|row| row.leads || all_measures).collect();
        let scale = scale_of(&self.rows);
        let share = |ratio: f64| f64::from(share_of_log_axis(ratio, scale));
        let heights: Vec<f64> = (0..rows.len()).rev().map(|below| below as f64 + 0.5).collect();
        let mut marks = Vec::new();
        let (mut left, mut right) = (Vec::new(), Vec::new());
        for (row, &height) in rows.iter().zip(&heights) {
            let unit = if row.unit.is_empty() { String::new() } else { format!(", {}", row.unit) };
            left.push((height, format!("{}{unit}", row.name)));
            let change = row.change.as_ref();
            right.push((height, difference_words(words, row)));
            if let Some(strip) = change.and_then(|change| change.strip) {
                marks.extend(strip_marks(&strip, height, share));
            }
        }
        let quiet = Look::line(Ink::Quiet, 1.0);
        let top = rows.len() as f64;
        marks.push(Mark::Line { points: vec![[0.5, 0.0], [0.5, top]], look: quiet });
        let ratios =
            if scale < 2.0 { [0.67, 0.8, 1.0, 1.25, 1.5] } else { [0.25, 0.5, 1.0, 2.0, 4.0] };
        let [diamond, bar, band] = words.picture.differences_key;
        let sets = Side::BOTH.map(|side| self.set_line(words, side));
        let marked = |row: &&MeasureRow| {
            row.change.as_ref().is_some_and(|change| change.interval.ends_with('*'))
        };
        let from_table = rows.iter().any(marked).then(|| words.picture.from_table.to_owned());
        let entry = |sample, text: &str| KeyEntry { sample, text: text.to_owned() };
        let text = Look::line(Ink::Text, 2.0);
        Chart {
            language: words.key,
            title: words.picture.differences.to_owned(),
            key: vec![
                entry(Sample::Point(Form::Diamond, text), diamond),
                entry(Sample::Line(text), bar),
                entry(Sample::Area, band),
            ],
            across: (words.picture.differences_axis)(self.change_head),
            range: [0.0, 1.0],
            ticks: Ticks::Named(
                ratios.map(|ratio| (share(ratio), (words.compare.ratio)(ratio))).to_vec(),
            ),
            tick_room: 60.0,
            width: 460.0,
            rooms: [320.0, 430.0],
            panels: vec![ChartPanel {
                upward: words.compare.measure_head.to_owned(),
                height: ROW * top.max(1.0),
                range: [0.0, top],
                left: Ticks::Named(left),
                right,
                marks,
            }],
            notes: self
                .notes(words, sets.into_iter().chain(self.refusal.clone()).chain(from_table)),
            about: words.compare.band_note.to_owned(),
        }
    }

    fn key(&self, words: &Language, width: f64) -> Vec<KeyEntry> {
        let entry = |side: Side| KeyEntry {
            sample: Sample::Line(line_of(side, width)),
            text: self.set_line(words, side),
        };
        Side::BOTH.map(entry).into()
    }

    fn set_line(&self, words: &Language, side: Side) -> String {
        (words.picture.set)(side.letter(), &self.sets[side.index()].title)
    }

    /// What the drawing is, doubts about the recordings, and the caution.
    fn notes(&self, words: &Language, first: impl IntoIterator<Item = String>) -> Vec<String> {
        let mut notes: Vec<String> = first.into_iter().collect();
        for side in Side::BOTH {
            for doubt in &self.sets[side.index()].doubts {
                notes.push((words.picture.set)(side.letter(), &(words.compare.doubt)(doubt)));
            }
        }
        notes.push(words.common.caution.to_owned());
        notes
    }

    fn paths(&self, words: &Language, picked: Picked) -> Chart {
        let (mut paths, mut outlines) = (Vec::new(), Vec::new());
        let mut reach_mm = 1.0_f64;
        for side in Side::BOTH {
            for path in picked_of(&self.sets[side.index()].paths, picked[side.index()]) {
                let outlined = path.ellipse_mm.iter().flatten().map(|mm| mm.abs());
                reach_mm = outlined.fold(reach_mm.max(path.reach_mm), f64::max);
                let look = Look { opacity: 0.55, ..Look::line(ink_of(side), 0.8) };
                let lines = path.parts_mm.iter().cloned();
                let lines: Vec<Mark> = lines.map(|points| Mark::Line { points, look }).collect();
                paths.push((path.reach_mm, lines));
                let points = path.ellipse_mm.clone();
                outlines.push(Mark::Line { points, look: line_of(side, 2.4) });
            }
        }
        // The widest at the bottom, so that none hides a smaller one.
        paths.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        let range = [-reach_mm * (1.0 + AIR), reach_mm * (1.0 + AIR)];
        // The same numbers along both sides, for both have one scale.
        let (step, places) = round_places(range[0], range[1], (range[1] - range[0]) / 11.0);
        let ticks: Vec<(f64, String)> =
            places.into_iter().map(|mm| (mm, (words.decimals)(mm, digits_of(step)))).collect();
        Chart {
            language: words.key,
            title: words.picture.paths.to_owned(),
            key: self.key(words, 2.4),
            across: words.compare.ml_axis.to_owned(),
            range,
            ticks: Ticks::Named(ticks.clone()),
            tick_room: 44.0,
            width: SQUARE,
            rooms: [70.0, 40.0],
            panels: vec![ChartPanel {
                upward: words.compare.ap_axis.to_owned(),
                height: SQUARE,
                range,
                left: Ticks::Named(ticks),
                right: Vec::new(),
                marks: paths.into_iter().flat_map(|(_, path)| path).chain(outlines).collect(),
            }],
            notes: self.notes(words, [words.picture.paths_note.to_owned()]),
            about: words.compare.path_about.to_owned(),
        }
    }

    fn pair(
        &self,
        words: &Language,
        (title, about): (&str, &str),
        pair: &AxisPair,
        picked: Picked,
        in_sight: Option<[f64; 2]>,
    ) -> Chart {
        let range = in_sight.unwrap_or_else(|| whole(pair, picked));
        Chart {
            language: words.key,
            title: title.to_owned(),
            key: self.key(words, 1.5),
            across: pair.across.clone(),
            range,
            ticks: Ticks::Round,
            tick_room: 60.0,
            width: WIDTH,
            rooms: [78.0, 40.0],
            panels: pair.panels.iter().map(|panel| lines(panel, picked, range)).collect(),
            notes: self.notes(words, []),
            about: about.to_owned(),
        }
    }
}

/// The lines of a panel between two places, high enough for all that is seen of them.
fn lines(panel: &Panel, picked: Picked, [left, right]: [f64; 2]) -> ChartPanel {
    let (mut marks, mut range) = (Vec::new(), None);
    for side in Side::BOTH {
        for line in picked_of(&panel.lines[side.index()], picked[side.index()]) {
            range = joined(range, line.series.extremes(left, right));
            marks.push(Mark::Line {
                points: line.series.columns(left, right, N_COLUMNS),
                look: line_of(side, 1.3),
            });
        }
    }
    let [low, high] = range.filter(|[low, high]| low < high).unwrap_or([0.0, 1.0]);
    let air = AIR * (high - low);
    ChartPanel {
        upward: panel.upward.clone(),
        height: 260.0,
        range: [low - air, high + air],
        left: Ticks::Round,
        right: Vec::new(),
        marks,
    }
}

/// From the first to the last place of all lines.
fn whole(pair: &AxisPair, picked: Picked) -> [f64; 2] {
    let lines = pair.panels.iter().flat_map(|panel| {
        Side::BOTH
            .into_iter()
            .flat_map(|side| picked_of(&panel.lines[side.index()], picked[side.index()]))
    });
    let all = lines.fold(None, |all, line| joined(all, line.series.ends()));
    all.unwrap_or([0.0, 1.0])
}

/// Both ranges in one.
fn joined(one: Option<[f64; 2]>, other: Option<[f64; 2]>) -> Option<[f64; 2]> {
    match (one, other) {
        (Some([a, b]), Some([c, d])) => Some([a.min(c), b.max(d)]),
        (one, other) => one.or(other),
    }
}

/// The change of a row with its interval and whether it is beyond chance, or why there is none.
fn difference_words(words: &Language, row: &MeasureRow) -> String {
    match &row.change {
        Some(change) => (words.picture.difference)(&change.text, &change.interval, &row.verdict),
        None if row.verdict.is_empty() => words.compare.no_change.to_owned(),
        None => row.verdict.clone(),
    }
}

/// Band, bar and diamond of a row around `height`.
fn strip_marks(strip: &Strip, height: f64, share: impl Fn(f64) -> f64) -> Vec<Mark> {
    let mut marks = Vec::new();
    if let Some(detectable) = strip.detectable {
        let across = Some([share(1.0 / detectable), share(detectable)]);
        marks.push(Mark::Area { across, upward: Some([height - 0.38, height + 0.38]) });
    }
    let look = Look::line(Ink::Text, 2.0);
    if let Some(ends) = strip.interval {
        let ends = ends.map(|ratio| [share(ratio), height]);
        marks.push(Mark::Line { points: ends.to_vec(), look });
        let inside = ends.into_iter().filter(|[share, _]| 0.0 < *share && *share < 1.0);
        marks.extend(inside.map(|at| Mark::Point { at, form: Form::Tick, look }));
    }
    marks.push(Mark::Point { at: [share(strip.ratio), height], form: Form::Diamond, look });
    marks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::strings::ENGLISH;
    use crate::window::compare::series::Series;
    use crate::window::compare::view::{ChangeView, LineView, SetView, VerdictMark};

    fn view() -> CompareView {
        let set = |title: &str| SetView {
            title: title.to_owned(),
            doubts: Vec::new(),
            paths: Vec::new(),
        };
        let line = |values: &[f64]| {
            vec![LineView { name: String::new(), series: Series::new(0.0, 1.0, values.to_vec()) }]
        };
        let panel = |upward: &str| Panel {
            upward: upward.to_owned(),
            lines: [line(&[0.0, 1.0, -2.0, 0.5]), line(&[0.0, 0.0, 0.0, 0.0, 0.0, 40.0])],
        };
        let pair = || AxisPair { across: "time".to_owned(), panels: [panel("ML"), panel("AP")] };
        let strip = Strip { ratio: 2.0, interval: Some([1.5, 9.0]), detectable: Some(1.25) };
        CompareView {
            sets: [set("one"), set("other")],
            over_time: pair(),
            spectra: pair(),
            change_head: "B / A",
            rows: vec![MeasureRow {
                name: "Wobble".to_owned(),
                unit: "mm".to_owned(),
                definition: "",
                leads: true,
                values: [String::new(), String::new()],
                change: Some(ChangeView {
                    text: "×2".to_owned(),
                    interval: "×1.5 to ×9".to_owned(),
                    strip: Some(strip),
                }),
                detectable: String::new(),
                verdict: "yes".to_owned(),
                mark: VerdictMark::Exceeds,
            }],
            refusal: None,
        }
    }

    #[test]
    fn the_whole_of_all_lines_is_drawn_unless_a_part_is_in_sight() {
        let chart = view().chart(&ENGLISH, Drawing::OverTime, [None, None], None);
        assert_eq!(Some(chart.range), Some([0.0, 5.0]));
        let all = [-2.0 - 42.0 * AIR, 40.0 + 42.0 * AIR];
        assert_eq!(Some(chart.panels[0].range), Some(all));
        let part = view().chart(&ENGLISH, Drawing::OverTime, [None, None], Some([0.0, 3.0]));
        assert_eq!(Some(part.range), Some([0.0, 3.0]));
        let no_peak_beyond = [-2.0 - 3.0 * AIR, 1.0 + 3.0 * AIR];
        assert_eq!(Some(part.panels[1].range), Some(no_peak_beyond));
        let one = view().chart(&ENGLISH, Drawing::OverTime, [None, Some(7)], None);
        assert_eq!(
            (one.range, one.panels[0].marks.len()),
            ([0.0, 3.0], 1),
            "B has no eighth trial"
        );
    }

    #[test]
    fn a_ratio_has_its_band_bar_and_diamond_and_no_end_beyond_the_scale() {
        let chart = view().differences(&ENGLISH, false);
        let marks = &chart.panels[0].marks;
        let forms: Vec<(Form, [f64; 2])> = marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Point { at, form, .. } => Some((*form, *at)),
                Mark::Area { .. } | Mark::Line { .. } => None,
            })
            .collect();
        let [(Form::Tick, low), (Form::Diamond, middle)] = forms[..] else { panic!("{forms:?}") };
        assert!(0.5 < low[0] && low[0] < middle[0] && middle[0] < 1.0, "{forms:?}");
        let Mark::Area { across: Some([left, right]), .. } = marks[0] else { panic!("{marks:?}") };
        assert!((left + right - 1.0).abs() < 1e-6, "a factor is as far to both sides");
        assert_eq!(chart.panels[0].right[0].1, "×2 (×1.5 to ×9); beyond chance: yes");
    }
}
