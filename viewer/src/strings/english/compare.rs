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
    ml_axis: "left \u{2190}  medio-lateral, mm  \u{2192} right",
    ap_axis: "back \u{2190}  antero-posterior, mm  \u{2192} forward",
    time_axis: "time, s",
    frequency_axis: "frequency, Hz",
    position_axes: ["medio-lateral, mm", "antero-posterior, mm"],
    power_axes: ["medio-lateral, mm\u{b2}/Hz", "antero-posterior, mm\u{b2}/Hz"],
    hover_path,
    hover_line,
    all_trials: "all",
    only_trial: |letter, n| format!("Draw only trial {n} of set {letter}"),
    trial_of_set: |letter, n| format!("{letter}, trial {n}"),
    doubt: |doubt| format!("Take care: {doubt}"),
    measure_head: "measure",
    change_head: "B / A",
    verdict_head: "more than chance?",
    no_change: "not compared",
    strip_about: |name, change, interval, verdict| {
        format!("{name}: {change}, 95 % interval {interval}; {verdict}")
    },
    band_note: "Strip: middle line, no change; diamond, B / A; bar, its 95 % interval; band, changes \
                that repeats of one person show by chance (minimal detectable change).",
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
