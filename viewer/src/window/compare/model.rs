//! From two sets of measured trials to what the comparison shows.

use analysis::{Cop, MeasuredTrial, vision_quotient};

use crate::strings::Language;
use crate::window::compare::layout;
use crate::window::compare::material::{ComparedTrial, DrawnTrial};
use crate::window::compare::rows;
use crate::window::compare::series::Series;
use crate::window::compare::view::{AxisPair, CompareView, LineView, Panel, PathView, SetView};
use crate::window::style::Side;

/// Points of an ellipse's outline: at the widest screen a corner turns by less than a pixel.
const OUTLINE_POINTS: usize = 180;

/// More points than this are a blot, and too many to draw in every frame: ten minutes of a record
/// (our own choice). Of longer ones is drawn what reaches new cells, so many to each side.
const LONG: usize = 60_000;
const CELLS: f64 = 100.0;

/// Highest frequency drawn, in hertz. Measures are made up to 5 Hz, but a standing person's power
/// lies almost all under 1 Hz: drawn to the end it would be a needle at the left edge.
const HIGHEST_DRAWN_HZ: f64 = 2.0;

impl CompareView {
    /// Compares two sets of trials; `titles` say what they are.
    pub fn new(words: &Language, sets: &[Vec<ComparedTrial>; 2], titles: [String; 2]) -> Self {
        let measured = [0, 1].map(|i| -> Vec<&MeasuredTrial> {
            sets[i].iter().filter_map(ComparedTrial::measured).collect()
        });
        let (rows, refusal) = rows::rows(words, [&measured[0], &measured[1]]);
        let quotient = vision_quotient(&measured[0], &measured[1], "mean_velocity").is_ok();
        let [title_a, title_b] = titles;
        Self {
            change_head: if quotient {
                words.compare.vision_quotient_head
            } else {
                words.compare.change_head
            },
            sets: [
                set_view(words, &sets[0], Side::A, title_a),
                set_view(words, &sets[1], Side::B, title_b),
            ],
            over_time: AxisPair {
                across: words.compare.time_axis.to_owned(),
                panels: panels(words, sets, words.compare.position_axes, position_over_time),
            },
            spectra: AxisPair {
                across: words.compare.frequency_axis.to_owned(),
                panels: panels(words, sets, words.compare.power_axes, power_over_frequency),
            },
            rows,
            refusal,
        }
    }
}

/// Which of the two axes of the body.
#[derive(Debug, Clone, Copy)]
enum Axis {
    Ml,
    Ap,
}

fn set_view(words: &Language, set: &[ComparedTrial], side: Side, title: String) -> SetView {
    let doubts = set
        .iter()
        .enumerate()
        .flat_map(|(i, trial)| {
            let doubts = (words.doubts)(&trial.file);
            doubts.into_iter().map(move |doubt| (words.compare.doubt_of_trial)(i + 1, &doubt))
        })
        .collect();
    let paths = set.iter().enumerate().map(|(i, trial)| path_view(words, trial, side, i)).collect();
    SetView { title, doubts, paths }
}

fn path_view(words: &Language, trial: &ComparedTrial, side: Side, index: usize) -> PathView {
    let name = (words.compare.trial_of_set)(side.letter(), index + 1);
    let mut view = PathView { name, parts_mm: Vec::new(), ellipse_mm: Vec::new(), reach_mm: 0.0 };
    let (Some(measured), Ok(drawn)) = (trial.measured(), &trial.drawn) else { return view };
    let Ok(centre) = measured.measures.mean_cop else { return view };
    let around = |cop: &Cop| [cop.ml_mm - centre.ml_mm, cop.ap_mm - centre.ap_mm];
    let points_mm: Vec<[f64; 2]> = drawn.path.points().iter().map(around).collect();
    view.reach_mm = layout::reach(&points_mm);
    view.parts_mm = if points_mm.len() <= LONG {
        vec![points_mm]
    } else {
        layout::sketched(&points_mm, view.reach_mm / CELLS)
    };
    if let Ok(ellipse) = measured.measures.ellipse {
        view.ellipse_mm = ellipse.outline(OUTLINE_POINTS).iter().map(around).collect();
        // Closed by its first point.
        view.ellipse_mm.extend(view.ellipse_mm.first().copied());
    }
    view
}

fn panels(
    words: &Language,
    sets: &[Vec<ComparedTrial>; 2],
    upward: [&str; 2],
    series: fn(&ComparedTrial, &DrawnTrial, Axis) -> Series,
) -> [Panel; 2] {
    [(Axis::Ml, upward[0]), (Axis::Ap, upward[1])].map(|(axis, upward)| Panel {
        upward: upward.to_owned(),
        lines: Side::BOTH.map(|side| {
            let set = sets[side.index()].iter().enumerate();
            set.map(|(i, trial)| LineView {
                name: (words.compare.trial_of_set)(side.letter(), i + 1),
                series: match &trial.drawn {
                    Ok(drawn) => series(trial, drawn, axis),
                    Err(_) => Series::default(),
                },
            })
            .collect()
        }),
    })
}

/// Position on one axis around its mean, in millimetres over seconds.
fn position_over_time(trial: &ComparedTrial, drawn: &DrawnTrial, axis: Axis) -> Series {
    let mean = trial.measured().and_then(|measured| measured.measures.mean_cop.ok());
    let centre = mean.unwrap_or_default();
    let position_mm = |cop: &Cop| match axis {
        Axis::Ml => cop.ml_mm - centre.ml_mm,
        Axis::Ap => cop.ap_mm - centre.ap_mm,
    };
    let positions = drawn.path.points().iter().map(position_mm).collect();
    Series::new(0.0, drawn.path.rate().interval_s(), positions)
}

/// Power spectral density of one axis, in square millimetres per hertz over hertz.
fn power_over_frequency(_: &ComparedTrial, drawn: &DrawnTrial, axis: Axis) -> Series {
    let spectrum = &drawn.spectrum;
    let density = match axis {
        Axis::Ml => &spectrum.ml_mm2_per_hz,
        Axis::Ap => &spectrum.ap_mm2_per_hz,
    };
    let [first_hz, second_hz, ..] = spectrum.frequency_hz[..] else { return Series::default() };
    let n_drawn = spectrum.frequency_hz.partition_point(|hz| *hz <= HIGHEST_DRAWN_HZ);
    let powers = density.iter().take(n_drawn).copied().collect();
    Series::new(first_hz, second_hz - first_hz, powers)
}
