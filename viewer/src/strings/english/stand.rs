//! Standing, in English.

use acquisition::{Ending, Stage, ZeroTrouble};
use analysis::{Facing, MM_PER_INCH, Pull, QualityFlag};

use crate::sound::{Position, WobbleZone};
use crate::strings::number::{decimals, significant};
use crate::strings::stand::StandWords;

/// The screen on which somebody stands.
pub(crate) const STAND: StandWords = StandWords {
    tab: "Stand",
    nobody_chosen: "Choose a person who is to stand",
    title: |person| format!("{person} on the board"),
    before_head: "Before the first stand, ask",
    pain_now: "Pain now, 0 to 10",
    signs: [
        "Anything new: passing urine or stools, numbness around the seat, weak legs?",
        "A fall since last time?",
        "Leg pain further down than before?",
        "New numbness or weakness?",
    ],
    yes_no: ["Yes", "No"],
    answer: |question, answer| format!("{question} {answer}"),
    body: ["Height, m", "Mass, kg"],
    begin_session: "Begin the session",
    bad_number: |field| format!("{field}: not a number that can be used here"),
    stop_answered: "Stop. No stand until you have looked at what was answered. Trouble passing urine \
                    or stools, numbness around the seat or growing weakness of the legs is an \
                    emergency: call the local emergency number now.",
    stop_latched: "Stop and review: an earlier session asks for your decision first, on the screen \
                   Course.",
    too_much_pain: "No stand: the pain is above the limit the plan sets.",
    session_since: |time| format!("Session since {time}"),
    condition_field: "Condition",
    no_plan: "No plan yet: these are common conditions. Make a plan on the screen Plan",
    errand_field: "What for?",
    errands: ["Measured", "Guided hold", "Practice", "Neutral reference", "Find the stance"],
    errands_about: [
        "Nothing shown or sounded but start and end: the only kind that is compared or judged",
        "With live cues; it trains, and is not judged",
        "To get used to the condition; not scored",
        "15 s, a band on if there is one: where the weight is, not the shape of the spine",
        "Short holds from easy to hard, until the wobble lies in the window",
    ],
    board_field: "Board",
    boards: ["the one plugged in", "at an address", "simulated"],
    simulated_about: "A virtual person stands on a virtual board. What is recorded is kept under \
                      this code like any other stand",
    address_field: "Address of the board",
    seconds_fields: ["Seconds", "Settle first, s"],
    sole_field: "Sole above the cells, mm",
    pull_field: "Band pulls",
    pull: |pull| match pull {
        Pull::Left => "to the left",
        Pull::Right => "to the right",
        Pull::Forward => "forward",
        Pull::Backward => "backward",
    },
    facing_field: "The person faces",
    facing: |facing| match facing {
        Facing::Front => "the board's front",
        Facing::Back => "the board's back",
        Facing::Left => "the board's left",
        Facing::Right => "the board's right",
    },
    outlines_field: "The feet stand on their outlines, and stay there for this session",
    sound_head: "Sound check before the eyes close",
    play_notes: "Play the five notes",
    notes_heard: "The person heard all five",
    not_heard: "Eyes closed only after the person has heard the five notes in this session",
    only_open: |why| format!("No sound ({why}): only conditions with open eyes can be stood"),
    position: |position| match position {
        Position::Unknown => "Position: not known yet",
        Position::Held => "Position held",
        Position::Lost => "Position lost: back to the middle",
    },
    start: "Begin the stand",
    start_key: "or press F5",
    stop: "End the stand",
    stop_key: "or press Escape",
    somebody: |now| format!("Somebody stands: {now}"),
    to_the_stand: "Show the stand",
    same_person: ["It is the same person", "It is somebody else"],
    connecting: "Looking for the board",
    keeping: "Recorded. It is being put away",
    stage,
    seconds_left: |seconds| format!("{} s left", decimals(seconds, 0)),
    load: |kg| format!("{} kg", decimals(kg, 1)),
    wobble_head: "Wobble of the last 5 s",
    zone: |zone| match zone {
        WobbleZone::Unknown => "not known yet",
        WobbleZone::Under => "too little",
        WobbleZone::Inside => "in the window",
        WobbleZone::Over => "too much",
    },
    nothing_shown: "Nothing more is shown: seeing one's sway changes it",
    strip_about: "Wobble over the last 30 seconds, against its window",
    strip_time: ["30 s ago", "now"],
    wobble: |mm| format!("{} mm ({} in)", significant(mm, 3), decimals(mm / MM_PER_INCH, 2)),
    no_wobble: |why| format!("wobble not measured: {why}"),
    result_head: "The last stand",
    kept: |n| format!("kept, {n} samples"),
    no_doubt: "Nothing is to be said against the recording",
    flag,
    difficulty: "How hard was it, 0 very easy to 10 cannot?",
    touched: "Touched anything?",
    answered: "Answers stored",
    reference_taken: "It is this session's neutral reference. Keep the feet where they are",
    find_next: |name| format!("Too little wobble. Next: {name}"),
    find_found: |name| format!("Found: the wobble at {name} lies in the window"),
    find_ended: [
        "Already too much wobble: go back to the condition before",
        "Ended: the stand was not held to its end without help",
        "Nothing harder is left to try here",
    ],
    make_start: "Make it the plan's start (F6)",
    end_head: "At the end of the session",
    end_pains: ["Worst pain while standing, 0 to 10", "Pain at the end, 0 to 10"],
    end_session: "End the session",
    no_sound: |why| format!("No sound ({why}): say start and end aloud"),
    author_field: "Plan made by",
};

fn stage(stage: &Stage) -> String {
    match stage {
        Stage::Zeroing { trouble: None } => "Keep off the board".to_owned(),
        Stage::Zeroing { trouble: Some(ZeroTrouble::Loaded { load_newtons }) } => {
            format!("Clear the board: it carries {} N", decimals(*load_newtons, 0))
        }
        Stage::Zeroing { trouble: Some(ZeroTrouble::Unrest { .. }) } => {
            "Leave the board alone: it is not at rest".to_owned()
        }
        Stage::AwaitingLoad => "Step on".to_owned(),
        Stage::AwaitingStillness => "Stand still".to_owned(),
        Stage::ConfirmingPerson { measured_kg, recorded_kg } => format!(
            "The board reads {} kg, recorded are {} kg. Is it the same person?",
            decimals(*measured_kg, 1),
            decimals(*recorded_kg, 1)
        ),
        Stage::Settling => "Stand still, it begins soon".to_owned(),
        Stage::Recording => "Stand".to_owned(),
        Stage::Ended(Ending::HoldReached) => "Done. Step off".to_owned(),
        Stage::Ended(Ending::StepOff) => "Stepped off".to_owned(),
        Stage::Ended(Ending::Stopped | Ending::StoppedByRule) => "Stopped. Step off".to_owned(),
        Stage::Ended(Ending::BoardLost | Ending::Recovered) => "The board is gone".to_owned(),
    }
}

const fn flag(flag: QualityFlag) -> &'static str {
    match flag {
        QualityFlag::NotMeasurable => "too much is missing to measure it",
        QualityFlag::LostSamples => "samples are missing",
        QualityFlag::Split => "a gap split it; its longest part was measured",
        QualityFlag::Saturated => "a cell was at the end of its range",
        QualityFlag::LowLoad => "the load was too low at times",
        QualityFlag::StepOff => "stepped off",
        QualityFlag::SupportUsed => "a hand took weight",
        QualityFlag::LoadAdded => "weight was added",
        QualityFlag::FootShift => "a foot was moved",
        QualityFlag::NoisyBoard => "the board's noise is in it",
        QualityFlag::TooNoisy => "the board's noise is too much of it",
        QualityFlag::ZeroMoved => "the empty board reads otherwise than before",
        QualityFlag::ZeroLost => "the zero moved too far",
    }
}
