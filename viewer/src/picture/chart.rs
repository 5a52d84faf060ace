//! A drawing to keep, told in the units of what it shows: panels above each other over one
//! horizontal axis.

use acquisition::home::LanguageKey;

/// The few inks of a drawing. They differ in lightness too, and no mark differs in ink alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Of the first of two sets, and of what there is only one of.
    A,
    /// Of the second set, and of what is told from the first.
    B,
    /// Of texts.
    Text,
    /// Of texts and lines of less weight.
    Quiet,
}

/// How a line or the edge of a mark looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// Its ink.
    pub ink: Ink,
    /// Whether it is broken.
    pub dashed: bool,
    /// Its width, in points.
    pub width: f64,
    /// How much of what is below it hides, 0 to 1.
    pub opacity: f64,
}

impl Look {
    /// An unbroken line.
    pub const fn line(ink: Ink, width: f64) -> Self {
        Self { ink, dashed: false, width, opacity: 1.0 }
    }

    /// A broken line.
    pub const fn dashed(ink: Ink, width: f64) -> Self {
        Self { ink, dashed: true, width, opacity: 1.0 }
    }
}

/// The form of a single mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A filled disc.
    Disc,
    /// A disc that is not filled.
    Ring,
    /// A filled square.
    Square,
    /// Two strokes that cross.
    Cross,
    /// A filled square on its corner.
    Diamond,
    /// A short bar across.
    Bar,
    /// A short bar upwards.
    Tick,
}

/// Something that is drawn on a panel, in the units of its axes.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A shaded part; without ends it takes the whole panel in that direction.
    Area {
        /// Its ends on the horizontal axis.
        across: Option<[f64; 2]>,
        /// Its ends on the vertical axis.
        upward: Option<[f64; 2]>,
    },
    /// A line through points.
    Line {
        /// Horizontal and vertical value of each.
        points: Vec<[f64; 2]>,
        /// How it looks.
        look: Look,
    },
    /// A mark at a point.
    Point {
        /// Its horizontal and vertical value.
        at: [f64; 2],
        /// Its form.
        form: Form,
        /// How it looks.
        look: Look,
    },
}

/// A line or mark of the drawing with what it stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyEntry {
    /// What is drawn beside the words.
    pub sample: Sample,
    /// The words.
    pub text: String,
}

/// What stands beside the words of the key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sample {
    /// A line.
    Line(Look),
    /// A mark.
    Point(Form, Look),
    /// A shaded part.
    Area,
}

/// The numbers or names along an axis.
#[derive(Debug, Clone, PartialEq)]
pub enum Ticks {
    /// Round numbers.
    Round,
    /// These values, each with its text; those without room are left out.
    Named(Vec<(f64, String)>),
}

/// One panel.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartPanel {
    /// What its vertical axis shows, with its unit.
    pub upward: String,
    /// Height, in points.
    pub height: f64,
    /// Lowest and highest value.
    pub range: [f64; 2],
    /// What stands at the left of it.
    pub left: Ticks,
    /// What stands at the right of it, such as the same scale in another unit.
    pub right: Vec<(f64, String)>,
    /// What is drawn, the lowest first.
    pub marks: Vec<Mark>,
}

/// A drawing to keep.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// The language in whose signs its numbers are written.
    pub language: LanguageKey,
    /// What it is of.
    pub title: String,
    /// What its lines and marks are.
    pub key: Vec<KeyEntry>,
    /// What the horizontal axis shows, with its unit.
    pub across: String,
    /// First and last value of the horizontal axis.
    pub range: [f64; 2],
    /// What stands below the horizontal axis.
    pub ticks: Ticks,
    /// Room that a named value below the horizontal axis takes, in points.
    pub tick_room: f64,
    /// Width of the panels, in points.
    pub width: f64,
    /// Room at the left and at the right of the panels, in points.
    pub rooms: [f64; 2],
    /// The panels, the uppermost first.
    pub panels: Vec<ChartPanel>,
    /// What has to be said below it, a line each.
    pub notes: Vec<String>,
    /// What it shows, for whoever does not see it.
    pub about: String,
}
