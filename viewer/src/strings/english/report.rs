//! The printed pages in English.

use acquisition::records::AffectedSide;
use analysis::QualityFlag;

use crate::strings::english::counted;
use crate::strings::number::decimals;
use crate::strings::report::{FactWords, ReportWords};

pub(crate) const REPORT: ReportWords = ReportWords {
    language_tag: "en-GB",
    chart_title: |person| format!("Standing sway: {person}"),
    subtitle: |period, software| {
        if period.is_empty() { software.to_owned() } else { format!("{period} · {software}") }
    },
    board_head: "Who, and with what",
    results_head: "Results",
    measure_head: "Measure",
    value_head: "Value",
    interval_head: "95 % interval",
    note_head: "Beside it",
    from_to: |low, high| format!("{low} to {high}"),
    doubt: |doubt| format!("Take care: {doubt}"),
    no_value: "–",
    nothing_recorded: "Nothing recorded",
    next_step_head: "Next step, suggested by the program",
    no_next_step: "The program was not asked, or has no plan to judge by.",
    decision_head: "Clinician's decision",
    decided_by: |author, date| format!("Decided by {author}, {date}"),
    no_decision: "No decision recorded.",
    sway_head: "Sway paths",
    sway_about: "Centre of pressure around its own mean, as seen from above: up is forward, right \
                 is to the person's right. Broken lines: 95 % prediction ellipses. All drawings to \
                 one scale.",
    sway_axes: "across ML, up AP; mm",
    paths_drawn: |drawn, all| {
        if drawn == all { trials(all) } else { format!("the latest {drawn} of {}", trials(all)) }
    },
    sway_alternative: |title, n_paths, reach_mm| {
        format!(
            "Sway paths with 95 % prediction ellipses, {title}: {}, within {} mm to each side.",
            trials(n_paths),
            decimals(reach_mm, 0)
        )
    },
    course_head: "Course",
    course_alternative: |title, n_days, ends| {
        let values = format!("{title} over the days; {n_days} values.");
        match ends {
            [Some(first), Some(last)] => format!("{values} First {first}; last {last}."),
            _ => values,
        }
    },
    definitions_head: "Definitions",
    measures_only: "Compared are measured trials only, recorded without any feedback. Thresholds \
                    of the suggested step are the plan's or this program's own defaults.",
    page_of: |page, n_pages| format!("Page {page} of {n_pages}"),
    patient_title: |person| format!("Your practice, {person}"),
    your_next_head: "What comes next",
    your_practice_head: "What you did",
    stand_head: "How you stood",
    done_head: "Done",
    planned_head: "Planned",
    stop_head: "Stop and ask, if",
    contact: |contact| format!("Ask: {contact}"),
    emergency: |number| {
        format!("In an emergency call {number}, now. Do not wait for this program.")
    },
    facts: FACTS,
    period: |days, today| match days {
        None => format!("no trials yet, as at {today}"),
        Some([first, last]) if first == last => format!("trials of {first}, as at {today}"),
        Some([first, last]) => format!("trials from {first} to {last}, as at {today}"),
    },
    basis: |n_trials, seconds, date, n_days| {
        let length = if seconds == "0" { String::new() } else { format!(" of {seconds} s") };
        let others = match n_days {
            0 | 1 => "the only day here so far".to_owned(),
            _ => format!("the latest of {n_days} days here"),
        };
        let n = counted(n_trials, "measured trial", "measured trials");
        format!("{n}{length} on {date}, {others}. Mean of the day and its 95 % interval.")
    },
    interval_of_table: "interval from published repeats",
    chance_up_to: |ratio| format!("by chance up to \u{d7}{ratio}"),
    change_of_course: |ratio, is_real| {
        let real = if is_real { "beyond chance" } else { "within chance" };
        format!("course \u{d7}{ratio}, {real}")
    },
    vision_quotient: "Vision quotient",
    vision_quotient_of: "mean velocity, eyes closed / eyes open, same day",
    flag,
    not_opened: |n| {
        format!("{} of this day could not be opened", counted(n, "trial file", "trial files"))
    },
    not_beside: |why| format!("a trial of this day is left out: {why}"),
    step_at: |headline, condition| format!("{headline} Judged at {condition}."),
    left_out: |line| format!("Left out: {line}."),
    go_on_with: |condition, advice| format!("Go on with {condition}. The advice was: {advice}."),
    wobble_course: |condition| format!("Wobble, {condition}"),
    difficulty_course: "Felt difficulty, 0 very easy to 10 cannot",
    pain_course: "Worst pain of a session, 0 to 10",
    about_definitions: &[
        "All measures: centre of pressure in the plane of the plate, 10 Hz low-pass both ways, the \
         first 5 s dropped. ML is across, AP along the way the person faces. Trials of one day are averaged on the log scale; shares as they are.",
        "The wobble window is common practice in the trade, without a published source. Intervals \
         are of one day: between days they are wider. By chance: what repeats of one person \
         differ by (published). Course: the latest days over the first, against how days differ.",
    ],
    about_picture: "The picture shows your wobble, day by day. The light band is the useful range.",
    stop_when: |points| {
        vec![
            format!("your pain rises by {points} points or more, then or the next morning"),
            "pain goes further down your leg, or numbness or weakness is new".to_owned(),
            "you fall, feel dizzy or faint, or can no longer hold on".to_owned(),
            "you have trouble passing urine or controlling the bowels, numbness around the seat or \
             inner thighs, or legs that grow weaker: this is an emergency, call at once"
                .to_owned(),
        ]
    },
    you_go_on_with: |condition, date| {
        format!("Your clinician decided on {date}: go on with {condition}.")
    },
    on_days: |n| format!("on {}", counted(n, "day", "days")),
    planned_dose: |sessions, holds, seconds| {
        let a_day = match sessions {
            1 => "once a day".to_owned(),
            2 => "twice a day".to_owned(),
            _ => format!("{sessions} times a day"),
        };
        format!("{a_day}, {holds} \u{d7} {seconds} s")
    },
};

const FACTS: FactWords = FactWords {
    person: "Person",
    board: "Board",
    calibration: "Calibration",
    noise: "Board's noise",
    plane: "Plane of the numbers",
    plan: "Plan",
    no_trial: "no trial yet",
    born: |year| format!("born {year}"),
    side: |side| match side {
        AffectedSide::None => "complaint on neither side",
        AffectedSide::Left => "complaint on the left",
        AffectedSide::Right => "complaint on the right",
        AffectedSide::Both => "complaint on both sides",
    },
    imported: |plate, file| format!("{plate}; latest trial imported from {file}"),
    foreign_calibration: "that plate's own; this program does not know it",
    own_board: |id, firmware| format!("{id}, firmware {firmware}"),
    nominal_calibration: "never calibrated: forces by the design's numbers, not for comparison \
                          with another board",
    fitted_calibration: |version, made, largest_mm| {
        let places = largest_mm
            .map(|mm| format!("; places uncertain by at most {mm} mm"))
            .unwrap_or_default();
        format!("version {version} of {made}, with a known mass{places}")
    },
    newer_calibration: |version| {
        format!("version {version} is newer, and was not used for the latest trial")
    },
    no_dead_weight: "no dead-weight check yet",
    dead_weight: |rate, newtons| {
        format!("{rate} mm/s of path under {newtons} N, latest dead-weight check")
    },
    plate_plane: |height| match height {
        Some(mm) => format!("load cells; the sole stood {mm} mm higher"),
        None => "load cells; height of the sole not recorded".to_owned(),
    },
    plan_made: |version, author, date| format!("version {version}, by {author} on {date}"),
};

const fn flag(flag: QualityFlag) -> &'static str {
    match flag {
        QualityFlag::NotMeasurable => "too much is missing, nothing is measured",
        QualityFlag::LostSamples => "more samples are missing than a board may lose",
        QualityFlag::Split => "a gap split the record, its longest part is measured",
        QualityFlag::Saturated => "some counts were at the end of the range",
        QualityFlag::LowLoad => "in some samples the load was too low",
        QualityFlag::StepOff => "the person stepped off",
        QualityFlag::SupportUsed => "the load fell: a hand took weight",
        QualityFlag::LoadAdded => "the load rose meanwhile",
        QualityFlag::FootShift => "a foot was put elsewhere",
        QualityFlag::NoisyBoard => "the board's noise makes more than a tenth of the path",
        QualityFlag::TooNoisy => "too noisy to count",
        QualityFlag::ZeroMoved => "the empty board read otherwise afterwards",
        QualityFlag::ZeroLost => "the zero moved too far: the trial does not count",
    }
}

fn trials(n: usize) -> String {
    counted(n, "trial", "trials")
}
