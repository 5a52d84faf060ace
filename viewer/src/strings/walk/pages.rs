//! Words at home, on printed pages and about sound.

use acquisition::home::{Ask, HomeSettings, Lock, Missing, Part, Reached, Sign, Stand};
use acquisition::records::{AffectedSide, PracticeFlag};
use analysis::readiness::Which;
use analysis::{QualityFlag, Vision};

use super::Said;
use super::standing::every_stage;
use crate::command_line::Problem;
use crate::sound::{Cue, OpenSoundError, SoundState};
use crate::strings::{FactWords, PracticeWords, ReportWords, SoundWords};

fn every_ask() -> Vec<Ask> {
    let stand = |part, vision| Stand {
        condition: analysis::Condition {
            vision,
            ..("foam/hip-width/open".parse().expect("a condition"))
        },
        part,
        number: 1,
        of: 2,
        settle_s: 12.0,
        hold_s: 35.0,
        heard: true,
    };
    let mut all = vec![
        Ask::Missing(Missing::EmergencyNumber),
        Ask::Missing(Missing::ClinicContact),
        Ask::Missing(Missing::Plan),
        Ask::NothingReleased,
        Ask::MoreThanPlanned { planned: 1 },
        Ask::MoreThanPlanned { planned: 2 },
        Ask::Kept { n_stands: 1 },
        Ask::Kept { n_stands: 2 },
        Ask::NextMorning,
        Ask::PainBefore,
        Ask::Room,
        Ask::Company,
        Ask::Volume,
        Ask::FindStance,
        Ask::HeldOnOrHurt,
        Ask::SoundCheck,
        Ask::BoardCheck,
        Ask::Rest { until_unix_us: 0, then: stand(Part::Guided, Vision::Open) },
        Ask::SoundWasLost,
        Ask::Touched,
        Ask::Difficulty,
        Ask::WorstPain,
        Ask::PainAfter,
        Ask::Done(Reached { n_measured: 2, n_guided: 1, n_planned: 2 }),
    ];
    all.extend(Which::ALL.iter().map(|&which| Ask::Locked(Lock { reasons: vec![which] })));
    all.extend(Sign::ALL.iter().map(|&sign| Ask::Sign(sign)));
    for &part in Part::ALL {
        all.extend(Vision::ALL.iter().map(|&vision| Ask::Stand(stand(part, vision))));
    }
    all
}

pub(super) fn practice(said: &mut Said, words: &PracticeWords) {
    let PracticeWords {
        page,
        yes,
        no,
        go_on,
        enough,
        less,
        more,
        that_many,
        try_again,
        wobble_not_known,
        wobble_too_little,
        wobble_inside,
        wobble_too_much,
        again,
        leave,
        quieter,
        louder,
        mark,
        stay,
        leaving,
        leave_key,
        typed_louder,
        typed_quieter,
        type_volume,
        typed_yes,
        typed_no,
        type_yes_or_no,
        type_points,
        no_sound,
        stage,
        flag,
        trouble,
    } = words;
    let plain = [
        yes,
        no,
        go_on,
        enough,
        less,
        more,
        that_many,
        try_again,
        wobble_not_known,
        wobble_too_little,
        wobble_inside,
        wobble_too_much,
        again,
        leave,
        type_yes_or_no,
        type_points,
        no_sound,
    ];
    said.all("practice", plain.map(|it| *it));
    said.all("practice.typed", typed_yes.iter().chain(*typed_no).copied());
    said.all("practice.typed", typed_louder.iter().chain(*typed_quieter).copied());
    said.all("practice", [*quieter, *louder, *stay, *leave_key, *type_volume]);
    said.all("practice.mark", Cue::ALL.iter().map(|&cue| mark(cue)));
    let last = leaving();
    said.add("practice.leaving", last.title);
    said.all("practice.leaving", last.lines);
    let settings = HomeSettings {
        emergency_number: Some("112".to_owned()),
        clinic_contact: Some("C-01".to_owned()),
        ..HomeSettings::default()
    };
    for ask in every_ask() {
        let words = page(&ask, &settings);
        said.add("practice.page", words.title);
        said.all("practice.page", words.lines);
    }
    said.all("practice.stage", every_stage().iter().map(stage));
    said.all("practice.flag", PracticeFlag::ALL.iter().map(|&one| flag(one)));
    assert_eq!(trouble(&Problem::Said), None);
    let gone = || std::io::Error::from(std::io::ErrorKind::NotFound);
    let connect = acquisition::ConnectError::Open { port: "/dev/x".to_owned(), source: gone() };
    for problem in [
        Problem::Connect(connect),
        Problem::FindBoard(acquisition::FindBoardError::NoPort),
        Problem::Record(acquisition::RecordError::StoppedBefore),
        Problem::OpenRecords(acquisition::records::OpenRecordsError::RebuildFirst),
        Problem::Print(gone()),
    ] {
        said.message("practice.trouble", &trouble(&problem).expect("it was not said yet"));
    }
}

pub(super) fn sound(said: &mut Said, words: &SoundWords) {
    let SoundWords { meaning, sounds_like, not_opened, lost } = words;
    said.all("sound.meaning", Cue::ALL.iter().map(|&cue| meaning(cue)));
    said.all("sound.like", Cue::ALL.iter().map(|&cue| sounds_like(cue)));
    said.message("sound.not_opened", &not_opened(&OpenSoundError::NoDevice));
    assert_eq!(lost(&SoundState::Playing), None);
    let reason = SoundState::Lost { reason: "7".to_owned() };
    for state in [reason, SoundState::Interrupted, SoundState::Stalled] {
        said.message("sound.lost", &lost(&state).expect("it is lost"));
    }
}

pub(super) fn report(said: &mut Said, words: &ReportWords) {
    let ReportWords {
        language_tag,
        chart_title,
        subtitle,
        board_head,
        results_head,
        measure_head,
        value_head,
        interval_head,
        note_head,
        from_to,
        doubt,
        no_value,
        nothing_recorded,
        next_step_head,
        no_next_step,
        decision_head,
        decided_by,
        no_decision,
        sway_head,
        sway_about,
        sway_axes,
        paths_drawn,
        sway_alternative,
        course_head,
        course_alternative,
        definitions_head,
        measures_only,
        page_of,
        patient_title,
        your_next_head,
        your_practice_head,
        stand_head,
        done_head,
        planned_head,
        stop_head,
        contact,
        emergency,
        facts,
        period,
        basis,
        interval_of_table,
        chance_up_to,
        change_of_course,
        vision_quotient,
        vision_quotient_of,
        flag,
        not_opened,
        not_beside,
        step_at,
        left_out,
        go_on_with,
        wobble_course,
        difficulty_course,
        pain_course,
        about_definitions,
        about_picture,
        stop_when,
        you_go_on_with,
        on_days,
        planned_dose,
    } = words;
    let plain = [
        language_tag,
        board_head,
        results_head,
        measure_head,
        value_head,
        interval_head,
        note_head,
        no_value,
        nothing_recorded,
        next_step_head,
        no_next_step,
        decision_head,
        no_decision,
        sway_head,
        sway_about,
        sway_axes,
        course_head,
        definitions_head,
        measures_only,
        your_next_head,
        your_practice_head,
        stand_head,
        done_head,
        planned_head,
        stop_head,
        interval_of_table,
        vision_quotient,
        vision_quotient_of,
        difficulty_course,
        pain_course,
        about_picture,
    ];
    said.all("report", plain.map(|it| *it));
    said.all("report.definitions", about_definitions.iter().copied());
    said.all("report.title /", [subtitle("", "7"), subtitle("7", "8")]);
    said.all("report.title", [chart_title("7"), patient_title("7"), wobble_course("7")]);
    said.all("report.said", [from_to("1", "2"), doubt("7"), decided_by("7", "8"), contact("7")]);
    said.all("report.said", [emergency("112"), page_of(1, 2), not_opened(1), not_opened(2)]);
    said.all("report.said", [not_beside("7"), left_out("7"), go_on_with("7", "8")]);
    said.all("report.said", [you_go_on_with("7", "8"), step_at("7", "8"), chance_up_to("1")]);
    said.all("report.said", [change_of_course("1", true), change_of_course("1", false)]);
    said.all("report.paths", [paths_drawn(1, 1), paths_drawn(2, 2), paths_drawn(6, 7)]);
    let ends = [Some("1".to_owned()), Some("2".to_owned())];
    said.all(
        "report.paths",
        [course_alternative("7", 1, &ends), course_alternative("7", 0, &[None, None])],
    );
    said.add("report.paths", sway_alternative("7", 2, 12.5));
    let (same, two) = (["7".to_owned(), "7".to_owned()], ["7".to_owned(), "8".to_owned()]);
    said.all(
        "report.period",
        [period(None, "9"), period(Some(&same), "9"), period(Some(&two), "9")],
    );
    said.all("report.basis", [basis(1, "0", "7", 1), basis(3, "35", "7", 4)]);
    said.all("report.stop", stop_when("2"));
    said.all("report.days", [on_days(1), on_days(2)]);
    said.all("report.dose", [1, 2, 3].map(|n| planned_dose(n, 3, "20")));
    said.all("report.flag", QualityFlag::ALL.iter().map(|&one| flag(one)));
    report_facts(said, facts);
}

fn report_facts(said: &mut Said, words: &FactWords) {
    let FactWords {
        person,
        board,
        calibration,
        noise,
        plane,
        plan,
        no_trial,
        born,
        side,
        imported,
        foreign_calibration,
        own_board,
        nominal_calibration,
        fitted_calibration,
        newer_calibration,
        no_dead_weight,
        dead_weight,
        plate_plane,
        plan_made,
    } = words;
    let plain = [
        person,
        board,
        calibration,
        noise,
        plane,
        plan,
        no_trial,
        foreign_calibration,
        nominal_calibration,
        no_dead_weight,
    ];
    said.all("facts", plain.map(|it| *it));
    said.all("facts.side", AffectedSide::ALL.iter().map(|&one| side(one)));
    said.all("facts.said", [born(1970), imported("7", "8"), newer_calibration(2)]);
    // An id and the word firmware, which both languages share.
    said.add("facts.board /", own_board("7", "8"));
    said.all(
        "facts.said",
        [fitted_calibration(1, "7", None), fitted_calibration(1, "7", Some("8"))],
    );
    said.all("facts.said", [dead_weight("1", "2"), plate_plane(None), plate_plane(Some("8"))]);
    said.add("facts.said", plan_made(1, "7", "8"));
}
