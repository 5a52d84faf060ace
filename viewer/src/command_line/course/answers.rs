//! The questions of a session, as they are answered on the command line.

use acquisition::records::{ExerciseAnswers, SessionRecord};
use analysis::Condition;
use analysis::readiness::Rating;
use clap::{Args, ValueEnum};

/// The session's own questions. What is not answered stays unknown: never no, never zero.
#[derive(Debug, Args)]
pub(crate) struct AnswerArguments {
    /// Pain before the first stand, 0 to 10.
    #[arg(long, value_name = "0..10", value_parser = rating)]
    pub(crate) pain_at_start: Option<Rating>,
    /// Worst pain while exercising, 0 to 10.
    #[arg(long, value_name = "0..10", value_parser = rating)]
    pub(crate) worst_pain: Option<Rating>,
    /// Pain at the end, 0 to 10.
    #[arg(long, value_name = "0..10", value_parser = rating)]
    pub(crate) pain_after: Option<Rating>,
    /// Anything new: trouble passing urine or controlling the bowels, numbness around the seat or
    /// inner thighs, growing weakness of the legs, or another sign on the plan's list.
    #[arg(long, value_name = "YES|NO")]
    pub(crate) anything_new: Option<YesNo>,
    /// A fall since the last session, or in this one.
    #[arg(long, value_name = "YES|NO")]
    pub(crate) fall: Option<YesNo>,
    /// Leg pain that reaches further down than before.
    #[arg(long, value_name = "YES|NO")]
    pub(crate) leg_pain: Option<YesNo>,
    /// New numbness or weakness.
    #[arg(long, value_name = "YES|NO")]
    pub(crate) numbness: Option<YesNo>,
}

/// The questions after an exercise.
#[derive(Debug, Args)]
pub(crate) struct ExerciseArguments {
    /// The condition they are about.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) condition: Option<Condition>,
    /// How hard it felt: 0 very easy, 10 cannot.
    #[arg(long, value_name = "0..10", value_parser = rating, requires = "condition")]
    pub(crate) difficulty: Option<Rating>,
    /// Whether anything was touched, be it with a fingertip.
    #[arg(long, value_name = "YES|NO", requires = "condition")]
    pub(crate) touched: Option<YesNo>,
    /// Which pad, towels or cushions were stood on, by a name of your own; sway on different ones is
    /// never compared.
    #[arg(long, value_name = "NAME", requires = "condition", value_parser = pad)]
    pub(crate) pad: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum YesNo {
    Yes,
    No,
}

impl From<YesNo> for bool {
    fn from(answer: YesNo) -> Self {
        answer == YesNo::Yes
    }
}

/// A whole number from 0 to 10.
pub(crate) fn rating(text: &str) -> Result<Rating, String> {
    let points = text.parse().ok().and_then(Rating::new);
    points.ok_or_else(|| "a whole number from 0 to 10".to_owned())
}

/// A name of 1 to 100 characters without spaces around it.
fn pad(text: &str) -> Result<String, String> {
    let name = text.trim();
    if (1..=100).contains(&name.chars().count()) && !name.contains(char::is_control) {
        Ok(name.to_owned())
    } else {
        Err("a name of 1 to 100 characters".to_owned())
    }
}

impl AnswerArguments {
    /// Puts down what was answered; what was not stays as it is.
    pub(crate) fn put_into(&self, session: &mut SessionRecord) {
        let known = &mut session.answers;
        known.pain_at_start = self.pain_at_start.or(known.pain_at_start);
        known.worst_pain_during = self.worst_pain.or(known.worst_pain_during);
        known.pain_after = self.pain_after.or(known.pain_after);
        known.warning_sign = self.anything_new.map(bool::from).or(known.warning_sign);
        known.fall = self.fall.map(bool::from).or(known.fall);
        known.leg_pain_further_down = self.leg_pain.map(bool::from).or(known.leg_pain_further_down);
        known.numbness_or_weakness = self.numbness.map(bool::from).or(known.numbness_or_weakness);
    }

    /// Whether an answer means: stop, and have a clinician look.
    pub(crate) fn calls_for_a_stop(&self) -> bool {
        [self.anything_new, self.fall, self.leg_pain, self.numbness].contains(&Some(YesNo::Yes))
    }
}

impl ExerciseArguments {
    /// Puts down what was answered about an exercise.
    pub(crate) fn put_into(&self, session: &mut SessionRecord) {
        let Some(condition) = self.condition else { return };
        let asked = exercise(session, condition);
        asked.difficulty = self.difficulty.or(asked.difficulty);
        asked.touched_something = self.touched.map(bool::from).or(asked.touched_something);
        asked.pad = self.pad.clone().or(asked.pad.take());
    }
}

/// What is known of a session's exercise at this condition; made if nothing was.
pub(crate) fn exercise(session: &mut SessionRecord, condition: Condition) -> &mut ExerciseAnswers {
    let known = session.exercises.iter().position(|asked| asked.condition == condition);
    let place = known.unwrap_or_else(|| {
        session.exercises.push(ExerciseAnswers::new(condition));
        session.exercises.len() - 1
    });
    &mut session.exercises[place]
}
