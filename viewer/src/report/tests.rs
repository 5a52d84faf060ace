//! The pages as other programs read them.
//!
//! `pdftotext`, `pdfinfo` and `pdfimages` are of poppler, an independent reader of PDF.

use std::fs;
use std::process::Command;

use analysis::Cop;

use super::*;
use crate::strings::ENGLISH;

/// A path that fills an area without any randomness; `reach_mm` to each side.
fn path(reach_mm: f64, seed: f64) -> Vec<Cop> {
    (0..5_500)
        .map(|i| {
            let t = f64::from(i) * 0.01;
            let wave = |f: f64| (f * t + seed * f).sin();
            Cop {
                ml_mm: reach_mm * 0.25 * (wave(0.7) + wave(2.3) + wave(5.1) + 0.6 * wave(11.0)),
                ap_mm: reach_mm * 0.3 * (wave(0.5) + wave(1.9) + wave(4.2) + 0.4 * wave(9.0)),
            }
        })
        .collect()
}

fn ellipse(reach_mm: f64) -> Vec<Cop> {
    (0..=90)
        .map(|i| {
            let turn = f64::from(i) / 90.0 * std::f64::consts::TAU;
            Cop { ml_mm: 0.6 * reach_mm * turn.cos(), ap_mm: 0.9 * reach_mm * turn.sin() }
        })
        .collect()
}

fn value(name: &str, unit: &str, value: f64, interval: [f64; 2], note: &str) -> HeadlineValue {
    let (value, interval) = (Some(value), Some(interval));
    HeadlineValue { name: name.into(), unit: unit.into(), value, interval, note: note.into() }
}

fn condition(title: &str, scale: f64) -> ConditionPart {
    let of = |v: f64| (v * scale, [v * scale * 0.9, v * scale * 1.12]);
    let row = |name, unit, v: f64, note| {
        let (middle, ends) = of(v);
        value(name, unit, middle, ends, note)
    };
    ConditionPart {
        title: title.into(),
        basis: "3 measured trials of 60 s on 3 days".into(),
        values: vec![
            row("Mean velocity", "mm/s", 18.4, "beyond chance from ×1.15"),
            row("Mean velocity, ML", "mm/s", 11.2, ""),
            row("Mean velocity, AP", "mm/s", 12.9, ""),
            row("95 % ellipse area", "mm²", 1_012.0, "beyond chance from ×1.41"),
            row("Wobble", "mm", 19.3, "window 6.35 to 25.4 mm"),
            row("Time in the wobble window", "%", 74.0, ""),
            row("Mean frequency", "Hz", 0.412, "shown, never decisive"),
        ],
        doubts: vec![],
    }
}

fn course(title: &str, unit: &str, n: i32) -> CoursePlot {
    let point = |i: i32| {
        let value = 21.0 - 4.0 * f64::from(i) / f64::from(n) + 2.0 * f64::from(i * 7 % 5) - 4.0;
        CoursePoint {
            day: 20_000 + i * 3,
            date: format!("2026-{:02}-{:02}", 1 + i / 28 % 12, 1 + i % 28),
            value,
            interval: Some([value - 2.0, value + 2.5]),
        }
    };
    CoursePlot {
        title: title.into(),
        unit: unit.into(),
        points: (0..n).map(point).collect(),
        band: Some(("wobble window".into(), [6.35, 25.4])),
        marks: vec![CourseMark { day: 20_006, what: "to feet together".into() }],
    }
}

const MADE: MadeAt =
    MadeAt { year: 2026, month: 4, day: 14, hour: 9, minute: 30, offset_minutes: 120 };

fn fact(name: &str, value: &str) -> Fact {
    Fact { name: name.into(), value: value.into() }
}

fn sway_plot(title: &str, n: usize, reach_mm: f64) -> SwayPlot {
    SwayPlot {
        title: title.into(),
        paths: (0..n).map(|i| path(reach_mm, i as f64)).collect(),
        ellipses: (0..n).map(|_| ellipse(reach_mm)).collect(),
    }
}

fn full() -> ChartReport {
    let mut closed = condition("foam 60 mm, hip width, eyes closed", 1.3);
    closed.doubts = vec!["trial 2 lost 14 frames, longest gap 20 ms".into()];
    closed.values.push(value("Vision quotient", "", 1.31, [1.12, 1.53], "eyes closed / eyes open"));
    ChartReport {
        person: "P-07".into(),
        made: MADE,
        period: "2 March to 14 April 2026".into(),
        board: vec![
            fact("Board", "3A5F-0021, firmware 0.1.0"),
            fact("Calibration", "version 4 of 2026-02-27, four known masses, within limit"),
            fact("Dead-weight check", "2026-04-14: noise 0.04 mm at 60 kg"),
            fact("Foam", "pad F-2, 60 mm, 52 mm loaded; plane of the plate"),
        ],
        conditions: vec![condition("foam 60 mm, hip width, eyes open", 1.0), closed],
        sway: vec![
            sway_plot("foam, hip width, eyes open", 3, 22.0),
            sway_plot("foam, hip width, eyes closed", 3, 31.0),
        ],
        courses: vec![
            course("Wobble: foam, hip width, eyes open", "mm", 14),
            CoursePlot { band: None, marks: vec![], ..course("Felt difficulty, 0 to 10", "", 14) },
        ],
        next_step: Some(NextStepPart {
            headline: "Stay at this condition.".into(),
            lines: vec![
                "Wobble at or under 25.4 mm with probability 0.91; 0.95 is asked for.".into(),
                "Felt difficulty at most 3 in each of the last 3 sessions.".into(),
            ],
        }),
        decision: Some(DecisionPart {
            decision: "Stay for one more week".into(),
            author: "clinician C-02".into(),
            date: "2026-04-14".into(),
            note: "Left knee sore after gardening.\nAsk again next week.".into(),
        }),
        definitions: vec![
            "Mean velocity: path of the centre of pressure over elapsed time (Prieto et al. 1996)."
                .into(),
            "Wobble: largest distance between two positions of the body centre within 5 s, median \
             over a trial."
                .into(),
        ],
        software: "Footing 0.1.0".into(),
    }
}

fn empty() -> ChartReport {
    ChartReport {
        person: "P-08".into(),
        made: MADE,
        period: String::new(),
        board: vec![],
        conditions: vec![],
        sway: vec![],
        courses: vec![],
        next_step: None,
        decision: None,
        definitions: vec![],
        software: "Footing 0.1.0".into(),
    }
}

fn plain() -> PatientPage {
    let line = |what: &str, done: &str, planned: &str| PracticeLine {
        what: what.into(),
        done: done.into(),
        planned: planned.into(),
    };
    PatientPage {
        person: "P-07".into(),
        made: MADE,
        period: "2 March to 14 April 2026".into(),
        practice: vec![
            line("On the foam, feet hip width, eyes open", "17 days", "18 days"),
            line("On the foam, feet hip width, eyes closed", "9 days", "12 days"),
        ],
        messages: vec!["Most of the time your wobble was in its useful range.".into()],
        course: Some(course("Your wobble", "mm", 14)),
        next: vec!["Your clinician decided: stay for one more week.".into()],
        stop_when: vec![
            "pain rises by 2 points or more".into(),
            "leg pain goes further down, or numbness or weakness is new".into(),
            "you fall, or feel dizzy".into(),
        ],
        contact: "the practice, 0000 000 000".into(),
        emergency_number: "000".into(),
        software: "Footing 0.1.0".into(),
    }
}

/// What a program of poppler says about a file.
fn poppler(program: &str, arguments: &[&str], pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("page.pdf");
    fs::write(&file, pdf).unwrap();
    let output = Command::new(program)
        .args(arguments)
        .arg(&file)
        .args((program == "pdftotext").then_some("-"))
        .output()
        .expect("poppler-utils is installed");
    assert!(output.status.success(), "{program}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn text(pdf: &[u8]) -> String {
    let text = poppler("pdftotext", &["-raw"], pdf);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The sentences stand in the text in this order.
fn assert_in_order(text: &str, sentences: &[&str]) {
    let mut rest = text;
    for sentence in sentences {
        let Some((_, after)) = rest.split_once(sentence) else {
            panic!("{sentence:?} does not follow in:\n{text}");
        };
        rest = after;
    }
}

fn n_pages(pdf: &[u8]) -> usize {
    let info = poppler("pdfinfo", &[], pdf);
    let line = info.lines().find_map(|line| line.strip_prefix("Pages:")).unwrap();
    line.trim().parse().unwrap()
}

#[test]
fn the_chart_reads_in_order_and_takes_two_pages() {
    for paper in [Paper::A4, Paper::Letter] {
        let pdf = chart(&full(), paper, &ENGLISH).unwrap();
        assert_in_order(
            &text(&pdf),
            &[
                "Standing sway: P-07",
                "2 March to 14 April 2026",
                "Who, and with what",
                "four known masses, within limit",
                "Results",
                "foam 60 mm, hip width, eyes open",
                "Mean velocity 18.4 mm/s 16.6 to 20.6",
                "95 % ellipse area 1012 mm²",
                "Vision quotient 1.31 1.12 to 1.53",
                "Take care: trial 2 lost 14 frames",
                "Next step",
                "Stay at this condition.",
                "probability 0.91",
                "Clinician's decision",
                "Stay for one more week",
                "Decided by clinician C-02, 2026-04-14",
                "Left knee sore after gardening.",
                "Sway paths",
                "Course",
                "Definitions",
                "Prieto et al. 1996",
                "Not a diagnosis and not a substitute",
                "Page 2 of 2",
            ],
        );
        assert_eq!(n_pages(&pdf), 2, "{paper:?}");
    }
}

/// Tags in reading order, figures with words, table heads: what a screen reader is given.
#[test]
fn the_chart_is_tagged() {
    let pdf = chart(&full(), Paper::A4, &ENGLISH).unwrap();
    let structure = poppler("pdfinfo", &["-struct-text"], &pdf);
    assert_in_order(
        &structure,
        &["Document", "H1", "Standing sway: P-07", "Table", "TH", "H2", "Results", "Figure", "P "],
    );
    assert_eq!(structure.matches("Figure").count(), 4, "{structure}");
    let info = poppler("pdfinfo", &["-isodates"], &pdf);
    assert!(info.contains("CreationDate:    2026-04-14T09:30:00+02"), "{info}");
    assert!(info.contains("Tagged:          yes"), "{info}");
    assert!(info.contains("Title:           Standing sway: P-07"), "{info}");
    assert!(info.contains("Creator:         Footing 0.1.0"), "{info}");
    let fonts = poppler("pdffonts", &[], &pdf);
    assert!(fonts.contains("Ubuntu") && fonts.contains("yes yes yes"), "{fonts}");
}

#[test]
fn the_plain_page_is_one_page_and_says_when_to_stop() {
    for paper in [Paper::A4, Paper::Letter] {
        let pdf = patient(&plain(), paper, &ENGLISH).unwrap();
        assert_in_order(
            &text(&pdf),
            &[
                "Your practice, P-07",
                "What comes next",
                "stay for one more week",
                "Stop and ask, if",
                "pain rises by 2 points or more",
                "Ask: the practice, 0000 000 000",
                "In an emergency call 000",
                "What you did",
                "On the foam, feet hip width, eyes open 17 days 18 days",
                "useful range",
                "Not a diagnosis and not a substitute",
            ],
        );
        assert_eq!(n_pages(&pdf), 1, "{paper:?}");
    }
}

#[test]
fn same_input_same_bytes() {
    assert_eq!(
        chart(&full(), Paper::A4, &ENGLISH).unwrap(),
        chart(&full(), Paper::A4, &ENGLISH).unwrap()
    );
    assert_eq!(
        patient(&plain(), Paper::Letter, &ENGLISH).unwrap(),
        patient(&plain(), Paper::Letter, &ENGLISH).unwrap()
    );
}

#[test]
fn a_person_without_trials_has_a_page_that_says_so() {
    let pdf = chart(&empty(), Paper::A4, &ENGLISH).unwrap();
    assert_in_order(
        &text(&pdf),
        &[
            "P-08",
            "Who, and with what Nothing recorded",
            "Results Nothing recorded",
            "No decision recorded.",
        ],
    );
    assert_eq!(n_pages(&pdf), 1);
    let bare = PatientPage {
        practice: vec![],
        messages: vec![],
        course: Some(CoursePlot::default()),
        next: vec![],
        stop_when: vec![],
        contact: String::new(),
        emergency_number: String::new(),
        ..plain()
    };
    let pdf = patient(&bare, Paper::A4, &ENGLISH).unwrap();
    assert_in_order(&text(&pdf), &["Stop and ask, if", "What you did", "Nothing recorded"]);
}

/// One trial: values without intervals, one path, one day.
fn single() -> ChartReport {
    let mut report = full();
    report.conditions.truncate(1);
    report.conditions[0].basis = "1 measured trial of 35 s".into();
    for value in &mut report.conditions[0].values {
        value.interval = None;
    }
    report.conditions[0].values[6].value = None;
    report.conditions[0].values[6].note = "not available: too short".into();
    report.sway = vec![sway_plot("foam, hip width, eyes open", 1, 22.0)];
    report.courses = vec![course("Wobble: foam, hip width, eyes open", "mm", 1)];
    report
}

#[test]
fn a_single_trial_has_no_interval() {
    let text = text(&chart(&single(), Paper::A4, &ENGLISH).unwrap());
    assert_in_order(
        &text,
        &[
            "Mean velocity 18.4 mm/s – beyond",
            "Mean frequency – – not available: too short",
            "1 trial",
        ],
    );
}

/// Four conditions, side by side: each value under its condition, on two pages.
#[test]
fn four_conditions_stand_side_by_side_on_two_pages() {
    let titles = ["firm, hip width, eyes open", "firm, hip width, eyes closed"];
    let mut report = full();
    report.conditions.extend(titles.map(|title| condition(title, 0.5)));
    report.sway.extend(titles.map(|title| sway_plot(title, 3, 9.0)));
    report.courses.extend(titles.map(|title| course(&format!("Wobble: {title}"), "mm", 14)));
    for paper in [Paper::A4, Paper::Letter] {
        let pdf = chart(&report, paper, &ENGLISH).unwrap();
        assert_eq!(n_pages(&pdf), 2, "{paper:?}");
        let text = text(&pdf);
        assert!(text.contains("Mean velocity, mm/s 18.4 ("), "{text}");
        assert_in_order(&text, &["Vision quotient", "1.31 (1.12 to 1.53)", "lost 14 frames"]);
    }
}

/// Long words, characters that cannot be printed, numbers that are none, and hundreds of trials.
fn strange() -> ChartReport {
    let mut report = full();
    let long = "x".repeat(4_000);
    report.person = long.clone();
    report.board.push(fact(&long, &long));
    report.board.push(fact("", ""));
    report.conditions[0].title = format!("{long} end-of-title");
    report.conditions[0].values[0].name = "word ".repeat(900) + "end-of-name";
    report.conditions[0].values[1].value = Some(f64::NAN);
    report.conditions[0].values[2].interval = Some([f64::NEG_INFINITY, f64::INFINITY]);
    report.conditions[0].values[3].value = Some(1.0e300);
    report.conditions.extend((0..40).map(|i| condition(&format!("condition {i}"), 1.0)));
    report.sway = vec![
        SwayPlot::default(),
        sway_plot(&long, 300, 20.0),
        SwayPlot { paths: vec![vec![Cop { ml_mm: f64::NAN, ap_mm: 1.0 }; 9]], ..<_>::default() },
        sway_plot("one", 1, 5.0),
    ];
    report.courses = vec![
        course("hundreds", "mm", 700),
        course(&long, &long, 1),
        CoursePlot { points: course("", "", 2).points[..1].to_vec(), ..CoursePlot::default() },
    ];
    report.decision = Some(DecisionPart {
        decision: "Zoë \u{202e}abc\u{0}\u{7} 漢字 👣 \u{e000}\u{feff}".into(),
        author: "ß\tä".into(),
        date: "\n\n".into(),
        note: "line\n\n\r\nother".repeat(50),
    });
    report
}

/// Whatever stands in names and notes, and however much there is, the pages can be written and
/// nothing of it is lost.
#[test]
fn long_strange_and_many_are_printed() {
    let pdf = chart(&strange(), Paper::Letter, &ENGLISH).unwrap();
    let text = text(&pdf);
    assert_in_order(&text, &["end-of-title", "end-of-name", "condition 39", "Zoë abc ?? ? ?"]);
    assert!(text.contains("the latest 6 of 300 trials"), "{text}");
    assert!(4 * 4_000 <= text.matches('x').count(), "{}", text.matches('x').count());
    assert!((20..60).contains(&n_pages(&pdf)), "{}", n_pages(&pdf));
    assert!(pdf.len() < 4_000_000, "{}", pdf.len());
}

/// The bounds of every word, as poppler finds them, lie on the paper within its margins.
#[test]
fn no_word_leaves_the_column() {
    let pages = [
        chart(&full(), Paper::Letter, &ENGLISH).unwrap(),
        chart(&strange(), Paper::Letter, &ENGLISH).unwrap(),
        chart(&single(), Paper::Letter, &ENGLISH).unwrap(),
        patient(&plain(), Paper::Letter, &ENGLISH).unwrap(),
    ];
    for pdf in &pages {
        let bounds = poppler("pdftotext", &["-bbox"], pdf);
        let mut n_words = 0;
        for word in bounds.lines().filter(|line| line.trim().starts_with("<word")) {
            let numbers: Vec<f64> =
                word.split('"').filter_map(|piece| piece.parse().ok()).take(4).collect();
            let &[left, top, right, bottom] = numbers.as_slice() else { panic!("{word}") };
            // Letter is 612 x 792 points; the margin is 42.5, below the foot 28.
            assert!(42.0 <= left && right <= 570.0, "{word}");
            assert!(28.0 <= top && bottom <= 792.0 - 26.0, "{word}");
            n_words += 1;
        }
        assert!(50 < n_words, "{n_words}");
    }
}

/// These words are never used of a person.
#[test]
fn the_pages_judge_nobody() {
    let pages = [
        chart(&full(), Paper::A4, &ENGLISH).unwrap(),
        chart(&empty(), Paper::A4, &ENGLISH).unwrap(),
        patient(&plain(), Paper::A4, &ENGLISH).unwrap(),
    ];
    for pdf in &pages {
        let text = text(pdf).replace("Not a diagnosis and not a substitute", "").to_lowercase();
        for word in text.split(|c: char| !c.is_alphabetic()) {
            let banned = [
                "safe",
                "normal",
                "cured",
                "cleared",
                "pass",
                "passed",
                "fail",
                "failed",
                "diagnosis",
            ];
            assert!(!banned.contains(&word), "{word}");
        }
    }
}
