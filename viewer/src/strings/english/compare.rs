//! The comparison in English.

use crate::strings::language::CompareWords;
use crate::strings::number::{decimals, significant};

pub(crate) const COMPARE: CompareWords = CompareWords {
    tab: "Compare",
    nothing_yet: "No two sets are compared yet",
    choose_sets: "Choose two sets",
    path_tab: "Path",
    time_tab: "Over time",
    spectrum_tab: "Frequency",
    path_about: "Sway paths of both sets, each around its own mean, with 95 % prediction ellipses; \
                 A with unbroken, B with broken outline. The table holds the numbers.",
    time_about: "the centre of pressure of both sets over time; A unbroken, B broken lines.",
    spectrum_about: "power of the sway of both sets over frequency; A unbroken, B broken lines.",
    ml_axis: "medio-lateral, mm (right is positive)",
    ap_axis: "antero-posterior, mm (forward is positive)",
    time_axis: "time, s",
    frequency_axis: "frequency, Hz (drawn up to 2)",
    position_axes: ["medio-lateral, mm", "antero-posterior, mm"],
    power_axes: ["medio-lateral, mm\u{b2}/Hz", "antero-posterior, mm\u{b2}/Hz"],
    hover_path,
    hover_line,
    decimals,
    zoom_note: "Zoom: + and \u{2212}, 0 for all, or Ctrl and wheel. Drag to move.",
    dense_note: "So far out both lines are unbroken; B is the thin one.",
    all_trials: "all",
    every_trial: |letter| format!("Draw every trial of set {letter}"),
    only_trial: |letter, n| format!("Draw only trial {n} of set {letter}"),
    mean: "mean position",
    trial_of_set: |letter, n| format!("{letter}, trial {n}"),
    doubt_of_trial: |n, doubt| format!("trial {n}: {doubt}"),
    doubt: |doubt| format!("Take care: {doubt}"),
    measure_head: "measure",
    change_head: "change, B / A",
    vision_quotient_head: "vision quotient",
    ratio: |ratio| format!("\u{d7}{}", significant(ratio, 3)),
    interval: |low, high, from_table| {
        format!("{low} to {high}{}", if from_table { " *" } else { "" })
    },
    no_interval: "no interval",
    no_value: "none",
    verdict_exceeds: "yes",
    verdict_within: "no",
    verdict_unknown: "not known",
    detectable_from: |ratio| format!("from \u{d7}{}", significant(ratio, 3)),
    detectable_unknown: "",
    verdict_head: "beyond chance?",
    no_change: "not compared",
    strip_about: |name, change, interval, verdict| {
        format!("{name}: {change}, 95 % interval {interval}; {verdict}")
    },
    band_note: "Strip: middle line, no change; diamond, B / A; bar, its 95 % interval; band, changes \
                that repeats of one person show by chance (minimal detectable change). \
                * interval from published repeats, for want of trials.",
    all_measures: "Show all measures",
    fewer_measures: "Show the leading measures only",
};

fn hover_path(name: &str, ml_mm: f64, ap_mm: f64) -> String {
    let across = if ml_mm < 0.0 { "left" } else { "right" };
    let along = if ap_mm < 0.0 { "back" } else { "forward" };
    format!(
        "{}\n{} mm {across}\n{} mm {along}",
        name.trim(),
        decimals(ml_mm.abs(), 1),
        decimals(ap_mm.abs(), 1)
    )
}

fn hover_line(name: &str, across: &str, x: f64, upward: &str, y: f64) -> String {
    format!("{}\n{across}: {}\n{upward}: {}", name.trim(), decimals(x, 2), significant(y, 3))
}
