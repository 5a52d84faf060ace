//! One page for each group of measures, from the table of measures.

use std::fmt::Write as _;

use analysis::{Group, MEASURES, STRUCTURE_MEASURES};

use crate::check_generated;

#[test]
fn each_page_is_what_the_table_says() {
    for &group in Group::ALL {
        let rows = MEASURES.iter().filter(|measure| measure.group == group);
        let rows = rows.map(|m| (m.key, m.unit.key(), m.definition, m.source));
        check_generated(&format!("docs/measures-{group}.md"), &page(group_text(group), rows));
    }
    let rows = STRUCTURE_MEASURES.iter().map(|m| (m.key, m.unit.key(), m.definition, m.source));
    check_generated("docs/measures-structure.md", &page(STRUCTURE_TEXT, rows));
}

fn page<'a>(
    text: &str,
    rows: impl Iterator<Item = (&'a str, &'a str, &'a str, &'a str)>,
) -> String {
    let mut page = format!("{text}\n\n| key | unit | definition | source |\n|---|---|---|---|\n");
    for (key, unit, definition, source) in rows {
        writeln!(page, "| `{key}` | {unit} | {definition} | {source} |").expect("text grows");
    }
    page
}

fn group_text(group: Group) -> &'static str {
    match group {
        Group::Recording => RECORDING_TEXT,
        Group::Displacement => DISPLACEMENT_TEXT,
        Group::Frequency => FREQUENCY_TEXT,
        Group::BodyCentre => BODY_CENTRE_TEXT,
        Group::Wobble => WOBBLE_TEXT,
    }
}

const RECORDING_TEXT: &str = "# The record

ML (medio-lateral) is positive to the standing person's right, AP (antero-posterior) positive forward, the origin is the centre of the board (axis directions: Scoppa, Capra, Gallamini, Shiffer 2013, Gait & Posture 37:290).
N samples at a rate of f samples a second last (N - 1)/f seconds.

Two processings:

- `as_recorded`: no filter, nothing trimmed.
- `standard`: a second-order Butterworth low-pass run forward and backward (Winter 2009, Biomechanics and Motor Control, chapter 3), -3.0103 dB at 10 Hz for both passes together at every rate; then 100 samples a second; then without the first 5 s.

The filter is a bilinear transform with K = tan(pi 10/f)/c, c = (sqrt(2) - 1)^(1/4).
Both ends are continued by odd reflection of f samples, rounded, and each pass starts in the steady state of its first input.
A rate within 100 ppm of 100 Hz counts as 100 Hz.
Other rates are brought to 100 Hz by a Kaiser-windowed sinc (beta 14, 16 samples of the lower rate to each side, cut-off 0.45 of the lower rate), which keeps sines below 10 Hz to 1e-6.
Rates below 40 Hz are not accepted for the standard processing.
Movement below a picometre (1e-9 mm) is none: it is the rounding of coordinates.";

const DISPLACEMENT_TEXT: &str = "# Displacement

Positions are relative to their mean; a standard deviation is divided by N, the covariance of the ellipse by N - 1.
The ellipse is that of prediction, expected to hold the next sample with probability 95 %, with k = 2 F(0.95; 2, N - 2) (N - 1)/(N - 2) (N + 1)/N and semi-axes sqrt(k lambda).
Noise lengthens the path: compare only trials with the same rate and processing.";

const FREQUENCY_TEXT: &str = "# Frequency

Welch 1967 with segments of L = 2 floor(N/4) samples, half overlap, each segment's mean removed, periodic Hann window, one-sided density, bins at (k f)/L.
Moments are trapezoid integrals m_k of f^k P over the bins from 0.15 to 5 Hz, edges included within 1e-9 Hz.
The median and the 95 % frequency are read off the running trapezoid integral, linear between bins.
Estimates depend on segments and detrending (Vieira, Oliveira & Nadal 2009, Braz J Med Biol Res 42:665): values made with other settings are not compared.";

const BODY_CENTRE_TEXT: &str = "# Body centre

The body centre is the point of the board over which the body's mass stands, estimated: the centre of pressure through 1/(1 + (2 pi f)^2/w0^2), w0^2 = 9.81 / (0.66 body height).
The path is continued as its own mirror image, end samples repeated, multiplied in frequency, and its first half kept.
0.66: pendulum theory gives about 0.657; the measured horizontal force of 200 open recordings gave a median of 0.663.
Without a body height 1.65 m is assumed, and the result says so.
Trust it least on one leg, in tandem and when the hips work.";

const WOBBLE_TEXT: &str = "# Wobble

The wobble of a 5 s window is the largest distance between any two positions of the body centre in it.
Windows start one second apart; incomplete ones are dropped.
Percentiles stand at position (n - 1) p, linear between neighbours.
The wobble window is 6.35 to 25.4 mm, a quarter to one inch: common practice in the trade, no published source.";

const STRUCTURE_TEXT: &str = "# Structure

For research, never decisive: these depend on length, rate and filter more than any other measure, and no change of one of them is called better or worse.
All are computed after the standard processing from every fourth sample, at 25 Hz.

- Sample entropy: patterns of two samples start at the first N - 2 samples; two match when no value differs by more than 0.2 standard deviations (divided by N), ends included; a pattern is not compared with itself; the value is the logarithm of the pairs that match over those that match with a third sample.
- Detrended fluctuation: the running sum about the mean is cut into windows from its start, the rest at its end unused; root mean square distance from each window's least-squares line over all windows; slope of its logarithm over that of the length, for 20 lengths evenly spaced on the logarithm from 16 to N/4, rounded, each used once.
- Diffusion: mean squared distance of both axes together over each lag; least-squares lines over lags up to 0.6 s and from 2 to 10 s (our own choice of lags; the original drew the lines by eye); the critical point is where they cross.";
