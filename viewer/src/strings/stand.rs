//! What a language must say about standing.

use acquisition::Stage;
use analysis::{Facing, Pull, QualityFlag};

use crate::sound::{Position, WobbleZone};

/// Words of the screen on which somebody stands.
#[derive(Debug)]
pub struct StandWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// Shown while nobody is chosen.
    pub nobody_chosen: &'static str,
    /// Code of the person.
    pub title: fn(&str) -> String,
    /// Head of the questions before a session.
    pub before_head: &'static str,
    /// Pain now.
    pub pain_now: &'static str,
    /// The four questions: warning signs, fall, leg pain further down, numbness or weakness.
    pub signs: [&'static str; 4],
    /// Yes and no.
    pub yes_no: [&'static str; 2],
    /// A question and the answer a button gives, for a screen reader.
    pub answer: fn(&str, &str) -> String,
    /// Names of the fields for height and mass.
    pub body: [&'static str; 2],
    /// Button that begins the session.
    pub begin_session: &'static str,
    /// Shown where a number cannot be read.
    pub bad_number: fn(&str) -> String,
    /// No trial after an answer that asks for a stop.
    pub stop_answered: &'static str,
    /// No trial while a stop waits for the clinician's review.
    pub stop_latched: &'static str,
    /// No trial above the plan's limit of pain.
    pub too_much_pain: &'static str,
    /// When and how long ago the session began.
    pub session_since: fn(&str) -> String,
    /// Name of the list of conditions.
    pub condition_field: &'static str,
    /// Shown for a person without a plan.
    pub no_plan: &'static str,
    /// Name of the list of errands.
    pub errand_field: &'static str,
    /// A measured trial, a guided hold, practice, the neutral reference, finding the stance.
    pub errands: [&'static str; 5],
    /// What each errand is.
    pub errands_about: [&'static str; 5],
    /// Name of the list of boards.
    pub board_field: &'static str,
    /// The one plugged in, the one at an address, a simulated one.
    pub boards: [&'static str; 3],
    /// What a simulated board means for the records.
    pub simulated_about: &'static str,
    /// Name of the field for the board's address.
    pub address_field: &'static str,
    /// Names of the fields for the length of the record and of settling, in seconds.
    pub seconds_fields: [&'static str; 2],
    /// Name of the field for the height of the sole.
    pub sole_field: &'static str,
    /// Name of the list of ways a band pulls.
    pub pull_field: &'static str,
    /// A way a band pulls.
    pub pull: fn(Pull) -> &'static str,
    /// Name of the list of ways to face.
    pub facing_field: &'static str,
    /// A way to face.
    pub facing: fn(Facing) -> &'static str,
    /// The feet stand on their outlines.
    pub outlines_field: &'static str,
    /// Head of the sound check.
    pub sound_head: &'static str,
    /// Button that plays its notes.
    pub play_notes: &'static str,
    /// The person heard them.
    pub notes_heard: &'static str,
    /// Why no eyes may close.
    pub not_heard: &'static str,
    /// There is no sound, and why: open eyes only.
    pub only_open: fn(&str) -> String,
    /// Whether the weight is where the reference was.
    pub position: fn(Position) -> &'static str,
    /// Button that begins the stand.
    pub start: &'static str,
    /// Key that begins it.
    pub start_key: &'static str,
    /// Button that ends the stand.
    pub stop: &'static str,
    /// Key that ends it.
    pub stop_key: &'static str,
    /// On other screens: somebody stands, and what they are to do now.
    pub somebody: fn(&str) -> String,
    /// The way to them.
    pub to_the_stand: &'static str,
    /// Whoever stands there is the person of the trial, or is not.
    pub same_person: [&'static str; 2],
    /// Shown while the board is looked for.
    pub connecting: &'static str,
    /// Shown while the record is sealed.
    pub keeping: &'static str,
    /// What the person should do at a stage.
    pub stage: fn(&Stage) -> String,
    /// Seconds left.
    pub seconds_left: fn(f64) -> String,
    /// Load in kilograms.
    pub load: fn(f64) -> String,
    /// Head of the live wobble.
    pub wobble_head: &'static str,
    /// Where the wobble lies against its window.
    pub zone: fn(WobbleZone) -> &'static str,
    /// Why nothing else is shown during a measured trial.
    pub nothing_shown: &'static str,
    /// The live strip for a screen reader.
    pub strip_about: &'static str,
    /// Ends of the strip's time axis.
    pub strip_time: [&'static str; 2],
    /// A wobble in millimetres and inches.
    pub wobble: fn(f64) -> String,
    /// Shown where the wobble could not be measured, with the reason.
    pub no_wobble: fn(&str) -> String,
    /// Head of the last stand.
    pub result_head: &'static str,
    /// It is kept, and how many samples it has.
    pub kept: fn(u64) -> String,
    /// Nothing has to be said against the recording.
    pub no_doubt: &'static str,
    /// What has to be said of a recording, in a few words.
    pub flag: fn(QualityFlag) -> &'static str,
    /// How hard it felt.
    pub difficulty: &'static str,
    /// Whether anything was touched.
    pub touched: &'static str,
    /// Shown once the answers are stored.
    pub answered: &'static str,
    /// The stand is the session's reference.
    pub reference_taken: &'static str,
    /// Finding the stance goes on with this condition.
    pub find_next: fn(&str) -> String,
    /// The stance is found.
    pub find_found: fn(&str) -> String,
    /// Finding the stance ends here, and why.
    pub find_ended: [&'static str; 3],
    /// Key that makes the found condition the plan's start.
    pub make_start: &'static str,
    /// Button that leads to the questions at the end.
    pub end_head: &'static str,
    /// Worst pain, pain now.
    pub end_pains: [&'static str; 2],
    /// Button that ends the session.
    pub end_session: &'static str,
    /// There is no sound, and why.
    pub no_sound: fn(&str) -> String,
    /// Author of the plan's version that finding the stance makes.
    pub author_field: &'static str,
}
