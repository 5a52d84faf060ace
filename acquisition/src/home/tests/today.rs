//! What is stood today: by sight, from the reference on, and where the stance is found.

use analysis::Pull;

use super::*;
use crate::records::GuidedBy;

#[test]
fn who_is_guided_by_sight_is_never_asked_about_sound_and_keeps_the_eyes_open() {
    let by_sight = Plan {
        guided_by: GuidedBy::Sight,
        ..plan(&[(OPEN, Release::Alone), (CLOSED, Release::Alone)])
    };
    let place = Some(condition(CLOSED));
    let mut session = begun(Known { place, ..known(by_sight) });
    check(&mut session, 0, &nothing_new());
    check(&mut session, 6, &[("Room", Answer::Yes), ("BoardCheck", Answer::BoardReady)]);
    let mut n_stands = 0;
    while let Ask::Stand(stand) = session.ask(at(10 + n_stands)) {
        assert_eq!((stand.condition, stand.heard), (condition(OPEN), false));
        session.answer(stood(Ending::HoldReached), at(10 + n_stands)).unwrap();
        n_stands += 1;
    }
    assert_eq!((n_stands, name(&session.ask(at(30)))), (6, "Touched".to_owned()));

    // Nothing but closed eyes in the plan: nothing can be done.
    let closed = Plan { guided_by: GuidedBy::Sight, ..plan(&[(CLOSED, Release::Alone)]) };
    let mut session = begun(known(closed));
    check(&mut session, 0, &nothing_new());
    check(&mut session, 6, &[("Room", Answer::Yes)]);
    assert_eq!(session.ask(at(7)), Ask::NothingReleased);
}

#[test]
fn the_reference_is_kept_with_the_session_and_the_way_of_its_pull_as_it_was_told_last() {
    let band = "foam/hip-width/open/none/upper-trunk";
    let pulls = vec![(condition(band), Pull::Forward)];
    let mut session = begun(Known { pulls, ..known(plan(&[(band, Release::Alone)])) });
    to_the_board(&mut session, Answer::No);
    let Ask::Stand(stand) = session.ask(at(10)) else { panic!() };
    assert_eq!((stand.part, stand.hold_s), (Part::Reference, 15.0));
    check(&mut session, 10, &[("reference 1/1", stood(Ending::HoldReached))]);
    let reference = session.record().unwrap().exercises[0].reference.clone().unwrap();
    assert_eq!((reference.trial.as_str(), reference.pull), ("trial", Some(Pull::Forward)));

    // One that ended on the floor is none.
    let mut off = begun(known(plan(&[(OPEN, Release::Alone)])));
    to_the_board(&mut off, Answer::No);
    check(&mut off, 10, &[("reference 1/1", stood(Ending::StepOff))]);
    assert_eq!(off.record().unwrap().exercises[0].reference, None);
    assert_eq!(name(&off.ask(at(12))), "practice 1/1");
}

/// Wide, hip width and together are released, one leg is not searched, the last is the clinic's.
fn searching() -> Known {
    let conditions = [
        ("foam/wide/open", Release::Alone),
        (OPEN, Release::Alone),
        ("foam/together/open", Release::Alone),
        ("foam/tandem/open", Release::Clinic),
    ];
    let plan = Plan { finds_stance_at_home: true, ..plan(&conditions) };
    Known { place: Some(condition("foam/tandem/open")), ..known(plan) }
}

fn found(wobble_mm: f64) -> Answer {
    let Answer::Stood(outcome) = stood(Ending::HoldReached) else { panic!() };
    let shown = StandShown { wobble_mm: Some(wobble_mm), ..outcome.shown };
    Answer::Stood(StandOutcome { shown, ..outcome })
}

#[test]
fn the_stance_is_found_from_easy_to_hard_and_the_session_is_stood_there() {
    let mut session = begun(searching());
    to_the_board(&mut session, Answer::No);
    check(
        &mut session,
        10,
        &[
            ("FindStance", Answer::Yes),
            ("find 1/3", found(4.0)),
            ("HeldOnOrHurt", Answer::No),
            ("find 2/3", found(12.0)),
            ("HeldOnOrHurt", Answer::No),
        ],
    );
    for (minute, part) in [(15, Part::Reference), (16, Part::Practice), (17, Part::Measured)] {
        let Ask::Stand(stand) = session.ask(at(minute)) else { panic!("minute {minute}") };
        assert_eq!((stand.part, stand.condition), (part, condition(OPEN)));
        session.answer(stood(Ending::HoldReached), at(minute)).unwrap();
    }
}

/// Practice is for the condition that is stood, whatever the place in the plan, and before its own
/// measured stands.
#[test]
fn practice_is_stood_at_each_condition_and_twice_on_its_first_day() {
    for (stood_before, practice) in [("foam/tandem/open", 2), (OPEN, 1)] {
        let mut session =
            begun(Known { stood_before: [condition(stood_before)].into(), ..searching() });
        to_the_board(&mut session, Answer::No);
        let no_hold = ("HeldOnOrHurt", Answer::No);
        check(&mut session, 10, &[("FindStance", Answer::Yes), ("find 1/3", found(4.0))]);
        check(&mut session, 12, &[no_hold.clone(), ("find 2/3", found(12.0)), no_hold]);
        check(&mut session, 15, &[("reference 1/1", stood(Ending::HoldReached))]);
        let Ask::Stand(stand) = session.ask(at(17)) else { panic!() };
        assert_eq!((stand.part, stand.of), (Part::Practice, practice), "{stood_before}");
    }

    // The sound goes, and the eyes stay open: another condition, with a practice stand of its own.
    let plan = plan(&[(OPEN, Release::Alone), (CLOSED, Release::Alone)]);
    let mut session = begun(Known { place: Some(condition(CLOSED)), ..known(plan) });
    to_the_board(&mut session, Answer::Yes);
    let Answer::Stood(held) = stood(Ending::HoldReached) else { panic!() };
    let lost = StandOutcome { sound_lost: true, ..held.clone() };
    check(
        &mut session,
        10,
        &[
            ("reference 1/1", Answer::Stood(held.clone())),
            ("practice 1/1", Answer::Stood(lost)),
            ("SoundWasLost", Answer::Continue),
            ("SoundCheck", Answer::No),
            ("reference 1/1", Answer::Stood(held)),
            ("practice 1/1", stood(Ending::HoldReached)),
            ("measured 1/2", stood(Ending::HoldReached)),
        ],
    );
}

#[test]
fn finding_the_stance_never_goes_on_after_a_step_off_a_support_or_pain() {
    let Answer::Stood(held) = found(4.0) else { panic!() };
    let helped = StandShown { is_doubtful: true, ..held.shown };
    for (answer, asked) in [
        (stood(Ending::StepOff), "Touched"),
        (Answer::Stood(StandOutcome { shown: helped, ..held.clone() }), "Touched"),
        (Answer::Stood(held), "HeldOnOrHurt"),
    ] {
        let mut session = begun(searching());
        to_the_board(&mut session, Answer::No);
        check(&mut session, 10, &[("FindStance", Answer::Yes), ("find 1/3", answer)]);
        assert_eq!(name(&session.ask(at(12))), asked);
        if asked == "HeldOnOrHurt" {
            session.answer(Answer::Yes, at(12)).unwrap();
            assert_eq!(name(&session.ask(at(13))), "Touched");
        }
    }
}

#[test]
fn a_search_that_was_cut_off_goes_on_as_its_last_stand_ended() {
    let done = |part, ended, wobble_mm, is_doubtful| StandDone {
        condition: condition(OPEN),
        part,
        ended,
        shown: StandShown { wobble_mm, is_doubtful, has_position: true },
    };
    let held = |wobble_mm| done(Part::Find, Ending::HoldReached, Some(wobble_mm), false);
    let too_much = vec![held(40.0)];
    let goes_on = [
        (too_much.clone(), "HeldOnOrHurt", "foam/wide/open"),
        (vec![held(4.0)], "HeldOnOrHurt", "foam/together/open"),
        (vec![held(12.0)], "HeldOnOrHurt", OPEN),
        (vec![done(Part::Find, Ending::BoardLost, None, false)], "find 1/3", OPEN),
        (
            vec![held(12.0), done(Part::Reference, Ending::HoldReached, None, false)],
            "practice 1/1",
            OPEN,
        ),
    ];
    for (stands, asked, then) in goes_on {
        let mut session = cut_off_in_a_search(stands);
        assert_eq!(name(&session.ask(at(40))), asked);
        if asked == "HeldOnOrHurt" {
            session.answer(Answer::No, at(40)).unwrap();
        }
        let Ask::Stand(stand) = session.ask(at(41)) else { panic!("{asked}") };
        assert_eq!(stand.condition, condition(then), "{asked}");
    }
    let over = [
        vec![done(Part::Find, Ending::StepOff, Some(4.0), false)],
        vec![done(Part::Find, Ending::HoldReached, Some(4.0), true)],
        vec![held(4.0), done(Part::Find, Ending::Stopped, None, false)],
    ];
    for stands in over {
        assert_eq!(name(&cut_off_in_a_search(stands).ask(at(40))), "Touched");
    }
    // Pain that was not told before the session was cut off is told now.
    let mut hurt = cut_off_in_a_search(too_much);
    hurt.answer(Answer::Yes, at(40)).unwrap();
    assert_eq!(name(&hurt.ask(at(41))), "Touched");
}

/// Begun again, and answered until the board was checked if it is asked for.
fn cut_off_in_a_search(stands: Vec<StandDone>) -> HomeSession {
    let mut first = begun(searching());
    to_the_board(&mut first, Answer::No);
    let cut_off = Some((first.record().unwrap().clone(), stands));
    let mut again = HomeSession::new(Known { cut_off, ..searching() }, at(30));
    for (asked, answer) in [
        ("Kept", Answer::Continue),
        ("Room", Answer::Yes),
        ("Volume", Answer::Continue),
        ("SoundCheck", Answer::No),
        ("BoardCheck", Answer::BoardReady),
    ] {
        if name(&again.ask(at(31))) == asked {
            again.answer(answer, at(31)).unwrap();
        }
    }
    again
}

#[test]
fn the_stance_is_found_only_where_the_plan_permits_it_and_there_is_something_to_find() {
    let permitted = searching();
    let plan = permitted.plan.clone().unwrap();
    let forbidden = Plan { finds_stance_at_home: false, ..plan.clone() };
    let alone = Plan { conditions: plan.conditions[..1].to_vec(), ..plan };
    for (plan, place, asked) in [
        (forbidden, "foam/tandem/open", "reference 1/1"),
        (alone, "foam/wide/open", "reference 1/1"),
    ] {
        let place = Some(condition(place));
        let mut session = begun(Known { plan: Some(plan), place, ..permitted.clone() });
        to_the_board(&mut session, Answer::No);
        assert_eq!(name(&session.ask(at(12))), asked);
    }
    let mut declined = begun(permitted);
    to_the_board(&mut declined, Answer::No);
    check(&mut declined, 10, &[("FindStance", Answer::No)]);
    let Ask::Stand(stand) = declined.ask(at(12)) else { panic!() };
    assert_eq!(stand.condition, condition("foam/together/open"));
}
