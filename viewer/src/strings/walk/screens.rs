//! Words of the window's screens, but for those on which a board is used.

use std::path::Path;

use acquisition::records::{Dose, GuidedBy, PlanChange, Release};
use analysis::readiness::{THRESHOLDS, Verdict};
use analysis::{Band, Stance, Support, Surface, Vision};

use super::{Said, every_condition};
use crate::strings::language::{ChoiceWords, ChooseWords, CommonWords, CompareWords, StartWords};
use crate::strings::{CourseWords, PeopleWords, PictureWords, PlanWords};

pub(super) fn common(said: &mut Said, words: &CommonWords) {
    let CommonWords {
        program,
        caution,
        own_name,
        language_label,
        // A language has it or not.
        language_caution: _,
        to_light,
        to_dark,
        dismiss,
        dismiss_all,
        reading,
    } = words;
    said.add("common.caution", *caution);
    said.all(
        "common",
        [program, own_name, language_label, to_light, to_dark, dismiss, reading].map(|it| *it),
    );
    said.add("common", dismiss_all(3));
}

pub(super) fn start(said: &mut Said, words: &StartWords) {
    let StartWords {
        tab,
        purpose,
        simulated,
        real,
        try_button,
        open,
        home,
        home_button,
        path_label,
        path_hint,
        open_button,
    } = words;
    said.all(
        "start",
        [tab, purpose, try_button, home_button, path_label, path_hint, open_button].map(|it| *it),
    );
    for ChoiceWords { name, about, command } in [simulated, real, open, home] {
        said.all("start.choice", [*name, *about]);
        said.all("start.choice", *command);
    }
}

pub(super) fn choose(said: &mut Said, words: &ChooseWords) {
    let ChooseWords {
        tab,
        title,
        find_label,
        find_hint,
        nothing_found,
        compare_button,
        clear_button,
        n_trials,
        person_detail,
        trial_number,
        more_groups,
        set_empty,
        put_into_set,
        show_trials,
    } = words;
    let plain = [tab, title, find_label, find_hint, nothing_found, compare_button, clear_button];
    said.all("choose", plain.map(|it| *it));
    for n in [1, 2] {
        said.all("choose.counted", [n_trials(n), person_detail(n, n), more_groups(n)]);
    }
    said.all(
        "choose.named",
        [trial_number(1), set_empty("A"), put_into_set("A", "7"), show_trials("7")],
    );
}

pub(super) fn compare(said: &mut Said, words: &CompareWords) {
    let CompareWords {
        tab,
        nothing_yet,
        choose_sets,
        path_tab,
        time_tab,
        spectrum_tab,
        path_about,
        time_about,
        spectrum_about,
        ml_axis,
        ap_axis,
        time_axis,
        frequency_axis,
        position_axes,
        power_axes,
        hover_path,
        hover_line,
        decimals,
        zoom_note,
        dense_note,
        all_trials,
        every_trial,
        only_trial,
        mean,
        trial_of_set,
        doubt_of_trial,
        doubt,
        measure_head,
        change_head,
        vision_quotient_head,
        ratio,
        interval,
        no_interval,
        no_value,
        verdict_exceeds,
        verdict_within,
        verdict_unknown,
        detectable_from,
        detectable_unknown,
        verdict_head,
        no_change,
        strip_about,
        band_note,
        all_measures,
        fewer_measures,
    } = words;
    let plain = [
        tab,
        nothing_yet,
        choose_sets,
        path_tab,
        time_tab,
        spectrum_tab,
        path_about,
        time_about,
        spectrum_about,
        ml_axis,
        ap_axis,
        time_axis,
        frequency_axis,
        zoom_note,
        dense_note,
        all_trials,
        mean,
        measure_head,
        change_head,
        vision_quotient_head,
        no_interval,
        no_value,
        verdict_exceeds,
        verdict_within,
        verdict_unknown,
        verdict_head,
        no_change,
        band_note,
        all_measures,
        fewer_measures,
    ];
    said.all("compare", plain.map(|it| *it));
    said.all("compare.axes ML AP", position_axes.iter().chain(power_axes).copied());
    said.add("compare.detectable_unknown", *detectable_unknown);
    said.all("compare.hover", [hover_path("7", -1.5, -1.5), hover_path("7", 1.5, 1.5)]);
    said.add("compare.hover", hover_line("7", "8", 1.25, "9", 1.25));
    said.all("compare.number", [decimals(1.5, 1), ratio(1.25), detectable_from(1.25)]);
    said.all("compare.interval", [interval("1", "2", true), interval("1", "2", false)]);
    said.all("compare.trial", [every_trial("A"), only_trial("A", 1), trial_of_set("A", 1)]);
    said.all("compare.doubt", [doubt_of_trial(1, "7"), doubt("7")]);
    said.add("compare.strip", strip_about("7", "8", "9", "0"));
}

pub(super) fn picture(said: &mut Said, words: &PictureWords) {
    let PictureWords {
        label,
        save,
        differences_label,
        save_differences,
        already_there,
        replace,
        keep,
        paths,
        over_time,
        spectra,
        differences,
        set,
        paths_note,
        differences_key,
        from_table,
        differences_axis,
        difference,
        wobble_of_day,
        dates,
        stand,
        before_end,
        // Said with the messages.
        saved: _,
        failed: _,
    } = words;
    let plain = [
        label,
        save,
        differences_label,
        save_differences,
        replace,
        keep,
        paths,
        over_time,
        spectra,
        differences,
        paths_note,
        from_table,
        wobble_of_day,
        dates,
        before_end,
    ];
    said.all("picture", plain.map(|it| *it));
    said.all("picture.key", *differences_key);
    said.all("picture.said", [already_there(Path::new("/x")), differences_axis("7"), stand("7")]);
    said.all("picture.said", [set("A", "7"), difference("7", "8", "9")]);
}

pub(super) fn people(said: &mut Said, words: &PeopleWords) {
    let PeopleWords {
        tab,
        title,
        find_label,
        find_hint,
        nobody,
        nothing_found,
        no_records,
        code_label,
        code_hint,
        add_button,
        course_button,
        course_of,
        not_read,
        no_plan,
        n_new,
        last_session,
        no_session,
        verdict,
    } = words;
    let plain = [
        tab,
        title,
        find_label,
        find_hint,
        nobody,
        nothing_found,
        no_records,
        code_label,
        code_hint,
        add_button,
        course_button,
        not_read,
        no_plan,
        no_session,
    ];
    said.all("people", plain.map(|it| *it));
    said.all("people.named", [course_of("7"), n_new(1), n_new(2), last_session("7")]);
    said.all("people.verdict", Verdict::ALL.iter().map(|&one| verdict(one)));
}

pub(super) fn course(said: &mut Said, words: &CourseWords) {
    let CourseWords {
        tab,
        nobody_chosen,
        choose_person,
        title,
        condition_label,
        nothing_measured,
        wobble_title,
        difficulty_title,
        pain_title,
        pain_marks,
        window,
        learning,
        decision_mark,
        decimals,
        mm,
        inch,
        wobble_of_day,
        difficulty_of_day,
        pain_of_day,
        no_wobble,
        about,
        days_note,
        all_days,
        step_head,
        no_plan,
        left_out_head,
        left_out_line,
        // Said with the messages.
        left_out: _,
        outside: _,
        sessions_done,
        decided_head,
        decision_head,
        go_on_with,
        author_label,
        note_label,
        decide_button,
        confirm,
        store_button,
        back_button,
        no_decision,
        decided,
        not_asked,
    } = words;
    let plain = [
        tab,
        nobody_chosen,
        choose_person,
        condition_label,
        nothing_measured,
        wobble_title,
        difficulty_title,
        pain_title,
        learning,
        decision_mark,
        mm,
        inch,
        no_wobble,
        days_note,
        step_head,
        no_plan,
        left_out_head,
        decided_head,
        decision_head,
        go_on_with,
        author_label,
        note_label,
        decide_button,
        store_button,
        back_button,
        no_decision,
        not_asked,
    ];
    said.all("course", plain.map(|it| *it));
    said.add("course.all days", *all_days);
    said.all("course.marks", *pain_marks);
    said.all("course.title", [title("7", None), title("7", Some("8")), left_out_line(1, "7")]);
    said.all("course.number", [decimals(1.5, 1), window([6.35, 25.4])]);
    said.all("course.day", [wobble_of_day(12.5, 1, true), wobble_of_day(12.5, 2, false)]);
    said.all("course.day", [difficulty_of_day(None), difficulty_of_day(Some(3))]);
    said.all("course.day", [pain_of_day([None; 3]), pain_of_day([Some(1); 3])]);
    said.all("course.about", [about(1), about(2)]);
    said.all("course.done", [sessions_done(1, 1, 14, None), sessions_done(2, 2, 14, Some(1))]);
    said.all("course.decided", [confirm("7", "8", "9", "0"), decided("7", "8", "9", "0")]);
}

pub(super) fn plan(said: &mut Said, words: &PlanWords) {
    let PlanWords {
        tab,
        nobody_chosen,
        title,
        made,
        first,
        five,
        of_condition,
        surface,
        stance,
        vision,
        support,
        band,
        dose_fields,
        dose_labels,
        release_field,
        dose,
        release,
        sessions,
        settle,
        earlier,
        later,
        remove,
        add,
        window_head,
        window_fields,
        limits_head,
        sessions_field,
        home_head,
        guided_by_field,
        guided_by,
        by_sight_about,
        finds_stance_field,
        limit,
        other_limits,
        changes_head,
        no_change,
        change,
        undo,
        redo,
        author_label,
        store,
        store_about,
        history_head,
        version,
    } = words;
    let plain = [
        tab,
        nobody_chosen,
        first,
        release_field,
        earlier,
        later,
        remove,
        add,
        window_head,
        limits_head,
        sessions_field,
        other_limits,
        changes_head,
        no_change,
        undo,
        redo,
        author_label,
        store_about,
        history_head,
    ];
    said.all("plan", plain.map(|it| *it));
    said.all("plan.home", [*home_head, *guided_by_field, *by_sight_about, *finds_stance_field]);
    said.all("plan.guided", [GuidedBy::Sound, GuidedBy::Sight].map(guided_by));
    said.all("plan.five", *five);
    said.all("plan.dose", dose_fields.iter().chain(dose_labels).copied());
    said.all("plan.window", *window_fields);
    said.all("plan.title", [title("7", None), title("7", Some(1)), made("7", "8")]);
    said.all("plan.named", [of_condition("7", 1), store(1), version(1, "7", "8")]);
    said.all("plan.surface", Surface::ALL.iter().map(|&one| surface(one)));
    said.all("plan.stance", Stance::ALL.iter().map(|&one| stance(one)));
    said.all("plan.vision", Vision::ALL.iter().map(|&one| vision(one)));
    said.all("plan.support", Support::ALL.iter().map(|&one| support(one)));
    said.all("plan.band", Band::ALL.iter().map(|&one| band(one)));
    said.all("plan.release", Release::ALL.iter().map(|&one| release(one)));
    let three = Dose { holds: 3, hold_s: 20.5, rest_s: 30.5 };
    said.all(
        "plan.how much",
        [dose(three), sessions(1), sessions(2), settle(None), settle(Some(1.5))],
    );
    said.all("plan.limit", THRESHOLDS.iter().filter_map(|one| limit(one.key)));
    let condition = every_condition()[0];
    let (from, to) = (three, Dose { holds: 4, ..three });
    for one in [
        PlanChange::Added(condition),
        PlanChange::Removed(condition),
        PlanChange::Order,
        PlanChange::Dose { condition, from, to },
        PlanChange::Release { condition, from: Release::Clinic, to: Release::Alone },
        PlanChange::SessionsPerDay { from: 1, to: 2 },
        PlanChange::GuidedBy { from: GuidedBy::Sound, to: GuidedBy::Sight },
        PlanChange::FindsStanceAtHome(true),
        PlanChange::FindsStanceAtHome(false),
        PlanChange::Settle { from: None, to: Some(12.5) },
        PlanChange::Threshold { key: "pain_rise", from: 2.0, to: 2.5 },
    ] {
        said.add("plan.change", change(&one));
    }
}
