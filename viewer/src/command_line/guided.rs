//! Says what to put on the board, while loads are read one after the other.

use acquisition::guided::{Course, GuidedEvent, GuidedReadings, Request, Station, follow};
use acquisition::{BoardSession, CORNER_NAMES, Wish, ZeroTrouble};
use indicatif::ProgressBar;

use super::output::{self, Talk};
use super::problem::Problem;
use crate::strings::decimals;

const BAR_STEPS: u64 = 1000;

/// Reads the whole course; `look` sees the readings after each one and may end it.
pub(crate) fn read_course(
    session: &BoardSession,
    course: Course,
    talk: Talk,
    look: &mut dyn FnMut(&GuidedReadings) -> Result<(), Problem>,
) -> Result<GuidedReadings, Problem> {
    let n_stations = course.stations.len();
    let is_mass = |station: &&Station| matches!(station, Station::Mass { .. });
    let n_loads = course.stations.iter().filter(is_mass).count();
    let mut readings = GuidedReadings::new(course);
    let bar = output::bar(talk, BAR_STEPS, "");
    let mut said = String::new();
    let mut ended = None;
    let followed = follow(session, &mut readings, &mut |readings, happened| {
        if let Some(happened) = happened {
            if talk == Talk::Everything
                && let Some(words) = event_words(happened)
            {
                bar.suspend(|| output::remark(&words));
            }
            if matches!(happened, GuidedEvent::Read { .. })
                && let Err(problem) = look(readings)
            {
                ended = Some(problem);
                return Wish::Stop;
            }
        }
        show(&bar, readings, (n_stations, n_loads), &mut said);
        Wish::GoOn
    });
    bar.finish_and_clear();
    if let Some(problem) = ended {
        return Err(problem);
    }
    followed?;
    Ok(readings)
}

fn show(
    bar: &ProgressBar,
    readings: &GuidedReadings,
    (n_stations, n_loads): (usize, usize),
    said: &mut String,
) {
    let mut words = request_words(&readings.request());
    if let Request::PutDown { .. } = readings.request() {
        // Read so far and the one that is asked for.
        let which = readings.readings().len() + 1;
        words = format!("{which} of {n_loads}: {words}");
    }
    if *said != words {
        bar.set_message(words.clone());
        *said = words;
    }
    let (elapsed_s, asked_s) = readings.progress_s();
    let within = asked_s.map_or(0.0, |asked_s| (elapsed_s / asked_s.max(1e-3)).clamp(0.0, 1.0));
    let share = (readings.station() as f64 + within) / n_stations as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the bar's length"
    )]
    bar.set_position((share.clamp(0.0, 1.0) * BAR_STEPS as f64) as u64);
}

fn request_words(request: &Request) -> String {
    match request {
        Request::Empty { trouble: None } => "Clear the board and leave it alone".to_owned(),
        Request::Empty { trouble: Some(ZeroTrouble::Loaded { load_newtons }) } => {
            format!("Clear the board: it carries {} N", decimals(*load_newtons, 0))
        }
        Request::Empty { trouble: Some(ZeroTrouble::Unrest { .. }) } => {
            "Leave the board alone: it is not at rest".to_owned()
        }
        Request::PutDown { mass_kg, ml_mm, ap_mm } => {
            format!("put {} on {}", mass_words(*mass_kg), place_words(*ml_mm, *ap_mm))
        }
        Request::Settle => "Leave it alone: it settles".to_owned(),
        Request::Read => "Leave it alone: it is read".to_owned(),
        Request::Watch => "Go on as the test asks".to_owned(),
        Request::Exercise => "Step on and off (60 kg or more)".to_owned(),
        Request::Done => "Done".to_owned(),
    }
}

fn event_words(happened: &GuidedEvent) -> Option<String> {
    match happened {
        GuidedEvent::Disturbed { fault, .. } => {
            Some(format!("Not used: {fault}. Take it off and put it down once more."))
        }
        GuidedEvent::ZeroMoved { corner, newtons } => Some(format!(
            "Not used: the empty board reads {} N more or less than before in the {} corner. \
             Put the load down once more.",
            decimals(*newtons, 2),
            corner_words(*corner),
        )),
        GuidedEvent::Zeroed { .. } | GuidedEvent::Read { .. } | GuidedEvent::Finished => None,
    }
}

fn mass_words(mass_kg: f64) -> String {
    format!(
        "{} kg",
        decimals(mass_kg, if (mass_kg - mass_kg.round()).abs() < 1e-9 { 0 } else { 3 })
    )
}

/// A place as a person finds it: `60 mm right, 110 mm forward`.
pub(crate) fn place_words(ml_mm: f64, ap_mm: f64) -> String {
    let one = |mm: f64, positive: &str, negative: &str| match mm {
        0.0 => None,
        mm if 0.0 < mm => Some(format!("{} mm {positive}", decimals(mm, 0))),
        mm => Some(format!("{} mm {negative}", decimals(-mm, 0))),
    };
    match (one(ml_mm, "right", "left"), one(ap_mm, "forward", "back")) {
        (None, None) => "the centre".to_owned(),
        (Some(only), None) | (None, Some(only)) => only,
        (Some(right), Some(forward)) => format!("{right}, {forward}"),
    }
}

/// A corner by its number in the order of the channels.
pub(crate) fn corner_words(corner: usize) -> &'static str {
    CORNER_NAMES.get(corner).copied().unwrap_or("unknown")
}
