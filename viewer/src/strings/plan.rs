//! What a language must say about plans.

use acquisition::records::{Dose, GuidedBy, PlanChange, Release};
use analysis::{Band, Stance, Support, Surface, Vision};

/// Words of the plan's screen, and of plans on the command line.
#[derive(Debug)]
pub struct PlanWords {
    /// Name of the screen where the program's screens are listed.
    pub tab: &'static str,
    /// Shown while nobody is chosen.
    pub nobody_chosen: &'static str,
    /// Code of the person and number of the version in force; `None` before the first.
    pub title: fn(&str, Option<u32>) -> String,
    /// Who made the version in force, and on which date.
    pub made: fn(&str, &str) -> String,
    /// Shown for a person without a plan: what the draft below is.
    pub first: &'static str,
    /// The five words of a condition, as their fields are named.
    pub five: [&'static str; 5],
    /// Name of a field of the n-th condition, for a screen reader.
    pub of_condition: fn(&str, usize) -> String,
    /// What is underfoot.
    pub surface: fn(Surface) -> &'static str,
    /// How the feet stand.
    pub stance: fn(Stance) -> &'static str,
    /// Whether the eyes are open.
    pub vision: fn(Vision) -> &'static str,
    /// Planned support by a hand.
    pub support: fn(Support) -> &'static str,
    /// Where a band pulls.
    pub band: fn(Band) -> &'static str,
    /// Names of the fields of a dose: holds, seconds of a hold, seconds of rest.
    pub dose_fields: [&'static str; 3],
    /// The same as they stand before the numbers.
    pub dose_labels: [&'static str; 3],
    /// Name of the field for where a condition may be done.
    pub release_field: &'static str,
    /// A dose in words.
    pub dose: fn(Dose) -> String,
    /// Where a condition may be done.
    pub release: fn(Release) -> &'static str,
    /// So many sessions.
    pub sessions: fn(u8) -> String,
    /// How long to stand before a record, in seconds; `None` for the program's own time.
    pub settle: fn(Option<f64>) -> String,
    /// Button that moves a condition towards the easy end.
    pub earlier: &'static str,
    /// Button that moves a condition towards the hard end.
    pub later: &'static str,
    /// Button that takes a condition out.
    pub remove: &'static str,
    /// Button that adds a condition at the hard end.
    pub add: &'static str,
    /// Head of the wobble window.
    pub window_head: &'static str,
    /// Names of the fields of the window: lower and upper end in mm, lower and upper end in inches.
    pub window_fields: [&'static str; 4],
    /// Head of the limits.
    pub limits_head: &'static str,
    /// Name of the field for sessions a day.
    pub sessions_field: &'static str,
    /// Head of what holds at home alone.
    pub home_head: &'static str,
    /// Name of the field for what guides the person.
    pub guided_by_field: &'static str,
    /// What guides the person, as it follows on "guided".
    pub guided_by: fn(GuidedBy) -> &'static str,
    /// What being guided by sight means.
    pub by_sight_about: &'static str,
    /// Name of the field for whether the stance may be found at home.
    pub finds_stance_field: &'static str,
    /// Name of the field for a limit, by its key in the table of limits.
    pub limit: fn(&str) -> Option<&'static str>,
    /// Where the other limits are changed.
    pub other_limits: &'static str,
    /// Head of what the draft changes.
    pub changes_head: &'static str,
    /// Shown while nothing is changed.
    pub no_change: &'static str,
    /// One change between two versions.
    pub change: fn(&PlanChange) -> String,
    /// Button that takes the last edit back.
    pub undo: &'static str,
    /// Button that makes it again.
    pub redo: &'static str,
    /// Name of the field for whoever makes the version.
    pub author_label: &'static str,
    /// Button that stores the next version, whose number is given.
    pub store: fn(u32) -> String,
    /// What storing does.
    pub store_about: &'static str,
    /// Head of the earlier versions.
    pub history_head: &'static str,
    /// A version with its author and date.
    pub version: fn(u32, &str, &str) -> String,
}
