//! What can be typed after `footing people`, `plan`, `sessions`, `trials`, `next-step`, `decide`.

use std::path::PathBuf;

use acquisition::WallTime;
use acquisition::records::{AffectedSide, Place};
use analysis::{Condition, PersonCode, Pull};
use clap::{Args, Subcommand};

use super::answers::{AnswerArguments, ExerciseArguments};

#[derive(Debug, Subcommand)]
pub(crate) enum CourseCommand {
    People(PeopleArguments),
    Plan(PlanArguments),
    Sessions(SessionsArguments),
    Trials(TrialsArguments),
    NextStep(NextStepArguments),
    Decide(DecideArguments),
    Decisions(DecisionsArguments),
}

/// Everybody in the records; with `set`, add somebody or change what is known of them.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing people set P-01 --height 1.71 --mass 68 --side left")]
pub(crate) struct PeopleArguments {
    #[command(subcommand)]
    pub(crate) action: Option<PeopleAction>,

    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PeopleAction {
    Set(PersonArguments),
}

/// Add a person, or change what is known; what is not given stays as it is.
#[derive(Debug, Args)]
pub(crate) struct PersonArguments {
    /// The code: letters, digits, hyphens, underscores; never a name.
    pub(crate) person: PersonCode,
    /// A name, for the eyes of the clinic alone; it never leaves in a package unless asked.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Year of birth.
    #[arg(long, value_name = "YEAR")]
    pub(crate) birth_year: Option<u16>,
    /// Height in metres.
    #[arg(long, value_name = "METRES")]
    pub(crate) height: Option<f64>,
    /// Mass in kilograms.
    #[arg(long, value_name = "KILOGRAMS")]
    pub(crate) mass: Option<f64>,
    /// Where the complaint sits: none, left, right or both.
    #[arg(long, value_name = "SIDE")]
    pub(crate) side: Option<AffectedSide>,
}

/// A person's plan: conditions in order, dose, limits.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing plan show P-01 --toml > plan.toml\n  \
    (edit plan.toml)\n  footing plan set P-01 plan.toml --author clinician-1")]
pub(crate) struct PlanArguments {
    #[command(subcommand)]
    pub(crate) action: PlanAction,
}

#[derive(Debug, Subcommand)]
pub(crate) enum PlanAction {
    Show(ShowPlanArguments),
    Set(SetPlanArguments),
}

/// The plan in force, and what each version changed.
#[derive(Debug, Args)]
pub(crate) struct ShowPlanArguments {
    /// Whose plan.
    pub(crate) person: PersonCode,
    /// Print it as a file to be edited; without a plan, one to begin with.
    #[arg(long)]
    pub(crate) toml: bool,
}

/// Make a file the next version of the plan.
#[derive(Debug, Args)]
pub(crate) struct SetPlanArguments {
    /// Whose plan.
    pub(crate) person: PersonCode,
    /// The plan as a TOML file.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    /// Who made it, by a code or initials.
    #[arg(long, value_name = "WHO")]
    pub(crate) author: String,
}

/// Sessions: begin one, answer its questions, end it, list them.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  footing sessions begin P-01 --pain-at-start 2 --anything-new no \
    --fall no --leg-pain no --numbness no\n  footing record ...\n  \
    footing sessions answer P-01 --condition foam/hip-width/open --difficulty 3 --touched no\n  \
    footing sessions end P-01 --worst-pain 2 --pain-after 2"
)]
pub(crate) struct SessionsArguments {
    #[command(subcommand)]
    pub(crate) action: SessionsAction,
}

#[derive(Debug, Subcommand)]
pub(crate) enum SessionsAction {
    Begin(BeginArguments),
    Answer(AnswerSessionArguments),
    End(EndArguments),
    NextMorning(NextMorningArguments),
    Reference(ReferenceArguments),
    List(ListSessionsArguments),
}

/// Begin a session; stands recorded from now on belong to it.
#[derive(Debug, Args)]
pub(crate) struct BeginArguments {
    /// Who came.
    pub(crate) person: PersonCode,
    /// clinic or home.
    #[arg(long, default_value = "clinic", value_name = "PLACE")]
    pub(crate) place: Place,
    /// When it began, as 2026-03-01T09:30:00+01:00; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) started: Option<WallTime>,
    #[command(flatten)]
    pub(crate) answers: AnswerArguments,
}

/// Answer for the session in progress, or for another one with --session.
#[derive(Debug, Args)]
pub(crate) struct AnswerSessionArguments {
    /// Who came.
    pub(crate) person: PersonCode,
    /// The session; the one in progress, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,
    #[command(flatten)]
    pub(crate) answers: AnswerArguments,
    #[command(flatten)]
    pub(crate) exercise: ExerciseArguments,
}

/// End the session in progress, with the last answers.
#[derive(Debug, Args)]
pub(crate) struct EndArguments {
    /// Who came.
    pub(crate) person: PersonCode,
    /// The session; the one in progress, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,
    /// When it ended; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) ended: Option<WallTime>,
    #[command(flatten)]
    pub(crate) answers: AnswerArguments,
}

/// How much pain there was on the morning after the last session.
#[derive(Debug, Args)]
pub(crate) struct NextMorningArguments {
    /// Who came.
    pub(crate) person: PersonCode,
    /// Pain from 0 to 10.
    #[arg(long, value_name = "0..10", value_parser = super::answers::rating)]
    pub(crate) pain: analysis::readiness::Rating,
    /// The session; the person's last one, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,
    /// When it was answered; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) answered: Option<WallTime>,
}

/// Take a stand of the session as its reference of where the weight is.
///
/// Record it first: 15 s at the condition, band included, feet on their outlines and not moved
/// afterwards; the first time with the clinician watching. It shows where the weight is, not the
/// shape of the spine.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  footing record ... --condition foam/hip-width/open/none/upper-trunk \
    --seconds 15\n  footing sessions reference P-01 --pull forward"
)]
pub(crate) struct ReferenceArguments {
    /// Who stood.
    pub(crate) person: PersonCode,
    /// Which way the band pulls, as the person sees it: left, right, forward, backward.
    #[arg(long, value_name = "WAY")]
    pub(crate) pull: Pull,
    /// The stand, by the id of its trial; the last one of the session, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) trial: Option<String>,
    /// The session; the one in progress, if not given.
    #[arg(long, value_name = "ID")]
    pub(crate) session: Option<String>,
}

/// A person's sessions with their answers.
#[derive(Debug, Args)]
pub(crate) struct ListSessionsArguments {
    /// Who came.
    pub(crate) person: PersonCode,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// A person's trials with their leading measures.
#[derive(Debug, Args)]
pub(crate) struct TrialsArguments {
    /// Who stood.
    pub(crate) person: PersonCode,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Whether a person should go on, stay or step back, and why.
///
/// Advice from wobble, ratings and reports to a clinician, who decides. It says nothing of a
/// person's health.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing next-step P-01\n  footing next-step P-01 --patient")]
pub(crate) struct NextStepArguments {
    /// Who.
    pub(crate) person: PersonCode,
    /// Judge as if the person were at this condition of the plan.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) condition: Option<Condition>,
    /// The day of the question, as 2026-03-01: its end, here. Today, if not given.
    #[arg(long, value_name = "DATE")]
    pub(crate) as_of: Option<String>,
    /// In plain words for the person, without numbers.
    #[arg(long, conflicts_with = "json")]
    pub(crate) patient: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// Record what the clinician decided; a decision newer than a reason to stop releases it.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  footing decide P-01 foam/together/open --author clinician-1 \
    --note 'reviewed, go on'")]
pub(crate) struct DecideArguments {
    /// About whom.
    pub(crate) person: PersonCode,
    /// The condition the person goes on with; one of the plan's.
    pub(crate) condition: Condition,
    /// Who decided, by a code or initials.
    #[arg(long, value_name = "WHO")]
    pub(crate) author: String,
    /// In the clinician's own words.
    #[arg(long, default_value = "", value_name = "TEXT")]
    pub(crate) note: String,
    /// When; now, if not given.
    #[arg(long, value_name = "TIME")]
    pub(crate) made: Option<WallTime>,
}

/// The decisions about a person, beside what was advised.
#[derive(Debug, Args)]
pub(crate) struct DecisionsArguments {
    /// About whom.
    pub(crate) person: PersonCode,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
