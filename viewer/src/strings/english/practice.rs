//! Practice at home, in English.

use acquisition::Stage;
use acquisition::home::{Ask, HomeSettings, Lock, Missing, Part, Reached, Sign, Stand};
use acquisition::records::PracticeFlag;
use analysis::Vision;
use analysis::readiness::Which;

use super::board::not_connected;
use super::condition::condition;
use crate::command_line::{Problem, message};
use crate::sound::Cue;
use crate::strings::message::Message;
use crate::strings::number::decimals;
use crate::strings::practice::{PageWords, PracticeWords};

pub(super) const PRACTICE: PracticeWords = PracticeWords {
    page,
    yes: "Yes",
    no: "No",
    go_on: "Go on",
    enough: "Enough for today",
    less: "Less",
    quieter: "Quieter",
    louder: "Louder",
    mark,
    more: "More",
    that_many: "That is it",
    try_again: "Try again",
    wobble_not_known: "Stand still",
    wobble_too_little: "Let go a little",
    wobble_inside: "Just so",
    wobble_too_much: "Calmer",
    again: "Play it again",
    leave: "Close",
    stay: "Stay",
    leaving: || {
        words(
            "Leave home mode?",
            &["What was answered and recorded is kept; the session goes on at the next switch."],
        )
    },
    leave_key: "F11 leaves home mode",
    typed_yes: &["yes", "y"],
    typed_no: &["no", "n"],
    typed_louder: &["louder", "l"],
    typed_quieter: &["quieter", "q"],
    type_volume: "Type louder, quieter, or yes if it is right, then Enter.",
    type_yes_or_no: "Type yes or no, then Enter.",
    type_points: "Type a whole number from 0 to 10, then Enter.",
    no_sound: "There is no sound here: only exercises with open eyes.",
    stage,
    flag,
    trouble,
};

/// A board is not looked for by a command here.
fn trouble(problem: &Problem) -> Option<Message> {
    match problem {
        Problem::Connect(error) => Some(not_connected(error)),
        problem => message(problem),
    }
}

fn words(title: impl Into<String>, lines: &[&str]) -> PageWords {
    PageWords { title: title.into(), lines: lines.iter().map(|line| (*line).to_owned()).collect() }
}

#[expect(clippy::too_many_lines, reason = "one arm a thing that is asked")]
fn page(ask: &Ask, settings: &HomeSettings) -> PageWords {
    match ask {
        Ask::Missing(missing) => missing_words(*missing),
        Ask::Locked(lock) => locked(lock, settings),
        Ask::NothingReleased => words(
            "No exercise is released for now",
            &[
                "What your plan holds next is done in the clinic, or needs the sound or a second \
                 person.",
                "Ask your clinic.",
            ],
        ),
        Ask::MoreThanPlanned { planned } => words(
            "Today is done already",
            &[
                &format!("Your plan asks for {} a day.", sessions(*planned)),
                "More is not better. Do you want to practise all the same?",
            ],
        ),
        Ask::Kept { n_stands } => words(
            "The last session was cut off",
            &[
                &format!("{} kept. Nothing that was recorded is lost.", stands(*n_stands)),
                "It goes on where it stopped.",
            ],
        ),
        Ask::NextMorning => words(
            "How much pain on the morning after?",
            &[
                "The morning after your last session.",
                "0 is none, 10 is the worst you can imagine.",
            ],
        ),
        Ask::Sign(sign) => sign_words(*sign),
        Ask::PainBefore => {
            words("How much pain is there now?", &["0 is none, 10 is the worst you can imagine."])
        }
        Ask::Room => words(
            "Is everything ready?",
            &[
                "The board lies on a dry, level floor, its front away from you.",
                "Firm support is within reach on both sides, and one metre around is clear.",
                "Bare feet, good light. The telephone is within reach.",
                "No alcohol, no new sedatives.",
                "Open your eyes and hold on whenever you like.",
            ],
        ),
        Ask::Company => words(
            "Is a second person with you?",
            &["Your next exercise is done with somebody beside you."],
        ),
        Ask::Volume => words(
            "Louder or quieter?",
            &[
                "The notes sound again with each change.",
                "As loud as you like it with closed eyes.",
            ],
        ),
        Ask::SoundCheck => words(
            "Did you hear five notes?",
            &["Without sound, only exercises with open eyes are done."],
        ),
        Ask::BoardCheck => {
            words("Keep the board empty", &["It is looked at: is every corner alive?"])
        }
        Ask::FindStance => words(
            "Find today's stance first?",
            &[
                "Short stands from easy to hard, until the wobble is just so.",
                "They end with a hold, a step off or pain.",
            ],
        ),
        Ask::HeldOnOrHurt => words(
            "Did you hold on, or did it hurt?",
            &["A fingertip counts too. With a yes, it ends here for today."],
        ),
        Ask::Stand(stand) => stand_words(stand),
        Ask::Rest { then, .. } => {
            words("Rest", &["Step off and breathe.", &format!("Next: {}.", which(then))])
        }
        Ask::SoundWasLost => words(
            "The sound went away",
            &[
                "The stand is kept and marked.",
                "Look at the loudspeaker; then the sound is checked once more.",
            ],
        ),
        Ask::Touched => words(
            "Did you touch anything while standing?",
            &["A fingertip counts too. It is no mistake, only good to know."],
        ),
        Ask::Difficulty => {
            words("How hard did it feel?", &["0 is very easy, 10 is: I could not do it."])
        }
        Ask::WorstPain => words(
            "What was the worst pain while practising?",
            &["0 is none, 10 is the worst you can imagine."],
        ),
        Ask::PainAfter => words(
            "How much pain is there now, after it?",
            &["0 is none, 10 is the worst you can imagine."],
        ),
        Ask::Done(reached) => done(reached),
    }
}

fn missing_words(missing: Missing) -> PageWords {
    match missing {
        Missing::EmergencyNumber => words(
            "The emergency number is not set",
            &["Set it first: footing home-settings --emergency-number 112"],
        ),
        Missing::ClinicContact => words(
            "The clinic's contact is not set",
            &["Set it first: footing home-settings --clinic-contact \"...\""],
        ),
        Missing::Plan => words(
            "There is no plan yet",
            &["Your clinic sends one. Take it with: footing take FILE"],
        ),
    }
}

fn locked(lock: &Lock, settings: &HomeSettings) -> PageWords {
    let contact = settings.clinic_contact.as_deref().unwrap_or_default();
    let number = settings.emergency_number.as_deref().unwrap_or_default();
    let reasons: Vec<&str> = lock.reasons.iter().map(|which| reason(*which)).collect();
    let mut page = if lock.is_emergency() {
        words(
            format!("Stop. Call {number} now"),
            &[
                "What you reported needs a medical check now. Do not wait for this program.",
                &format!("Tell your clinic too: {contact}"),
            ],
        )
    } else {
        words(
            "Stop. No exercise for now",
            &[
                &format!("You reported: {}.", reasons.join("; ")),
                &format!("Call your clinic: {contact}"),
                &format!("If it gets worse quickly, call {number}."),
            ],
        )
    };
    page.lines.push("Practice goes on when your clinic has sent a new plan.".to_owned());
    page
}

fn reason(which: Which) -> &'static str {
    match which {
        Which::LegPainFurtherDown => "leg pain further down",
        Which::NumbnessOrWeakness => "new numbness or weakness",
        Which::Fall => "a fall",
        Which::PainDuring => "more pain while practising",
        Which::PainAfter => "more pain after practising",
        Which::PainNextMorning => "more pain the next morning",
        Which::PainAtStart => "more pain at the start than your plan allows",
        _ => "something that needs a medical check",
    }
}

fn sign_words(sign: Sign) -> PageWords {
    match sign {
        Sign::Warning => words(
            "Anything new? One of these?",
            &[
                "Trouble starting to pass urine, or not feeling it pass.",
                "Numbness around the back passage, the genitals or the inner thighs.",
                "Not feeling a full bowel, or bowel accidents. New sexual trouble.",
                "Severe or growing weakness in both legs.",
            ],
        ),
        Sign::NumbnessOrWeakness => words(
            "New numbness or weakness anywhere?",
            &["Such as a foot that drops, or a leg that gives way."],
        ),
        Sign::LegPain => words(
            "Leg pain further down than before?",
            &["Further toward the foot than last time."],
        ),
        Sign::Fall => words("Have you fallen since the last session?", &["Or nearly so."]),
    }
}

fn stand_words(stand: &Stand) -> PageWords {
    let eyes = match stand.condition.vision {
        Vision::Open => "Eyes open.",
        Vision::Closed => "Close your eyes when the first tone sounds.",
    };
    let last = match stand.part {
        Part::Reference => "Feet on their outlines, and keep them there.",
        _ => "Step off whenever you like.",
    };
    words(
        "Step on and stand still",
        &[
            &format!("{}, {} seconds.", capital(&which(stand)), decimals(stand.hold_s, 0)),
            &condition(&stand.condition),
            eyes,
            last,
        ],
    )
}

fn which(stand: &Stand) -> String {
    let part = match stand.part {
        Part::Find => "to find the stance",
        Part::Reference => return "where your weight is today".to_owned(),
        Part::Practice => "to get used to it",
        Part::Measured => "measured",
        Part::Guided => "guided",
    };
    format!("{part}, {} of {}", stand.number, stand.of)
}

fn done(reached: &Reached) -> PageWords {
    words(
        "Done, thank you",
        &[
            &format!("{} measured.", stands(reached.n_measured)),
            &format!("{} of {} guided holds.", reached.n_guided, reached.n_planned),
            "Send the session to your clinic: footing send CODE",
        ],
    )
}

const fn mark(cue: Cue) -> &'static str {
    match cue {
        Cue::Start => "IT BEGINS",
        Cue::TooMuch => "CALMER",
        Cue::TooLittle => "LET GO A LITTLE",
        Cue::PositionLost => "BACK TO THE MIDDLE",
        Cue::TenSecondsLeft => "10 SECONDS LEFT",
        Cue::End => "OVER",
        Cue::Stop => "STOP, HOLD ON",
        Cue::SoundCheck => "FIVE NOTES",
    }
}

const fn stage(stage: &Stage) -> &'static str {
    match stage {
        Stage::Zeroing { trouble: None } => "Keep the board empty",
        Stage::Zeroing { trouble: Some(_) } => "Clear the board and let it rest",
        Stage::AwaitingLoad => "Step on",
        Stage::AwaitingStillness => "Stand still",
        Stage::ConfirmingPerson { .. } => "The load is not the one recorded",
        Stage::Settling => "Stand still, it begins soon",
        Stage::Recording => "Stand",
        Stage::Ended(_) => "Over. Step off",
    }
}

fn sessions(n: u8) -> String {
    if n == 1 { "one session".to_owned() } else { format!("{n} sessions") }
}

fn stands(n: usize) -> String {
    if n == 1 { "One stand is".to_owned() } else { format!("{n} stands are") }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn flag(flag: PracticeFlag) -> &'static str {
    match flag {
        PracticeFlag::WarningSign => "WARNING SIGN reported",
        PracticeFlag::NumbnessOrWeakness => "new numbness or weakness",
        PracticeFlag::LegPain => "leg pain further down",
        PracticeFlag::Fall => "a fall",
        PracticeFlag::Pain => "pain up by the plan's limit, or above its ceiling",
        PracticeFlag::SteppedOff => "stepped off",
        PracticeFlag::Touched => "touched something",
        PracticeFlag::FeltHard => "felt hard",
        PracticeFlag::SoundLost => "the sound went away during a stand",
        PracticeFlag::Rejected => "a stand is rejected for measures",
        PracticeFlag::Unanswered => "not every question answered",
        PracticeFlag::TooOften => "more sessions that day than planned",
    }
}
