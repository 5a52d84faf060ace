//! Where things stand: blocks flow down a column and over to the next page.

use super::figure::{Anchor, Colour, Figure, Ink, label};
use super::paper::Paper;
use super::typeface::Typeface;

/// White at each side, in points: 15 mm, which every printer leaves.
pub(super) const MARGIN: f32 = 42.5;

/// White below the foot of a page, in points: 10 mm.
const BELOW_FOOT: f32 = 28.0;

/// Height of the foot with some white over it.
const FOOT: f32 = 52.0;

/// Height of the foot itself: four small lines or three larger ones.
const FOOT_LINES: f32 = 42.0;

/// Lines are so many times as far apart as their letters are high.
const LEADING: f32 = 1.35;

/// How a text looks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Style {
    pub(super) size: f32,
    pub(super) colour: Colour,
    /// White below the block.
    pub(super) after: f32,
}

/// What is drawn together and read as one.
#[derive(Debug)]
pub(super) struct Leaf {
    pub(super) page: usize,
    pub(super) inks: Vec<Ink>,
    pub(super) kind: LeafKind,
}

/// What a leaf is to a reader who does not see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LeafKind {
    Text,
    Drawing,
    /// A rule or a page number: not read.
    Decoration,
    /// Repeated at the foot of a page: not read.
    Foot,
}

/// The document in reading order.
#[derive(Debug)]
pub(super) enum Part {
    /// Index of a leaf.
    Leaf(usize),
    Group(Role, Vec<Part>),
}

/// What a group is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Role {
    /// Level, from 1, and text.
    Heading(u16, String),
    Paragraph,
    List,
    Item,
    ItemText,
    Table,
    Row,
    ColumnHead,
    RowHead,
    Cell,
    /// Alternative text, page, and left, top, right, bottom in points.
    Figure(String, usize, [f32; 4]),
}

/// A heading for the list of contents.
#[derive(Debug)]
pub(super) struct Bookmark {
    pub(super) text: String,
    pub(super) page: usize,
    pub(super) top: f32,
}

/// Pages being filled.
pub(super) struct Pages {
    pub(super) paper: Paper,
    pub(super) face: Typeface,
    pub(super) leaves: Vec<Leaf>,
    pub(super) parts: Vec<Part>,
    pub(super) bookmarks: Vec<Bookmark>,
    pub(super) count: usize,
    y: f32,
}

impl Pages {
    pub(super) fn new(paper: Paper) -> Self {
        Self {
            paper,
            face: Typeface::new(),
            leaves: Vec::new(),
            parts: Vec::new(),
            bookmarks: Vec::new(),
            count: 1,
            y: MARGIN,
        }
    }

    /// Width of the column.
    pub(super) fn width(&self) -> f32 {
        self.paper.size()[0] - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        self.paper.size()[1] - BELOW_FOOT - FOOT
    }

    /// Where the next block begins, from the top of the page.
    pub(super) fn y(&self) -> f32 {
        self.y
    }

    pub(super) fn advance(&mut self, by: f32) {
        self.y += by;
    }

    /// Goes to the next page if less than `height` is left on this one.
    pub(super) fn keep(&mut self, height: f32) {
        if self.bottom() < self.y + height && MARGIN < self.y {
            self.count += 1;
            self.y = MARGIN;
        }
    }

    /// Adds a leaf on the page being filled and gives its place in the reading order.
    pub(super) fn leaf(&mut self, inks: Vec<Ink>, kind: LeafKind) -> Part {
        self.leaves.push(Leaf { page: self.count - 1, inks, kind });
        Part::Leaf(self.leaves.len() - 1)
    }

    /// Sets `text` from `left` on, at most `width` wide, over to further pages if it must.
    pub(super) fn text_lines(
        &mut self,
        text: &str,
        left: f32,
        width: f32,
        style: Style,
    ) -> Vec<Part> {
        let lines = self.face.lines(text, style.size, width);
        let mut parts = Vec::with_capacity(lines.len());
        for text in lines {
            self.keep(style.size * LEADING);
            let at = [left, self.y + style.size];
            let ink = Ink::Text { at, size: style.size, colour: style.colour, text };
            parts.push(self.leaf(vec![ink], LeafKind::Text));
            self.y += style.size * LEADING;
        }
        parts
    }

    /// A heading that stays with what follows, of which at least `with` points are on its page.
    pub(super) fn heading(&mut self, level: u16, text: &str, style: Style, with: f32) {
        self.keep(style.size * LEADING + style.after + with);
        let printable = self.face.printable(text);
        let (page, top) = (self.count - 1, self.y);
        self.bookmarks.push(Bookmark { text: printable.clone(), page, top });
        let parts = self.text_lines(text, MARGIN, self.width(), style);
        self.parts.push(Part::Group(Role::Heading(level, printable), parts));
        self.y += style.after;
    }

    pub(super) fn paragraph(&mut self, text: &str, style: Style) {
        let parts = self.text_lines(text, MARGIN, self.width(), style);
        self.parts.push(Part::Group(Role::Paragraph, parts));
        self.y += style.after;
    }

    pub(super) fn list(&mut self, items: &[String], style: Style) {
        let indent = 1.2 * style.size;
        let mut list = Vec::with_capacity(items.len());
        for item in items {
            self.keep(style.size * LEADING);
            let half = 0.14 * style.size;
            let middle = [MARGIN + 0.45 * style.size, self.y + 0.68 * style.size];
            let bullet = Ink::rectangle(
                middle[0] - half,
                middle[1] - half,
                middle[0] + half,
                middle[1] + half,
                Colour::Deep,
            );
            self.leaf(vec![bullet], LeafKind::Decoration);
            let text = self.text_lines(item, MARGIN + indent, self.width() - indent, style);
            list.push(Part::Group(Role::Item, vec![Part::Group(Role::ItemText, text)]));
            self.y += style.after;
        }
        if !list.is_empty() {
            self.parts.push(Part::Group(Role::List, list));
        }
    }

    /// A rule over the whole column.
    pub(super) fn rule(&mut self, colour: Colour, width: f32, after: f32) {
        let points = vec![[MARGIN, self.y], [MARGIN + self.width(), self.y]];
        self.leaf(vec![Ink::line(points, width, colour)], LeafKind::Decoration);
        self.y += after;
    }

    /// Figures side by side.
    pub(super) fn figures(&mut self, figures: Vec<Figure>, between: f32, after: f32) {
        let tallest = figures.iter().map(|figure| figure.height).fold(0.0, f32::max);
        self.keep(tallest);
        let mut left = MARGIN;
        for figure in figures {
            let by = [left, self.y];
            let inks = figure.inks.into_iter().map(|ink| ink.moved(by)).collect();
            let bounds = [by[0], by[1], by[0] + figure.width, by[1] + figure.height];
            let alternative = self.face.printable(&figure.alternative);
            let role = Role::Figure(alternative, self.count - 1, bounds);
            let drawing = self.leaf(inks, LeafKind::Drawing);
            self.parts.push(Part::Group(role, vec![drawing]));
            left += figure.width + between;
        }
        self.y += tallest + after;
    }

    /// Writes the foot of every page. On the last it is part of what is read, once.
    pub(super) fn feet(&mut self, sentence: &str, size: f32, page_of: fn(usize, usize) -> String) {
        let [width, height] = self.paper.size();
        let lines = self.face.lines(sentence, size, self.width() - 90.0);
        let top = height - BELOW_FOOT - FOOT_LINES;
        for page in 0..self.count {
            let rule = Ink::line(vec![[MARGIN, top], [width - MARGIN, top]], 0.5, Colour::Hairline);
            self.leaves.push(Leaf { page, inks: vec![rule], kind: LeafKind::Decoration });
            let is_last = page + 1 == self.count;
            let mut read = Vec::new();
            for (i, text) in lines.iter().enumerate() {
                let at = [MARGIN, top + (i as f32 + 1.0) * size * LEADING];
                let text = text.clone();
                let ink = Ink::Text { at, size, colour: Colour::Quiet, text };
                let kind = if is_last { LeafKind::Text } else { LeafKind::Foot };
                self.leaves.push(Leaf { page, inks: vec![ink], kind });
                read.push(Part::Leaf(self.leaves.len() - 1));
            }
            if is_last {
                self.parts.push(Part::Group(Role::Paragraph, read));
            }
            let text = page_of(page + 1, self.count);
            let at = [width - MARGIN, top + size * LEADING];
            let number = label(&self.face, &text, at, size, Anchor::End, Colour::Quiet);
            self.leaves.push(Leaf { page, inks: vec![number], kind: LeafKind::Foot });
        }
    }
}
