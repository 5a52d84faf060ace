//! Draws the board: `cargo run -p board-wire --example drawings` writes `board-hardware/drawings/`.
//!
//! Every sheet is at full size, one unit to the millimetre, from the numbers below and from
//! `NOMINAL`, which is what the host calculates with. A test compares the files with this source.

use std::fmt::Write as _;
use std::path::Path;

use board_wire::{Corner, CornerPosition, NOMINAL};

/// Area to stand on, inside the supports, in millimetres.
const STANDING_ML_MM: f64 = 420.0;
const STANDING_AP_MM: f64 = 560.0;

/// How far plate and base reach beyond the supports, in millimetres.
const PLATE_BEYOND_MM: f64 = 10.0;
const BASE_BEYOND_MM: f64 = 30.0;

/// Heights of one corner, from the floor up, in millimetres.
const FOOT_MM: f64 = 15.0;
const BASE_MM: f64 = 18.0;
const SPACER_MM: f64 = 3.0;
const CELL_MM: f64 = 22.0;
const BALL_MM: f64 = 12.0;
const PLATE_MM: f64 = 36.0;
const RIM_MM: f64 = 15.0;

/// A single-point cell of this class; common size, compare with the maker's drawing.
const CELL_LONG_MM: f64 = 130.0;
const CELL_WIDE_MM: f64 = 30.0;

/// Outlines of the feet on the pad, in millimetres: our own choice, a little larger than most feet,
/// so that a foot stands inside its outline. Between the middles of the heels at hip width: common
/// practice, no source.
const FOOT_LONG_MM: f64 = 275.0;
const FOOT_WIDE_MM: f64 = 100.0;
const HIP_WIDTH_MM: f64 = 200.0;

/// Places of the calibration weight, in the order in which the program asks for them: how many times
/// this distance to the right and forward of the centre.
const SPOT_MM: f64 = 150.0;
const SPOTS: [(f64, f64); 9] = [
    (0.0, 0.0),
    (-1.0, 1.0),
    (1.0, 1.0),
    (-1.0, -1.0),
    (1.0, -1.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (1.0, 0.0),
    (0.0, -1.0),
];

/// A sheet of paper with its origin where the drawing wants it, y upwards.
struct Sheet {
    body: String,
    left_mm: f64,
    top_mm: f64,
    wide_mm: f64,
    high_mm: f64,
}

impl Sheet {
    /// A sheet that shows `left` to `right` and `bottom` to `top`.
    fn new(left_mm: f64, right_mm: f64, bottom_mm: f64, top_mm: f64) -> Self {
        let (wide_mm, high_mm) = (right_mm - left_mm, top_mm - bottom_mm);
        Self { body: String::new(), left_mm, top_mm, wide_mm, high_mm }
    }

    fn add(&mut self, element: &str) {
        self.body.push_str("  ");
        self.body.push_str(element);
        self.body.push('\n');
    }

    fn rectangle(&mut self, class: &str, left: f64, bottom: f64, wide: f64, high: f64) {
        let (x, y) = (left - self.left_mm, self.top_mm - bottom - high);
        self.add(&format!(
            r#"<rect class="{class}" x="{x}" y="{y}" width="{wide}" height="{high}"/>"#
        ));
    }

    /// A foot seen from above, toes forward: as long and as wide as an outline on the pad.
    fn foot(&mut self, class: &str, middle: f64, heel: f64) {
        let (x, y) =
            (middle - FOOT_WIDE_MM / 2.0 - self.left_mm, self.top_mm - heel - FOOT_LONG_MM);
        let round = FOOT_WIDE_MM / 2.0;
        self.add(&format!(
            r#"<rect class="{class}" x="{x}" y="{y}" width="{FOOT_WIDE_MM}" height="{FOOT_LONG_MM}" rx="{round}"/>"#
        ));
    }

    fn circle(&mut self, class: &str, x: f64, y: f64, radius: f64) {
        let (x, y) = (x - self.left_mm, self.top_mm - y);
        self.add(&format!(r#"<circle class="{class}" cx="{x}" cy="{y}" r="{radius}"/>"#));
    }

    fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let (x1, y1) = (from.0 - self.left_mm, self.top_mm - from.1);
        let (x2, y2) = (to.0 - self.left_mm, self.top_mm - to.1);
        self.add(&format!(r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#));
    }

    fn text(&mut self, x: f64, y: f64, words: &str) {
        let (x, y) = (x - self.left_mm, self.top_mm - y);
        self.add(&format!(r#"<text x="{x}" y="{y}">{words}</text>"#));
    }

    /// A dimension between two places at the same height.
    fn across(&mut self, left: f64, right: f64, y: f64) {
        self.line("size", (left, y), (right, y));
        for x in [left, right] {
            self.line("size", (x, y - 4.0), (x, y + 4.0));
        }
        self.text(f64::midpoint(left, right), y + 6.0, &format!("{} mm", right - left));
    }

    /// A dimension between two heights at the same place.
    fn upright(&mut self, bottom: f64, top: f64, x: f64) {
        self.line("size", (x, bottom), (x, top));
        for y in [bottom, top] {
            self.line("size", (x - 4.0, y), (x + 4.0, y));
        }
        // Beside the line, on the side away from the drawing.
        let beside = if x < 0.0 { -22.0 } else { 22.0 };
        self.text(x + beside, f64::midpoint(bottom, top) - 3.0, &format!("{} mm", top - bottom));
    }

    fn svg(&self, title: &str) -> String {
        let Self { body, wide_mm: w, high_mm: h, .. } = self;
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">
  <title>{title}</title>
  <style>
    rect, circle, line {{ fill: none; stroke: #222; stroke-width: 0.7 }}
    .area {{ stroke-dasharray: 6 3 }}
    .together {{ stroke-dasharray: 10 3 }}
    .tandem {{ stroke-dasharray: 1 3; stroke-width: 1.2 }}
    .wood {{ fill: #f1e4cc }}
    .steel {{ fill: #cfd6de }}
    .size {{ stroke: #06c; stroke-width: 0.4 }}
    text {{ font: 9px sans-serif; text-anchor: middle; fill: #222 }}
  </style>
{body}</svg>
"#
        )
    }
}

fn half_ml_mm() -> f64 {
    NOMINAL.corner(Corner::FrontRight).ml_mm
}

fn half_ap_mm() -> f64 {
    NOMINAL.corner(Corner::FrontRight).ap_mm
}

/// A rectangle centred on the board.
fn centred(sheet: &mut Sheet, class: &str, half_ml: f64, half_ap: f64) {
    sheet.rectangle(class, -half_ml, -half_ap, 2.0 * half_ml, 2.0 * half_ap);
}

fn plan() -> String {
    let (ml, ap) = (half_ml_mm(), half_ap_mm());
    let mut sheet = Sheet::new(-340.0, 340.0, -420.0, 420.0);
    centred(&mut sheet, "base", ml + BASE_BEYOND_MM, ap + BASE_BEYOND_MM);
    centred(&mut sheet, "wood", ml + PLATE_BEYOND_MM, ap + PLATE_BEYOND_MM);
    centred(&mut sheet, "area", STANDING_ML_MM / 2.0, STANDING_AP_MM / 2.0);
    for (corner, place) in Corner::ALL.into_iter().zip(NOMINAL.corners) {
        let CornerPosition { ml_mm, ap_mm } = place;
        // The live end lies under the ball, the body points to the middle.
        let rear_end = if 0.0 < ap_mm { ap_mm + 12.0 - CELL_LONG_MM } else { ap_mm - 12.0 };
        sheet.rectangle("area", ml_mm - CELL_WIDE_MM / 2.0, rear_end, CELL_WIDE_MM, CELL_LONG_MM);
        sheet.circle("steel", ml_mm, ap_mm, BALL_MM / 2.0);
        let inwards = if 0.0 < ml_mm { -75.0 } else { 75.0 };
        sheet.text(
            ml_mm + inwards,
            ap_mm - 2.0,
            &format!("{} ({}, {})", name(corner), signed(ml_mm), signed(ap_mm)),
        );
    }
    sheet.line("size", (-12.0, 0.0), (12.0, 0.0));
    sheet.line("size", (0.0, -12.0), (0.0, 12.0));
    sheet.text(0.0, 200.0, "FRONT");
    sheet.text(0.0, -225.0, "standing area");
    sheet.across(-ml, ml, ap + 50.0);
    sheet.across(-ml - PLATE_BEYOND_MM, ml + PLATE_BEYOND_MM, ap + 76.0);
    sheet.across(-ml - BASE_BEYOND_MM, ml + BASE_BEYOND_MM, ap + 102.0);
    sheet.across(-STANDING_ML_MM / 2.0, STANDING_ML_MM / 2.0, -ap - 62.0);
    sheet.text(
        0.0,
        -ap - 85.0,
        "from inside out: supports, plate, base (above); standing area (below)",
    );
    sheet.upright(-ap, ap, ml + 48.0);
    sheet.upright(-STANDING_AP_MM / 2.0, STANDING_AP_MM / 2.0, -ml - 48.0);
    sheet.svg("Plan, seen from above: base, plate, cells under it, standing area")
}

fn corner() -> String {
    let support = half_ap_mm();
    let plate_end = support + PLATE_BEYOND_MM;
    let base_end = support + BASE_BEYOND_MM;
    let inner = support - 190.0;
    let base = FOOT_MM;
    let cell = base + BASE_MM + SPACER_MM;
    let contact = cell + CELL_MM + BALL_MM;
    let mut sheet = Sheet::new(inner - 60.0, base_end + 80.0, -25.0, contact + PLATE_MM + 45.0);
    sheet.line("floor", (inner, 0.0), (base_end, 0.0));
    sheet.rectangle("steel", support - 12.0, 0.0, 24.0, FOOT_MM);
    sheet.rectangle("wood", inner, base, base_end - inner, BASE_MM);
    let dead_end = support + 12.0 - CELL_LONG_MM;
    sheet.rectangle("steel", dead_end, base + BASE_MM, 35.0, SPACER_MM);
    sheet.rectangle("steel", dead_end, cell, CELL_LONG_MM, CELL_MM);
    sheet.circle("steel", support, contact - BALL_MM / 2.0, BALL_MM / 2.0);
    sheet.rectangle("wood", inner, contact, plate_end - inner, PLATE_MM);
    sheet.rectangle("steel", support - 9.0, contact, 18.0, 5.0);
    sheet.rectangle("wood", plate_end - 8.0, contact + PLATE_MM, 8.0, RIM_MM);
    // The stop stands beside the cell, behind this section: drawn where it meets the plate.
    sheet.rectangle("area", support - 46.0, base + BASE_MM, 8.0, contact - base - BASE_MM - 0.4);
    sheet.text(support - 42.0, base + BASE_MM - 11.0, "stop, gap 0.35 to 0.40 mm");
    sheet.text(dead_end + 45.0, cell + 8.0, "cell");
    sheet.text(inner + 40.0, contact + 15.0, "plate");
    sheet.text(inner + 40.0, base + 6.0, "base");
    sheet.upright(0.0, contact, base_end + 25.0);
    sheet.upright(contact, contact + PLATE_MM, base_end + 25.0);
    sheet.across(support, plate_end, contact + PLATE_MM + 25.0);
    sheet.text(support - 60.0, -15.0, "section through a corner, along the cell");
    sheet.svg("Section through a corner: foot, base, cell, ball, plate, stop, rim")
}

fn spots() -> String {
    let mut sheet = Sheet::new(-260.0, 260.0, -330.0, 330.0);
    centred(&mut sheet, "area", STANDING_ML_MM / 2.0, STANDING_AP_MM / 2.0);
    for (number, (right, forward)) in (1..).zip(SPOTS) {
        let (ml_mm, ap_mm) = (right * SPOT_MM, forward * SPOT_MM);
        sheet.circle("spot", ml_mm, ap_mm, 20.0);
        sheet.line("size", (ml_mm - 30.0, ap_mm), (ml_mm + 30.0, ap_mm));
        sheet.line("size", (ml_mm, ap_mm - 30.0), (ml_mm, ap_mm + 30.0));
        sheet.text(
            ml_mm,
            ap_mm - 40.0,
            &format!("{number}: ({}, {})", signed(ml_mm), signed(ap_mm)),
        );
    }
    sheet.text(0.0, 300.0, "FRONT");
    sheet.across(-50.0, 50.0, -310.0);
    sheet.svg("Spots for the calibration weight, full size; check the 100 mm bar with a ruler")
}

/// Outlines of the feet for the pad: full size, to be traced or printed.
fn pad() -> String {
    let (ml, ap) = (STANDING_ML_MM / 2.0, STANDING_AP_MM / 2.0);
    let mut sheet = Sheet::new(-ml - 40.0, ml + 40.0, -ap - 70.0, ap + 50.0);
    centred(&mut sheet, "area", ml, ap);
    let heel = -FOOT_LONG_MM / 2.0;
    for (class, apart) in [("outline", HIP_WIDTH_MM), ("together", FOOT_WIDE_MM)] {
        for side in [-0.5, 0.5] {
            sheet.foot(class, side * apart, heel);
        }
    }
    // Heel against toes, and the one foot in the middle that stands alone.
    for heel in [0.0, -FOOT_LONG_MM] {
        sheet.foot("tandem", 0.0, heel);
    }
    sheet.line("size", (0.0, -ap), (0.0, ap));
    sheet.line("size", (-ml, 0.0), (ml, 0.0));
    sheet.text(0.0, ap + 15.0, "FRONT");
    sheet.text(-125.0, heel - 12.0, "hip width");
    sheet.text(75.0, heel - 12.0, "together");
    sheet.text(0.0, -FOOT_LONG_MM - 1.0 + 30.0, "tandem");
    sheet.across(-HIP_WIDTH_MM / 2.0, HIP_WIDTH_MM / 2.0, -ap - 25.0);
    sheet.across(-50.0, 50.0, -ap - 55.0);
    sheet.svg("Outlines of the feet on the pad, full size; check the 100 mm bar with a ruler")
}

/// What a corner is called wherever a person reads of it.
fn name(corner: Corner) -> &'static str {
    match corner {
        Corner::FrontLeft => "front left",
        Corner::FrontRight => "front right",
        Corner::RearLeft => "rear left",
        Corner::RearRight => "rear right",
    }
}

/// A number with a minus sign where it is negative, not a hyphen.
fn signed(value: f64) -> String {
    value.to_string().replace('-', "\u{2212}")
}

/// Cells, converters, microcontroller and cable, and what runs between them; not to scale.
fn wiring() -> String {
    let mut sheet = Sheet::new(0.0, 800.0, 0.0, 440.0);
    let wires = ["excitation +", "signal +", "signal \u{2212}", "excitation \u{2212}"];
    let rows = [("front left", 5), ("front right", 6), ("rear left", 7), ("rear right", 8)];
    sheet.rectangle("steel", 520.0, 40.0, 90.0, 370.0);
    sheet.text(565.0, 225.0, "RP2040");
    for ((corner, select), bottom) in rows.into_iter().zip([330.0, 235.0, 140.0, 45.0]) {
        sheet.rectangle("wood", 20.0, bottom, 90.0, 75.0);
        sheet.text(65.0, bottom + 42.0, corner);
        sheet.text(65.0, bottom + 28.0, "cell");
        sheet.rectangle("steel", 240.0, bottom, 100.0, 75.0);
        sheet.text(290.0, bottom + 42.0, "bridge");
        sheet.text(290.0, bottom + 28.0, "converter");
        for (wire, above) in wires.into_iter().zip([62.0, 44.0, 26.0, 8.0]) {
            sheet.line("size", (110.0, bottom + above), (240.0, bottom + above));
            sheet.text(175.0, bottom + above + 3.0, wire);
        }
        for (wire, above) in [
            (format!("chip select, GPIO {select}"), 50.0),
            ("SPI and START, GPIO 2, 3, 4, 9".to_owned(), 20.0),
        ] {
            sheet.line("size", (340.0, bottom + above), (520.0, bottom + above));
            sheet.text(430.0, bottom + above + 3.0, &wire);
        }
        sheet.line("size", (290.0, bottom), (290.0, bottom - 12.0));
        sheet.line("size", (290.0, bottom - 12.0), (225.0, bottom - 12.0));
    }
    sheet.line("size", (340.0, 397.0), (520.0, 397.0));
    sheet.text(430.0, 400.0, "data ready, GPIO 10");
    // One oscillator for all four converters.
    sheet.line("size", (225.0, 318.0), (225.0, 20.0));
    sheet.line("size", (225.0, 20.0), (160.0, 20.0));
    sheet.rectangle("wood", 20.0, 6.0, 140.0, 28.0);
    sheet.text(90.0, 17.0, "2.56 MHz, one for all");
    sheet.rectangle("wood", 700.0, 190.0, 80.0, 75.0);
    sheet.text(740.0, 225.0, "USB");
    sheet.line("size", (610.0, 227.0), (700.0, 227.0));
    sheet.text(655.0, 230.0, "D+, D\u{2212}, 5 V");
    sheet.svg("Wiring: four cells, four converters on one clock, RP2040, USB; see WIRING.md")
}

/// Every sheet with its file name.
pub(crate) fn sheets() -> [(&'static str, String); 5] {
    [
        ("plan.svg", plan()),
        ("corner.svg", corner()),
        ("spots.svg", spots()),
        ("pad.svg", pad()),
        ("wiring.svg", wiring()),
    ]
}

/// Where the sheets are kept.
pub(crate) fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../drawings")
}

fn main() -> std::io::Result<()> {
    std::fs::create_dir_all(folder())?;
    let mut written = String::new();
    for (name, svg) in sheets() {
        std::fs::write(folder().join(name), svg)?;
        writeln!(written, "{name}").expect("text can grow");
    }
    std::io::Write::write_all(&mut std::io::stdout(), written.as_bytes())
}
