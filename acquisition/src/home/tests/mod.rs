//! Sessions at home as tables: what is asked, what is answered, what is asked then.
//!
//! What must follow is the product's own rule: questions first, locks until the clinic's review,
//! releases from the plan, no closed eyes without sound.

use analysis::Condition;
use analysis::readiness::{Course, Decision, NextMorning, Rating, Thresholds, Which};

use super::*;
use crate::records::{Dose, GuidedBy, Plan, PlannedCondition, Release, SessionRecord};
use crate::stored_trial::Ending;
use crate::wall_time::WallTime;

mod today;

const OPEN: &str = "foam/hip-width/open";
const CLOSED: &str = "foam/hip-width/closed";
const ONE_LEG: &str = "foam/one-leg-left/open";
const DAY_US: i64 = 24 * 3_600_000_000;

fn at(minutes: i64) -> WallTime {
    WallTime { unix_us: 20_000 * DAY_US + (9 * 60 + minutes) * 60_000_000, offset_s: 0 }
}

fn condition(text: &str) -> Condition {
    text.parse().unwrap()
}

fn rating(points: u8) -> Rating {
    Rating::new(points).unwrap()
}

fn plan(conditions: &[(&str, Release)]) -> Plan {
    let dose = Dose { holds: 2, hold_s: 20.0, rest_s: 30.0 };
    let planned = |&(text, release): &(&str, Release)| PlannedCondition {
        condition: condition(text),
        dose,
        release,
    };
    Plan {
        id: "01a21109-7b24-76be-857e-47f32fc372f3".to_owned(),
        person: "P-01".parse().unwrap(),
        version: 1,
        author: "clinician-1".to_owned(),
        made: at(-10_000),
        conditions: conditions.iter().map(planned).collect(),
        sessions_per_day: 1,
        settle_s: None,
        guided_by: GuidedBy::Sound,
        finds_stance_at_home: false,
        thresholds: Thresholds::default(),
    }
}

fn known(plan: Plan) -> Known {
    let stood_before = plan.conditions.iter().map(|planned| planned.condition).collect();
    Known {
        person: plan.person.clone(),
        settings: HomeSettings {
            emergency_number: Some("112".to_owned()),
            clinic_contact: Some("C-01".to_owned()),
            ..HomeSettings::default()
        },
        place: Some(plan.conditions[0].condition),
        plan: Some(plan),
        course: Course::default(),
        last: None,
        n_ended_today: 0,
        stood_before,
        cut_off: None,
        pulls: Vec::new(),
        new_id: "new".to_owned(),
    }
}

fn begun(known: Known) -> HomeSession {
    HomeSession::new(known, at(0))
}

/// What is asked, by its name and what it is about.
fn name(ask: &Ask) -> String {
    match ask {
        Ask::Sign(sign) => format!("sign {sign}"),
        Ask::Stand(stand) => format!("{} {}/{}", stand.part, stand.number, stand.of),
        Ask::Rest { .. } => "rest".to_owned(),
        Ask::Locked(lock) => format!("locked {:?}", lock.reasons),
        Ask::Missing(missing) => format!("missing {missing:?}"),
        other => {
            let text = format!("{other:?}");
            text.split([' ', '(', '{']).next().unwrap_or_default().to_owned()
        }
    }
}

fn stood(ended: Ending) -> Answer {
    let shown = StandShown { has_position: true, ..StandShown::default() };
    Answer::Stood(StandOutcome { trial: Some("trial".to_owned()), ended, sound_lost: false, shown })
}

/// Gives each answer to the question it is written beside, a minute apart.
#[track_caller]
fn check(session: &mut HomeSession, from_minute: i64, steps: &[(&str, Answer)]) {
    for (minute, (asked, answer)) in (from_minute..).zip(steps) {
        assert_eq!(name(&session.ask(at(minute))), *asked, "at minute {minute}");
        session.answer(answer.clone(), at(minute)).unwrap();
    }
}

fn nothing_new() -> Vec<(&'static str, Answer)> {
    ["sign warning", "sign numbness-or-weakness", "sign leg-pain", "sign fall"]
        .map(|asked| (asked, Answer::No))
        .into_iter()
        .chain([("PainBefore", Answer::Points(rating(2)))])
        .collect()
}

/// From the first question to the first stand, with sound or without.
fn to_the_board(session: &mut HomeSession, sound: Answer) {
    let mut steps = nothing_new();
    steps.extend([
        ("Room", Answer::Yes),
        ("Volume", Answer::Continue),
        ("SoundCheck", sound),
        ("BoardCheck", Answer::BoardReady),
    ]);
    check(session, 0, &steps);
}

#[test]
fn a_session_goes_from_the_questions_over_the_stands_to_the_last_questions() {
    let mut session = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut session, Answer::Yes);
    let held = || stood(Ending::HoldReached);
    check(
        &mut session,
        10,
        &[
            ("reference 1/1", held()),
            ("practice 1/1", held()),
            ("measured 1/2", held()),
            ("measured 2/2", held()),
            ("guided 1/2", held()),
            ("guided 2/2", held()),
            ("Touched", Answer::No),
            ("Difficulty", Answer::Points(rating(3))),
            ("WorstPain", Answer::Points(rating(2))),
            ("PainAfter", Answer::Points(rating(3))),
        ],
    );
    let reached = Reached { n_measured: 2, n_guided: 2, n_planned: 2 };
    assert_eq!(session.ask(at(30)), Ask::Done(reached));
    let record = session.record().unwrap();
    assert_eq!(record.ended_unix_us, Some(at(19).unix_us));
    assert_eq!(record.answers.pain_at_start, Some(rating(2)));
    let [exercise] = &record.exercises[..] else { panic!("{record:?}") };
    assert_eq!(exercise.pad.as_deref(), Some("home"));
    assert_eq!((exercise.difficulty, exercise.touched_something), (Some(rating(3)), Some(false)));
}

#[test]
fn the_first_day_at_a_condition_has_two_practice_stands() {
    let start = known(plan(&[(OPEN, Release::Alone)]));
    let mut session = begun(Known { stood_before: [condition(CLOSED)].into(), ..start });
    to_the_board(&mut session, Answer::No);
    check(&mut session, 9, &[("reference 1/1", stood(Ending::HoldReached))]);
    let Ask::Stand(stand) = session.ask(at(11)) else { panic!() };
    assert_eq!((stand.part, stand.of, stand.heard), (Part::Practice, 2, false));
    assert_eq!((stand.settle_s, stand.hold_s), (12.0, 35.0));
}

#[test]
fn a_rest_lasts_as_long_as_the_plan_says_and_then_asks_by_itself() {
    let mut session = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut session, Answer::Yes);
    session.answer(stood(Ending::HoldReached), at(10)).unwrap();
    let later = |seconds: i64| WallTime { unix_us: at(10).unix_us + seconds * 1_000_000, ..at(0) };
    for (seconds, asked) in [(0, "rest"), (29, "rest"), (30, "practice 1/1")] {
        assert_eq!(name(&session.ask(later(seconds))), asked, "after {seconds} s");
    }
    assert_eq!(session.answer(Answer::Continue, later(3)), Err(NotAsked), "it is not skipped");
}

#[test]
fn nothing_begins_before_the_home_is_set_up() {
    let plan = plan(&[(OPEN, Release::Alone)]);
    let settings = |number: Option<&str>, contact: Option<&str>| HomeSettings {
        emergency_number: number.map(str::to_owned),
        clinic_contact: contact.map(str::to_owned),
        ..HomeSettings::default()
    };
    for (settings, plan, asked) in [
        (settings(None, Some("C-01")), Some(plan.clone()), "missing EmergencyNumber"),
        (settings(Some("112"), None), Some(plan.clone()), "missing ClinicContact"),
        (settings(Some("112"), Some("C-01")), None, "missing Plan"),
    ] {
        let mut session =
            begun(Known { settings, plan, ..known(self::plan(&[(OPEN, Release::Alone)])) });
        assert_eq!(name(&session.ask(at(0))), asked);
        assert_eq!(session.answer(Answer::Yes, at(0)), Err(NotAsked));
    }
    assert_eq!(name(&begun(known(plan)).ask(at(0))), "sign warning");
}

#[test]
fn each_sign_locks_until_a_decision_that_is_newer() {
    for (n_before, reason) in [
        (0, Which::WarningSign),
        (1, Which::NumbnessOrWeakness),
        (2, Which::LegPainFurtherDown),
        (3, Which::Fall),
    ] {
        let start = known(plan(&[(OPEN, Release::Alone)]));
        let mut session = begun(start.clone());
        check(&mut session, 0, &nothing_new()[..n_before]);
        let deed = session.answer(Answer::Yes, at(8)).unwrap();
        let Deed::Save(saved) = deed else { panic!("{deed:?}") };
        assert_eq!(saved.ended_unix_us, Some(at(8).unix_us), "the report ends the session");
        let Ask::Locked(lock) = session.ask(at(9)) else { panic!() };
        assert_eq!(lock.reasons, [reason]);
        assert_eq!(lock.is_emergency(), reason == Which::WarningSign);
        for answer in [Answer::No, Answer::Yes, Answer::Continue, Answer::Enough] {
            assert_eq!(session.answer(answer, at(9)), Err(NotAsked));
        }

        // At the next start it is locked still; a decision from before changes nothing.
        let reported = judged(&saved);
        for (decided, asked) in
            [(None, "locked"), (Some(at(7)), "locked"), (Some(at(60)), "sign warning")]
        {
            let course = Course {
                sessions: vec![reported.clone()],
                decisions: decided.into_iter().map(decision).collect(),
            };
            let again = HomeSession::new(Known { course, ..start.clone() }, at(24 * 60));
            let found = name(&again.ask(at(24 * 60)));
            assert!(found.starts_with(asked), "{reason:?}, {decided:?}: {found}");
        }
    }
}

#[test]
fn a_plan_without_the_condition_of_a_report_does_not_unlock() {
    let start = known(plan(&[(OPEN, Release::Alone)]));
    let mut session = begun(start.clone());
    let Deed::Save(saved) = session.answer(Answer::Yes, at(8)).unwrap() else { panic!() };
    // Decided before the report; the plan that came since holds another condition alone.
    let course = Course { sessions: vec![judged(&saved)], decisions: vec![decision(at(7))] };
    let other = plan(&[("foam/together/open", Release::Alone)]);
    let known = Known { course, plan: Some(other), ..start };
    let again = HomeSession::new(known, at(24 * 60));
    assert_eq!(name(&again.ask(at(24 * 60))), "locked [WarningSign]");
}

fn decision(made: WallTime) -> Decision {
    Decision { at_us: made.unix_us, author: "clinician-1".to_owned(), condition: condition(OPEN) }
}

fn judged(record: &SessionRecord) -> analysis::readiness::Session {
    analysis::readiness::Session {
        id: record.id.clone(),
        day: record.started.local_day(),
        ended_us: record.ended_unix_us.unwrap(),
        answers: record.answers,
        exercises: Vec::new(),
    }
}

#[test]
fn pain_above_the_ceiling_or_up_by_two_locks() {
    for (start, worst, after, asked) in [
        (5, 6, 6, "Done"),
        (6, 0, 0, "locked [PainAtStart]"),
        (2, 4, 2, "locked [PainDuring]"),
        (2, 3, 4, "locked [PainAfter]"),
        (2, 3, 3, "Done"),
    ] {
        let mut session = begun(known(plan(&[(OPEN, Release::Alone)])));
        let mut steps = nothing_new();
        steps[4].1 = Answer::Points(rating(start));
        check(&mut session, 0, &steps);
        if !matches!(session.ask(at(6)), Ask::Locked(_)) {
            session.answer(Answer::Enough, at(6)).unwrap();
            session.answer(Answer::Points(rating(worst)), at(7)).unwrap();
            if session.ask(at(8)) == Ask::PainAfter {
                session.answer(Answer::Points(rating(after)), at(8)).unwrap();
            }
        }
        assert_eq!(name(&session.ask(at(9))), asked, "{start}, {worst}, {after}");
    }
}

#[test]
fn pain_the_next_morning_is_asked_once_and_locks_when_it_is_up_by_two() {
    for (days, pain, asked) in [
        (1, 3, "sign warning"),
        (1, 4, "locked [PainNextMorning]"),
        (3, 3, "sign warning"),
        (4, 4, "not asked"),
    ] {
        let mut earlier = begun(known(plan(&[(OPEN, Release::Alone)])));
        check(&mut earlier, 0, &nothing_new());
        earlier.answer(Answer::Enough, at(6)).unwrap();
        earlier.answer(Answer::Points(rating(2)), at(7)).unwrap();
        earlier.answer(Answer::Points(rating(2)), at(8)).unwrap();
        let record = earlier.record().unwrap().clone();
        let course = Course { sessions: vec![judged(&record)], decisions: Vec::new() };
        let last = Some((record.id.clone(), record.started.local_day(), false));
        let now = at(days * 24 * 60);
        let start = known(plan(&[(OPEN, Release::Alone)]));
        let mut session =
            HomeSession::new(Known { course, last, new_id: "next".to_owned(), ..start }, now);
        if session.ask(now) != Ask::NextMorning {
            assert_eq!(asked, "not asked");
            continue;
        }
        let deed = session.answer(Answer::Points(rating(pain)), now).unwrap();
        let morning = NextMorning { pain: rating(pain), answered_us: now.unix_us };
        assert_eq!(deed, Deed::SaveMorning { session: record.id, morning });
        assert_eq!(name(&session.ask(now)), asked, "{days} days later, {pain}");
    }
}

#[test]
fn only_what_the_plan_releases_is_stood_and_closed_eyes_only_with_sound() {
    use Release::{Accompanied, Alone, Clinic};
    for (conditions, company, sound, stands) in [
        (vec![(OPEN, Alone), (CLOSED, Alone)], None, true, Some(CLOSED)),
        (vec![(OPEN, Alone), (CLOSED, Alone)], None, false, Some(OPEN)),
        (vec![(OPEN, Alone), (CLOSED, Clinic)], None, true, Some(OPEN)),
        (vec![(OPEN, Alone), (CLOSED, Accompanied)], Some(true), true, Some(CLOSED)),
        (vec![(OPEN, Alone), (CLOSED, Accompanied)], Some(false), true, Some(OPEN)),
        (vec![(OPEN, Alone), (CLOSED, Accompanied)], Some(true), false, Some(OPEN)),
        (vec![(OPEN, Clinic), (ONE_LEG, Accompanied)], Some(false), true, None),
        (vec![(OPEN, Clinic), (ONE_LEG, Accompanied)], Some(true), true, Some(ONE_LEG)),
        (vec![(CLOSED, Alone)], None, false, None),
        (vec![(OPEN, Clinic)], None, true, None),
    ] {
        let plan = plan(&conditions);
        let place = plan.conditions.last().map(|planned| planned.condition);
        let mut session = begun(Known { place, ..known(plan) });
        check(&mut session, 0, &nothing_new());
        session.answer(Answer::Yes, at(6)).unwrap();
        let said = |yes: bool| if yes { Answer::Yes } else { Answer::No };
        if let Some(company) = company {
            assert_eq!(session.ask(at(6)), Ask::Company, "{conditions:?}");
            session.answer(said(company), at(6)).unwrap();
        }
        if session.ask(at(6)) == Ask::Volume {
            session.answer(Answer::Continue, at(6)).unwrap();
        }
        if session.ask(at(6)) == Ask::SoundCheck {
            session.answer(said(sound), at(6)).unwrap();
        }
        if session.ask(at(6)) == Ask::BoardCheck {
            session.answer(Answer::BoardReady, at(6)).unwrap();
        }
        let found = match session.ask(at(7)) {
            Ask::Stand(stand) => Some(stand.condition.to_string()),
            Ask::NothingReleased => None,
            other => panic!("{conditions:?}: {other:?}"),
        };
        let wanted = stands.map(|text| condition(text).to_string());
        assert_eq!(found, wanted, "{conditions:?}, company {company:?}, sound {sound}");
    }
}

#[test]
fn sound_lost_in_a_stand_is_said_marked_and_checked_again_before_eyes_close() {
    let plan = plan(&[(OPEN, Release::Alone), (CLOSED, Release::Alone)]);
    let mut session = begun(Known { place: Some(condition(CLOSED)), ..known(plan) });
    to_the_board(&mut session, Answer::Yes);
    let lost = StandOutcome {
        trial: Some("marked".to_owned()),
        ended: Ending::HoldReached,
        sound_lost: true,
        shown: StandShown::default(),
    };
    let deed = session.answer(Answer::Stood(lost), at(10)).unwrap();
    let Deed::Save(saved) = deed else { panic!("{deed:?}") };
    assert_eq!(saved.exercises[0].sound_lost, ["marked"]);
    check(&mut session, 11, &[("SoundWasLost", Answer::Continue), ("SoundCheck", Answer::No)]);
    let Ask::Stand(stand) = session.ask(at(20)) else { panic!() };
    assert_eq!(stand.condition, condition(OPEN));
    assert!(!stand.heard);
}

#[test]
fn sound_that_is_gone_before_a_stand_is_checked_again_before_eyes_close() {
    let plan = plan(&[(OPEN, Release::Alone), (CLOSED, Release::Alone)]);
    let mut session = begun(Known { place: Some(condition(CLOSED)), ..known(plan) });
    to_the_board(&mut session, Answer::Yes);
    check(&mut session, 10, &[("reference 1/1", Answer::SoundGone), ("SoundCheck", Answer::No)]);
    let Ask::Stand(stand) = session.ask(at(12)) else { panic!() };
    assert_eq!((stand.condition, stand.heard), (condition(OPEN), false));
    // Who counts on no sound loses none.
    assert_eq!(session.answer(Answer::SoundGone, at(12)), Err(NotAsked));
}

/// Whoever wants no more in a stand is taken at their word, though its sound was lost as well.
#[test]
fn enough_in_a_stand_whose_sound_was_lost_ends_the_stands_and_the_loss_is_told() {
    let mut session = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut session, Answer::Yes);
    let Answer::Stood(stopped) = stood(Ending::Stopped) else { panic!() };
    let lost = Answer::Stood(StandOutcome { sound_lost: true, ..stopped });
    check(
        &mut session,
        10,
        &[
            ("reference 1/1", lost),
            ("SoundWasLost", Answer::Enough),
            ("SoundWasLost", Answer::Continue),
            ("Touched", Answer::No),
        ],
    );
}

#[test]
fn two_steps_off_in_a_row_or_enough_end_the_stands() {
    let mut off = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut off, Answer::Yes);
    check(
        &mut off,
        10,
        &[
            ("reference 1/1", stood(Ending::HoldReached)),
            ("practice 1/1", stood(Ending::HoldReached)),
            ("measured 1/2", stood(Ending::StepOff)),
            ("measured 2/2", stood(Ending::StepOff)),
            ("Touched", Answer::Yes),
        ],
    );
    let mut enough = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut enough, Answer::Yes);
    check(
        &mut enough,
        10,
        &[
            ("reference 1/1", stood(Ending::HoldReached)),
            ("practice 1/1", stood(Ending::HoldReached)),
            ("measured 1/2", Answer::Enough),
            ("Touched", Answer::No),
            ("Difficulty", Answer::Points(rating(8))),
            ("WorstPain", Answer::Points(rating(2))),
        ],
    );
}

#[test]
fn a_board_that_was_lost_is_checked_again_and_its_stand_is_stood_again() {
    let mut session = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut session, Answer::Yes);
    check(
        &mut session,
        10,
        &[
            ("reference 1/1", stood(Ending::BoardLost)),
            ("BoardCheck", Answer::BoardReady),
            ("reference 1/1", stood(Ending::HoldReached)),
            ("practice 1/1", stood(Ending::HoldReached)),
        ],
    );
}

#[test]
fn a_session_that_was_cut_off_says_what_is_kept_and_goes_on_there() {
    let start = known(plan(&[(OPEN, Release::Alone)]));
    let mut first = begun(start.clone());
    to_the_board(&mut first, Answer::Yes);
    let stood_first = [
        ("reference 1/1", stood(Ending::HoldReached)),
        ("practice 1/1", stood(Ending::HoldReached)),
    ];
    check(&mut first, 10, &stood_first);
    // The power went in the middle of the first measured stand, which was sealed at the start.
    let done = |part, ended| StandDone {
        condition: condition(OPEN),
        part,
        ended,
        shown: StandShown::default(),
    };
    let stands = vec![
        done(Part::Reference, Ending::HoldReached),
        done(Part::Practice, Ending::HoldReached),
        done(Part::Measured, Ending::Recovered),
    ];
    let cut_off = Some((first.record().unwrap().clone(), stands));
    let mut again = HomeSession::new(Known { cut_off, ..start }, at(30));
    assert_eq!(again.ask(at(30)), Ask::Kept { n_stands: 3 });
    check(
        &mut again,
        30,
        &[
            ("Kept", Answer::Continue),
            ("Room", Answer::Yes),
            ("Volume", Answer::Continue),
            ("SoundCheck", Answer::Yes),
            ("BoardCheck", Answer::BoardReady),
            ("measured 2/2", stood(Ending::HoldReached)),
        ],
    );
    assert_eq!(again.record().unwrap().id, first.record().unwrap().id);
}

#[test]
fn more_sessions_than_planned_are_asked_about_first() {
    let mut session = begun(Known { n_ended_today: 1, ..known(plan(&[(OPEN, Release::Alone)])) });
    check(&mut session, 0, &[("MoreThanPlanned", Answer::Yes), ("sign warning", Answer::No)]);
}

#[test]
fn settings_are_kept_whole_and_hold_nothing_that_cannot_be_dialled_or_shown() {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(HomeSettings::load(folder.path()).unwrap(), HomeSettings::default());
    let whole = HomeSettings {
        emergency_number: Some("112".to_owned()),
        clinic_contact: Some("C-01, 030 555 01".to_owned()),
        pad: Some("pad-1".to_owned()),
        language: Some(LanguageKey::German),
        volume: Some(7),
    };
    whole.save(folder.path()).unwrap();
    assert_eq!(HomeSettings::load(folder.path()).unwrap(), whole);
    for number in ["", "1", "call them", "112; rm", "123456789012345678901"] {
        let bad = HomeSettings { emergency_number: Some(number.to_owned()), ..whole.clone() };
        assert!(matches!(bad.save(folder.path()), Err(BadHomeSettings::Number { .. })), "{number}");
    }
    for contact in ["", "line\nbreak", &"x".repeat(101)] {
        let bad = HomeSettings { clinic_contact: Some(contact.to_owned()), ..whole.clone() };
        assert!(matches!(bad.save(folder.path()), Err(BadHomeSettings::Text { .. })), "{contact}");
    }
    for volume in [0, 11] {
        let bad = HomeSettings { volume: Some(volume), ..whole.clone() };
        assert!(matches!(bad.save(folder.path()), Err(BadHomeSettings::Volume { .. })), "{volume}");
    }
    assert_eq!(HomeSettings::load(folder.path()).unwrap(), whole, "nothing bad was written");
    let file = folder.path().join(SETTINGS_NAME);
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("language = \"german\""), "{text}");
    std::fs::write(&file, text.replace("german", "volapuk")).unwrap();
    let without = HomeSettings { language: None, ..whole };
    assert_eq!(HomeSettings::load(folder.path()).unwrap(), without, "of a later program");
    std::fs::write(&file, "an_unknown_setting = 1").unwrap();
    assert!(matches!(HomeSettings::load(folder.path()), Err(BadHomeSettings::Shape)));
}
