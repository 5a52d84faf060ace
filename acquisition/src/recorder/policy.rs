//! The numbers by which a trial begins and ends. All times are board time.

/// Length of the mean that becomes the zero, in seconds.
///
/// At least 5 s of the unloaded board: common practice for force plates, no source.
pub(super) const ZERO_S: u64 = 5;

/// How old a zero may be when a person steps on, in seconds: a half-bridge cell drifts by
/// 0.6 N/K, so a minute of warming at 0.5 K/min costs 0.3 N (our own error budget).
pub(super) const ZERO_FRESH_S: u64 = 60;

/// How long the empty board may take to come to rest before the zero is refused, in seconds (our
/// own choice).
pub(super) const ZERO_PATIENCE_S: u64 = 60;

/// Most by which the one-second means of one cell may differ within a zero, in newtons.
///
/// 30 g: the change between two zeros at which our error budget flags a trial. Somebody standing
/// still moves each cell by many times as much.
pub(super) const ZERO_UNREST_NEWTONS: f64 = 0.3;

/// Load above which the board counts as not empty while it is zeroed, in newtons.
///
/// Plate and pad weigh about 50 N and four cells may be off by 2 % of 981 N each (zero balance of
/// the class, common practice, no source): together 130 N, with some room.
pub(super) const LOADED_ZERO_NEWTONS: f64 = 150.0;

/// Load from which somebody counts as standing on the board, in newtons: about 10 kg, a sixth of a
/// light adult and far above a foot that only touches (our own choice).
pub(super) const LOAD_ON_NEWTONS: f64 = 100.0;

/// Load above which the board is refused, in newtons: 130 kg, the heaviest person for whom
/// four cells of 100 kg were found sufficient in our error budget.
pub const RATED_LOAD_NEWTONS: f64 = 130.0 * STANDARD_GRAVITY;

/// Newtons per kilogram.
///
/// # Source
/// Standard acceleration of free fall, 3rd General Conference on Weights and Measures (1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// How long somebody must stand still before settling counts, in seconds (our own choice).
pub(super) const STILL_S: f64 = 2.0;

/// Range of the load while standing still, as a share of its mean: stepping and reaching change it
/// by far more, sway on foam by a few hundredths (our own choice).
pub(super) const STILL_RANGE_SHARE: f64 = 0.2;

/// Below this share of the standing load, a foot is off the board (our own choice; a person who
/// leans on a rail keeps more on it).
pub(super) const STEP_OFF_SHARE: f64 = 0.3;

/// How long the load must stay that low, in seconds, so that a jolt does not end a trial (our own
/// choice).
pub(super) const STEP_OFF_S: f64 = 0.2;

/// A load this far from the recorded mass asks whether this is the same person: clothes and a meal
/// are less, another person usually more (our own choice). Both limits must be passed.
pub(super) const OTHER_PERSON_SHARE: f64 = 0.1;

/// See [`OTHER_PERSON_SHARE`]; in kilograms.
pub(super) const OTHER_PERSON_KG: f64 = 5.0;

/// How long that question may stay unanswered before the trial is refused, in seconds (our own
/// choice): nobody should be left standing.
pub(super) const OTHER_PERSON_PATIENCE_S: f64 = 60.0;

/// Load below which nobody is on the board any more, in newtons: 2 kg (our own choice).
pub(super) const STEPPED_OFF_NEWTONS: f64 = 20.0;

/// How long somebody may stay on after a record before the zero after is given up, in seconds (our
/// own choice): nobody should be kept waiting for it.
pub(super) const STEP_OFF_PATIENCE_S: f64 = 15.0;

/// How long the board rests empty before the zero after is read, in seconds; creep returns to 1 g a
/// cell on the recommended build, 5 g on the budget one (our own error budget).
pub(super) const ZERO_AFTER_REST_S: f64 = 10.0;

/// How long the empty board may take to give the zero after, in seconds, its rest included (our own
/// choice).
pub(super) const ZERO_AFTER_PATIENCE_S: f64 = 25.0;
