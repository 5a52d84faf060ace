//! A fortnight of practice at home, through the real files into the clinic's records.
//!
//! Four virtual people stand on simulated boards faster than real time; what each answers is made
//! up. Every session is stood through `footing home`, sealed, taken in the clinic and judged there.
//! What must follow is the rule as `analysis/docs/readiness.md` tells it.

use serde_json::Value;

use crate::bench::Simulator;
use crate::two_sides::{HERE, NOTHING_NEW, Side, two_sides};

const HARDER: &str = "foam/together/open";

/// A plan whose second condition may be done at home alone.
const TWO_OPEN: &str = r#"
sessions_per_day = 1

[[conditions]]
condition = "foam/hip-width/open"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "alone"

[[conditions]]
condition = "foam/together/open"
holds = 1
hold_s = 20.0
rest_s = 30.0
release = "alone"
"#;

/// What a person answers in one session.
#[derive(Clone, Copy)]
struct Answers {
    touched: &'static str,
    difficulty: u8,
    worst_pain: u8,
    pain_after: u8,
}

const WELL: Answers = Answers { touched: "no", difficulty: 2, worst_pain: 2, pain_after: 2 };

/// A person with a clinic, a home and a board.
struct Person {
    clinic: Side,
    home: Side,
    board: Simulator,
}

impl Person {
    fn who_sways(steadiness: &str, stand: &str, seed: &str) -> Self {
        let (clinic, home) = two_sides("P-01");
        let board = Simulator::start(&[
            "--pty",
            "--speed",
            "max",
            "--rate",
            "80",
            "--seed",
            seed,
            "--steadiness",
            steadiness,
            "--stand",
            stand,
        ]);
        Self { clinic, home, board }
    }

    /// `footing home` on this day of March with these lines typed; what was shown.
    fn at_home(&self, day: u32, hour: u32, lines: &str) -> String {
        let words = format!(
            "home --plain --port {} --now 2026-03-{day:02}T{hour:02}:00:00+01:00",
            self.board.port
        );
        self.home.typed(&words, lines).well().stdout
    }

    /// A whole session; `asked_first` answers what comes before "anything new?".
    #[track_caller]
    fn practises(&self, day: u32, hour: u32, asked_first: &str, answers: Answers) {
        let Answers { touched, difficulty, worst_pain, pain_after } = answers;
        let lines = format!(
            "{asked_first}{NOTHING_NEW}2\nyes\n{touched}\n{difficulty}\n{worst_pain}\n{pain_after}\n"
        );
        let shown = self.at_home(day, hour, &lines);
        assert!(shown.contains("guided") || shown.contains("Guided"), "day {day}: {shown}");
    }

    /// Sessions on these days, each with the next morning of the one before.
    #[track_caller]
    fn practises_on(&self, days: &[u32], answers: Answers) {
        for (index, day) in days.iter().enumerate() {
            let morning = if index == 0 { "" } else { "2\n" };
            self.practises(*day, 18, morning, answers);
        }
        // The last morning is answered at a start that goes no further.
        let last = days.last().unwrap() + 1;
        self.at_home(last, 8, "2\n");
    }

    /// Sends what is there to the clinic and asks it for its review at the end of this day.
    fn reviewed(&self, day: u32) -> Value {
        let package = self.home.sends("send P-01 --days 3660");
        self.clinic.takes(&package).well();
        self.clinic.json(&format!("review P-01 --as-of 2026-03-{day:02} --json"))
    }

    #[track_caller]
    fn check(&self, day: u32, verdict: &str) -> Value {
        let review = self.reviewed(day);
        assert_eq!(review["next_step"]["verdict"], verdict, "{review:#}");
        review
    }
}

fn flags(review: &Value) -> Vec<(String, Vec<String>)> {
    let sessions = review["sessions"].as_array().unwrap().iter();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    sessions
        .map(|session| {
            let flags = session["flags"].as_array().unwrap();
            (text(&session["started"])[..10].to_owned(), flags.iter().map(text).collect())
        })
        .collect()
}

#[test]
fn who_improves_is_advised_to_go_on_and_a_warning_sign_locks_until_the_clinics_signed_plan() {
    let person = Person::who_sways("2", HERE, "31");
    person.practises_on(&[2, 3, 5, 6, 8], WELL);
    let review = person.check(9, "advance");
    assert_eq!(review["sessions_done"], 5);
    assert_eq!(review["sessions_planned"], 9, "one a day since 1 March: {review:#}");
    assert!(flags(&review).iter().all(|(_, flags)| flags.is_empty()), "{review:#}");

    let shown = person.at_home(10, 18, "yes\n");
    assert!(shown.contains("Stop. Call 112 now"), "{shown}");
    // Whatever is typed later, nothing goes on.
    let shown = person.at_home(11, 18, NOTHING_NEW);
    assert!(shown.starts_with("Stop. Call 112 now") && !shown.contains("Anything new"), "{shown}");
    let review = person.check(11, "stop and review");
    assert_eq!(flags(&review).last().unwrap().1[0], "warning-sign", "flags first: {review:#}");

    // The same plan as before, replayed or sealed anew, opens nothing; a decision does.
    person.home.takes(&person.clinic.sends("send P-01")).well();
    assert!(person.at_home(12, 8, NOTHING_NEW).starts_with("Stop."));
    let answer = person.clinic.sends(&format!(
        "answer P-01 --condition {HERE} --author clinician-1 --made 2026-03-12T09:00:00+01:00"
    ));
    person.home.takes(&answer).well();
    person.practises(12, 18, "", WELL);
    let review = person.reviewed(13);
    assert_ne!(review["next_step"]["verdict"], "stop and review", "{review:#}");
}

#[test]
fn who_overdoes_it_stays_and_is_seen_to_do_more_than_planned() {
    let person = Person::who_sways("1.2", HERE, "32");
    let hard = Answers { difficulty: 7, ..WELL };
    for (index, day) in [2, 4, 6, 8].into_iter().enumerate() {
        person.practises(day, 8, if index == 0 { "" } else { "2\n" }, hard);
        // "Today is done already": yes, all the same.
        person.practises(day, 18, "yes\n", hard);
    }
    person.at_home(9, 8, "2\n");
    let review = person.check(9, "stay");
    let flags = flags(&review);
    let too_often =
        |(_, flags): &&(String, Vec<String>)| flags.contains(&"more-than-planned".into());
    assert_eq!(flags.iter().filter(too_often).count(), 4, "{flags:?}");
    assert!(flags.iter().all(|(_, flags)| flags.contains(&"felt-hard".into())), "{flags:?}");
}

#[test]
fn who_is_in_pain_is_stopped_on_the_day_it_is_up_by_two() {
    let person = Person::who_sways("2", HERE, "33");
    person.practises_on(&[2, 3], WELL);
    let shown = person.at_home(4, 18, &format!("{NOTHING_NEW}2\nyes\nno\n4\n4\n"));
    assert!(shown.contains("more pain while practising"), "{shown}");
    let shown = person.at_home(6, 18, NOTHING_NEW);
    assert!(shown.starts_with("Stop. No exercise for now"), "{shown}");
    let review = person.check(6, "stop and review");
    assert_eq!(flags(&review).last().unwrap().1[0], "pain", "{review:#}");
}

#[test]
fn who_is_careless_and_holds_on_is_advised_to_step_back() {
    let person = Person::who_sways("1", HARDER, "34");
    let plan = person.clinic.path("two.toml");
    std::fs::write(&plan, TWO_OPEN).unwrap();
    let answer = person.clinic.sends(&format!(
        "answer P-01 --condition {HARDER} --author clinician-1 --made 2026-03-01T13:00:00+01:00 \
         --plan {}",
        plan.display()
    ));
    person.home.takes(&answer).well();
    person.practises_on(&[2, 4, 7, 9], Answers { touched: "yes", difficulty: 5, ..WELL });
    let review = person.check(10, "step back");
    assert!(
        flags(&review).iter().all(|(_, flags)| flags.contains(&"touched".into())),
        "{review:#}"
    );
}
