//! A [`Chart`] drawn as a self-contained SVG.

use svg::Document;
use svg::node::element::path::Data;
use svg::node::element::{
    Circle, ClipPath, Definitions, Description, Group, Line, Path, Rectangle, Text, Title,
};

use super::chart::{Chart, ChartPanel, Form, Ink, KeyEntry, Look, Mark, Sample, Ticks};
use super::layout::{Along, Decimals};
use super::png::FONT_FAMILY;
use crate::strings::Language;

const PAPER: &str = "#fcfcfa";
const FAINT: &str = "#d5d9da";
const SHADE: &str = "#ebe6da";

/// Sizes of texts, in points.
const TITLE: f64 = 22.0;
const WORDS: f64 = 15.0;
const NUMBERS: f64 = 14.0;
const NOTES: f64 = 13.0;

/// Height of a line of the key, room above a panel for its name, and below all for the numbers.
const KEY_LINE: f64 = 24.0;
const NAME_ROOM: f64 = 34.0;
const NUMBER_ROOM: f64 = 50.0;
const NOTE_LINE: f64 = 18.0;

/// Length of a line's sample in the key.
const SAMPLE: f64 = 46.0;

impl Ink {
    const fn colour(self) -> &'static str {
        match self {
            Self::A => "#17607a",
            Self::B => "#b4511a",
            Self::Text => "#22282b",
            Self::Quiet => "#5d6467",
        }
    }
}

/// Draws a chart as an SVG that needs nothing else but the font its texts name.
pub fn chart_svg(chart: &Chart) -> String {
    let [left_room, right_room] = chart.rooms;
    let width = left_room + chart.width + right_room;
    let (key, key_bottom) = key_drawing(chart, width);
    let mut top = key_bottom;
    let mut clips = Definitions::new();
    let mut drawn = Group::new();
    for (index, panel) in chart.panels.iter().enumerate() {
        top += NAME_ROOM;
        let frame = Frame::new(chart, panel, top);
        let name = format!("panel-{index}");
        clips = clips.add(ClipPath::new().set("id", name.as_str()).add(frame.rectangle()));
        let is_last = index + 1 == chart.panels.len();
        drawn = drawn
            .add(frame.rectangle().set("fill", "#ffffff"))
            .add(grid(chart, panel, &frame, is_last))
            .add(marks(panel, &frame).set("clip-path", format!("url(#{name})")))
            .add(frame.rectangle().set("fill", "none").set("stroke", FAINT))
            .add(text(&panel.upward, left_room, top - 10.0, WORDS, "start", Ink::Text));
        top += panel.height;
    }
    let middle = left_room + chart.width / 2.0;
    top += NUMBER_ROOM;
    drawn = drawn.add(text(&chart.across, middle, top - 6.0, WORDS, "middle", Ink::Text));
    for note in &chart.notes {
        top += NOTE_LINE;
        drawn = drawn.add(text(note, left_room, top, NOTES, "start", Ink::Quiet));
    }
    let height = top + 16.0;
    let paper = Rectangle::new().set("width", width).set("height", height).set("fill", PAPER);
    Document::new()
        .set("width", width)
        .set("height", height)
        .set("viewBox", (0, 0, width, height))
        .set("role", "img")
        .add(Title::new(&chart.title))
        .add(Description::new().add(svg::node::Text::new(&chart.about)))
        .add(clips)
        .add(paper)
        .add(text(&chart.title, left_room, 34.0, TITLE, "start", Ink::Text))
        .add(key)
        .add(drawn)
        .to_string()
}

/// Where the values of one panel lie.
struct Frame {
    across: Along,
    upward: Along,
}

impl Frame {
    fn new(chart: &Chart, panel: &ChartPanel, top: f64) -> Self {
        let start = top + panel.height;
        Self {
            across: Along { start: chart.rooms[0], length: chart.width, range: chart.range },
            upward: Along { start, length: -panel.height, range: panel.range },
        }
    }

    fn at(&self, [across, upward]: [f64; 2]) -> (f64, f64) {
        (self.across.place(across), self.upward.place(upward))
    }

    fn top(&self) -> f64 {
        self.upward.start + self.upward.length
    }

    fn rectangle(&self) -> Rectangle {
        Rectangle::new()
            .set("x", self.across.start)
            .set("y", self.top())
            .set("width", self.across.length)
            .set("height", -self.upward.length)
    }

    fn line(&self, points: &[[f64; 2]]) -> Data {
        let mut data = Data::new();
        for (i, point) in points.iter().enumerate() {
            let at = self.at(*point);
            data = if i == 0 { data.move_to(at) } else { data.line_to(at) };
        }
        data
    }
}

fn text(words: &str, x: f64, y: f64, size: f64, anchor: &str, ink: Ink) -> Text {
    Text::new(words)
        .set("x", x)
        .set("y", y)
        .set("font-family", FONT_FAMILY)
        .set("font-size", size)
        .set("text-anchor", anchor)
        .set("fill", ink.colour())
}

/// The key in as many lines as it needs, and where it ends.
fn key_drawing(chart: &Chart, width: f64) -> (Group, f64) {
    /// A character takes about so much of its size (our own guess, on the wide side).
    const OF_SIZE: f64 = 0.56;
    let (mut x, mut y) = (chart.rooms[0], 34.0 + KEY_LINE + 6.0);
    let mut group = Group::new();
    for (index, entry) in chart.key.iter().enumerate() {
        let takes =
            sample_width(entry) + 10.0 + entry.text.chars().count() as f64 * WORDS * OF_SIZE;
        if 0 < index && width < x + takes {
            (x, y) = (chart.rooms[0], y + KEY_LINE);
        }
        let words = x + sample_width(entry) + 10.0;
        group = group.add(sample(entry, x, y - 5.0)).add(text(
            &entry.text,
            words,
            y,
            WORDS,
            "start",
            Ink::Text,
        ));
        x += takes + 18.0;
    }
    (group, if chart.key.is_empty() { 34.0 } else { y + 6.0 })
}

fn sample_width(entry: &KeyEntry) -> f64 {
    match entry.sample {
        Sample::Line(_) => SAMPLE,
        Sample::Area => SAMPLE / 2.0,
        Sample::Point(..) => 12.0,
    }
}

fn sample(entry: &KeyEntry, x: f64, y: f64) -> Group {
    match entry.sample {
        Sample::Line(look) => {
            let data = Data::new().move_to((x, y)).line_to((x + SAMPLE, y));
            Group::new().add(stroke(data, &look))
        }
        Sample::Point(form, look) => point((x + 6.0, y), form, &look),
        Sample::Area => Group::new().add(
            Rectangle::new()
                .set("x", x)
                .set("y", y - 7.0)
                .set("width", SAMPLE / 2.0)
                .set("height", 14)
                .set("fill", SHADE)
                .set("stroke", Ink::Quiet.colour()),
        ),
    }
}

fn straight(x1: f64, y1: f64, x2: f64, y2: f64) -> Line {
    Line::new().set("x1", x1).set("y1", y1).set("x2", x2).set("y2", y2)
}

/// Lines at the numbers of both axes, and the numbers; those across only below the last panel.
fn grid(chart: &Chart, panel: &ChartPanel, frame: &Frame, is_last: bool) -> Group {
    let (left, right) = (frame.across.start, frame.across.start + frame.across.length);
    let (top, bottom) = (frame.top(), frame.upward.start);
    let mut lines = Group::new().set("stroke", FAINT).set("stroke-width", 1);
    let mut numbers = Group::new();
    let decimals = Language::of(chart.language).decimals;
    for (value, number) in ticks(&chart.ticks, &frame.across, [80.0, chart.tick_room], decimals) {
        let x = frame.across.place(value);
        lines = lines.add(straight(x, top, x, bottom));
        if is_last {
            let number = text(&number, x, bottom + 20.0, NUMBERS, "middle", Ink::Text);
            numbers = numbers.add(number);
        }
    }
    for (value, number) in ticks(&panel.left, &frame.upward, [36.0, 16.0], decimals) {
        let y = frame.upward.place(value);
        lines = lines.add(straight(left, y, right, y));
        numbers = numbers.add(text(&number, left - 8.0, y + 5.0, NUMBERS, "end", Ink::Text));
    }
    for (value, words) in &panel.right {
        let y = frame.upward.place(*value);
        numbers = numbers.add(text(words, right + 8.0, y + 5.0, NUMBERS, "start", Ink::Text));
    }
    Group::new().add(lines).add(numbers)
}

/// The values of an axis with their texts, as many as find room: round ones, and named ones, at least
/// so many points from each other. Of the named ones the last always has room.
fn ticks(
    ticks: &Ticks,
    along: &Along,
    [round, apart]: [f64; 2],
    decimals: Decimals,
) -> Vec<(f64, String)> {
    let named = match ticks {
        Ticks::Round => return along.round(round, decimals),
        Ticks::Named(named) => named,
    };
    let [low, high] = along.range;
    let seen: Vec<&(f64, String)> =
        named.iter().filter(|(value, _)| (low..=high).contains(value)).collect();
    let Some((last, others)) = seen.split_last() else { return Vec::new() };
    let last_at = along.place(last.0);
    let mut kept: Vec<(f64, String)> = Vec::new();
    let mut before: Option<f64> = None;
    for tick in others {
        let at = along.place(tick.0);
        let far = |other: f64| apart <= (at - other).abs();
        if before.is_none_or(far) && far(last_at) {
            kept.push((*tick).clone());
            before = Some(at);
        }
    }
    kept.push((*last).clone());
    kept
}

fn stroke(line: Data, look: &Look) -> Path {
    Path::new()
        .set("d", line)
        .set("fill", "none")
        .set("stroke", look.ink.colour())
        .set("stroke-width", look.width)
        .set("stroke-opacity", look.opacity)
        .set("stroke-linejoin", "round")
        .set("stroke-dasharray", if look.dashed { "9 5" } else { "none" })
}

fn marks(panel: &ChartPanel, frame: &Frame) -> Group {
    let mut group = Group::new();
    for mark in &panel.marks {
        group = match mark {
            Mark::Area { across, upward } => group.add(area(frame, *across, *upward)),
            Mark::Line { points, look } => group.add(stroke(frame.line(points), look)),
            Mark::Point { at, form, look } => group.add(point(frame.at(*at), *form, look)),
        };
    }
    group
}

fn area(frame: &Frame, across: Option<[f64; 2]>, upward: Option<[f64; 2]>) -> Rectangle {
    let [left, right] = across.unwrap_or(frame.across.range).map(|v| frame.across.place(v));
    let [bottom, top] = upward.unwrap_or(frame.upward.range).map(|v| frame.upward.place(v));
    Rectangle::new()
        .set("x", left.min(right))
        .set("y", top.min(bottom))
        .set("width", (right - left).abs())
        .set("height", (bottom - top).abs())
        .set("fill", SHADE)
}

fn point((x, y): (f64, f64), form: Form, look: &Look) -> Group {
    let colour = look.ink.colour();
    let edge = |group: Group| group.set("stroke", colour).set("stroke-width", look.width);
    let disc = Circle::new().set("cx", x).set("cy", y).set("r", 4.5);
    match form {
        Form::Disc => edge(Group::new()).add(disc.set("fill", colour)),
        Form::Ring => edge(Group::new()).add(disc.set("fill", PAPER)),
        Form::Square => {
            let square = Rectangle::new().set("x", x - 4.0).set("y", y - 4.0);
            Group::new().add(square.set("width", 8).set("height", 8).set("fill", colour))
        }
        Form::Cross => edge(Group::new())
            .add(straight(x - 5.0, y - 5.0, x + 5.0, y + 5.0))
            .add(straight(x - 5.0, y + 5.0, x + 5.0, y - 5.0)),
        Form::Diamond => {
            let corners = Data::new().move_to((x, y - 6.5)).line_to((x + 6.5, y));
            let corners = corners.line_to((x, y + 6.5)).line_to((x - 6.5, y)).close();
            Group::new().add(Path::new().set("d", corners).set("fill", colour))
        }
        Form::Bar => edge(Group::new()).add(straight(x - 6.0, y, x + 6.0, y)),
        Form::Tick => edge(Group::new()).add(straight(x, y - 6.0, x, y + 6.0)),
    }
}

#[cfg(test)]
mod tests {
    use acquisition::home::LanguageKey;

    use super::*;
    use crate::strings::decimals;

    fn chart(panel: ChartPanel, ticks: Ticks) -> Chart {
        Chart {
            language: LanguageKey::English,
            title: "a < b".to_owned(),
            key: Vec::new(),
            across: "time, s".to_owned(),
            range: [0.0, 10.0],
            ticks,
            tick_room: 60.0,
            width: 500.0,
            rooms: [70.0, 30.0],
            panels: vec![panel],
            notes: Vec::new(),
            about: "about it".to_owned(),
        }
    }

    fn panel(marks: Vec<Mark>) -> ChartPanel {
        ChartPanel {
            upward: "mm".to_owned(),
            height: 200.0,
            range: [0.0, 20.0],
            left: Ticks::Round,
            right: Vec::new(),
            marks,
        }
    }

    #[test]
    fn right_is_right_and_more_is_higher() {
        let chart = chart(panel(Vec::new()), Ticks::Round);
        let frame = Frame::new(&chart, &chart.panels[0], 100.0);
        assert_eq!(frame.at([0.0, 0.0]), (70.0, 300.0));
        assert_eq!(frame.at([10.0, 20.0]), (570.0, 100.0));
    }

    #[test]
    fn axes_bear_their_names_and_texts_are_escaped() {
        let svg = chart_svg(&chart(panel(Vec::new()), Ticks::Round));
        for words in ["time, s", "\nmm\n", "a &lt; b", "about it"] {
            assert!(svg.contains(words), "{words}: {svg}");
        }
    }

    #[test]
    fn a_broken_line_is_broken_and_clipped_to_its_panel() {
        let points = vec![[0.0, 0.0], [30.0, 60.0]];
        let mark = Mark::Line { points, look: Look::dashed(Ink::B, 2.0) };
        let svg = chart_svg(&chart(panel(vec![mark]), Ticks::Round));
        assert!(svg.contains("stroke-dasharray=\"9 5\"") && svg.contains("url(#panel-0)"));
    }

    #[test]
    fn named_places_keep_the_last_and_leave_out_what_has_no_room() {
        let named = |n: f64| (n, format!("{n}"));
        let along = Along { start: 0.0, length: 100.0, range: [0.0, 10.0] };
        let names = Ticks::Named([0.0, 1.0, 5.0, 9.5, 10.0, 11.0].map(named).into());
        let kept: Vec<f64> =
            ticks(&names, &along, [1.0, 40.0], decimals).into_iter().map(|tick| tick.0).collect();
        assert_eq!(kept, [0.0, 5.0, 10.0]);
    }
}
