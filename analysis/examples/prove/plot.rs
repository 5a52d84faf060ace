//! Share of each verdict after the fifth scored session, against the true wobble.

use std::fmt::Write as _;

use analysis::readiness::proof::{EDGE_MM, VirtualPerson};
use analysis::readiness::{Thresholds, Verdict};

use crate::Proof;

const LEFT: f64 = 70.0;
const TOP: f64 = 30.0;
const WIDTH: f64 = 560.0;
const HEIGHT: f64 = 300.0;

/// True wobble from this to that part of the edge.
const FROM: f64 = 0.4;
const TO: f64 = 1.6;
const N_POINTS: u32 = 25;

/// Verdicts drawn, with colour and dash: neither alone tells them apart.
const DRAWN: [(Verdict, &str, &str); 4] = [
    (Verdict::Advance, "#1b6e53", ""),
    (Verdict::Stay, "#555555", "8 4"),
    (Verdict::StepBack, "#a8431f", "2 3"),
    (Verdict::NotEnoughData, "#3a5fa0", "10 3 2 3"),
];

pub(crate) fn verdicts_against_wobble(proof: &Proof) -> String {
    let proof = proof.of_courses(proof.courses / 10);
    let shares: Vec<f64> = (0..N_POINTS)
        .map(|k| FROM + (TO - FROM) * f64::from(k) / f64::from(N_POINTS - 1))
        .collect();
    let counts: Vec<_> = shares
        .iter()
        .map(|share| {
            let person = VirtualPerson::at_ease(share * EDGE_MM, 0.15);
            proof.count(&person, Thresholds::default())
        })
        .collect();
    let mut svg = frame();
    for (index, (verdict, colour, dash)) in DRAWN.into_iter().enumerate() {
        let points: Vec<String> = shares
            .iter()
            .zip(&counts)
            .map(|(share, counts)| {
                format!("{:.1},{:.1}", x_of(*share), y_of(counts.at_fifth(verdict).rate()))
            })
            .collect();
        let line =
            format!(r#"fill="none" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}""#);
        let (left, top) = (LEFT + WIDTH + 15.0, TOP + 20.0 + 24.0 * index as f64);
        append(&mut svg, format_args!(r#"<polyline points="{}" {line}/>"#, points.join(" ")));
        append(
            &mut svg,
            format_args!(
                r#"<polyline points="{left},{top} {},{top}" {line}/><text x="{}" y="{}">{}</text>"#,
                left + 34.0,
                left + 42.0,
                top + 4.0,
                verdict.key()
            ),
        );
    }
    svg.push_str("</svg>\n");
    svg
}

fn frame() -> String {
    let mut svg = format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" width="{}" height="{}" font-family="sans-serif" font-size="13" fill="#222222"><title>Share of each verdict after the fifth scored session against the true wobble</title><rect width="100%" height="100%" fill="#ffffff"/>"##,
        LEFT + WIDTH + 190.0,
        TOP + HEIGHT + 60.0
    );
    svg.push('\n');
    for tenth in 0..=5 {
        let share = f64::from(tenth) / 5.0;
        let y = y_of(share);
        append(
            &mut svg,
            format_args!(
                r##"<polyline points="{LEFT},{y} {},{y}" stroke="#dddddd"/><text x="{}" y="{}" text-anchor="end">{:.0} %</text>"##,
                LEFT + WIDTH,
                LEFT - 8.0,
                y + 4.0,
                100.0 * share
            ),
        );
    }
    for tenth in [4, 6, 8, 10, 12, 14, 16] {
        let share = f64::from(tenth) / 10.0;
        append(
            &mut svg,
            format_args!(
                r#"<text x="{}" y="{}" text-anchor="middle">{:.1}</text>"#,
                x_of(share),
                TOP + HEIGHT + 20.0,
                share * EDGE_MM
            ),
        );
    }
    append(
        &mut svg,
        format_args!(
            r##"<polyline points="{0},{TOP} {0},{1}" stroke="#222222"/><text x="{0}" y="{2}" text-anchor="middle">upper end of the wobble window</text>"##,
            x_of(1.0),
            TOP + HEIGHT,
            TOP - 10.0
        ),
    );
    append(
        &mut svg,
        format_args!(
            r#"<text x="{}" y="{}" text-anchor="middle">true level of wobble, mm</text>"#,
            LEFT + WIDTH / 2.0,
            TOP + HEIGHT + 44.0
        ),
    );
    svg
}

fn append(svg: &mut String, line: std::fmt::Arguments<'_>) {
    writeln!(svg, "{line}").expect("a string takes every write");
}

fn x_of(share: f64) -> f64 {
    LEFT + WIDTH * (share - FROM) / (TO - FROM)
}

fn y_of(rate: f64) -> f64 {
    TOP + HEIGHT * (1.0 - rate)
}
