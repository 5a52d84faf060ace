//! Words of the screens on which a board is used.

use acquisition::{Ending, Stage, ZeroTrouble};
use analysis::{Facing, Pull, QualityFlag};

use super::Said;
use crate::sound::{Position, WobbleZone};
use crate::strings::{BoardWords, StandWords};

pub(super) fn stand(said: &mut Said, words: &StandWords) {
    let StandWords {
        tab,
        nobody_chosen,
        title,
        before_head,
        pain_now,
        signs,
        yes_no,
        answer,
        body,
        begin_session,
        bad_number,
        stop_answered,
        stop_latched,
        too_much_pain,
        session_since,
        condition_field,
        no_plan,
        errand_field,
        errands,
        errands_about,
        board_field,
        boards,
        simulated_about,
        address_field,
        seconds_fields,
        sole_field,
        pull_field,
        pull,
        facing_field,
        facing,
        outlines_field,
        sound_head,
        play_notes,
        notes_heard,
        not_heard,
        only_open,
        position,
        start,
        start_key,
        stop,
        stop_key,
        somebody,
        to_the_stand,
        same_person,
        connecting,
        keeping,
        stage,
        seconds_left,
        load,
        wobble_head,
        zone,
        nothing_shown,
        strip_about,
        strip_time,
        wobble,
        no_wobble,
        result_head,
        kept,
        no_doubt,
        flag,
        difficulty,
        touched,
        answered,
        reference_taken,
        find_next,
        find_found,
        find_ended,
        make_start,
        end_head,
        end_pains,
        end_session,
        no_sound,
        author_field,
    } = words;
    let plain = [
        tab,
        nobody_chosen,
        before_head,
        pain_now,
        begin_session,
        stop_answered,
        stop_latched,
        too_much_pain,
        condition_field,
        no_plan,
        errand_field,
        board_field,
        simulated_about,
        address_field,
        sole_field,
        pull_field,
        start,
        start_key,
        stop,
        stop_key,
        to_the_stand,
        connecting,
        keeping,
        wobble_head,
        nothing_shown,
        strip_about,
        result_head,
        no_doubt,
        difficulty,
        touched,
        answered,
        reference_taken,
        make_start,
        end_head,
        end_session,
        author_field,
    ];
    said.add("stand.somebody", somebody("7"));
    said.all("stand", plain.map(|it| *it));
    let of_sound = [sound_head, play_notes, notes_heard, not_heard, facing_field, outlines_field];
    said.all("stand.sound", of_sound.map(|it| *it));
    said.add("stand.sound", only_open("7"));
    said.all("stand.facing", Facing::ALL.iter().map(|&one| facing(one)));
    let positions = [Position::Unknown, Position::Held, Position::Lost];
    said.all("stand.position", positions.map(position));
    said.all("stand.signs", *signs);
    said.all("stand.yes_no", *yes_no);
    said.all("stand.body", *body);
    said.all("stand.errands", errands.iter().chain(errands_about).copied());
    said.all("stand.boards", *boards);
    said.all("stand.seconds", *seconds_fields);
    said.all("stand.same", *same_person);
    said.all("stand.strip", *strip_time);
    said.all("stand.ended", *find_ended);
    said.all("stand.pains", *end_pains);
    said.all("stand.named", [title("7"), bad_number("7"), session_since("7"), no_wobble("7")]);
    said.add("stand.answer /", answer("7", "8"));
    said.all("stand.named", [find_next("7"), find_found("7"), no_sound("7"), kept(7)]);
    said.all("stand.number", [seconds_left(3.0), load(70.5), wobble(12.5)]);
    said.all("stand.pull", Pull::ALL.iter().map(|&one| pull(one)));
    let zones = [WobbleZone::Unknown, WobbleZone::Under, WobbleZone::Inside, WobbleZone::Over];
    said.all("stand.zone", zones.map(zone));
    said.all("stand.flag", QualityFlag::ALL.iter().map(|&one| flag(one)));
    said.all("stand.stage", every_stage().iter().map(stage));
}

pub(super) fn every_stage() -> Vec<Stage> {
    let mut all = vec![
        Stage::Zeroing { trouble: None },
        Stage::Zeroing { trouble: Some(ZeroTrouble::Loaded { load_newtons: 60.0 }) },
        Stage::Zeroing { trouble: Some(ZeroTrouble::Unrest { corner: 0, range_newtons: 1.5 }) },
        Stage::AwaitingLoad,
        Stage::AwaitingStillness,
        Stage::ConfirmingPerson { measured_kg: 60.5, recorded_kg: 80.5 },
        Stage::Settling,
        Stage::Recording,
    ];
    all.extend(Ending::ALL.iter().map(|&ending| Stage::Ended(ending)));
    all
}

pub(super) fn board(said: &mut Said, words: &BoardWords) {
    let BoardWords {
        tab,
        title,
        address_label,
        address_hint,
        address_about,
        connect,
        connecting,
        let_go,
        zero_button,
        zero_about,
        no_zero,
        total,
        weight,
        front,
        plate_about,
        corners,
        newtons,
        celsius,
        counts,
        id,
        firmware,
        rate,
        temperature,
        frames,
    } = words;
    let plain = [
        tab,
        title,
        address_label,
        address_hint,
        address_about,
        connect,
        connecting,
        let_go,
        zero_button,
        zero_about,
        no_zero,
        total,
        weight,
        front,
        plate_about,
        id,
        firmware,
        rate,
        temperature,
        frames,
    ];
    said.all("board", plain.map(|it| *it));
    said.all("board.corners", *corners);
    said.all("board.number", [newtons(1.5), celsius(21.5), counts(-4)]);
}
