//! What the list of trials shows: people, groups of repeats, and single trials.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use acquisition::WallTime;
use analysis::{Condition, PersonCode, TrialKind};

use crate::strings::Language;
use crate::window::choose::selection::{InSet, Selection};
use crate::window::style::Side;

/// A trial file as the list knows it, without its samples.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedTrial {
    /// Unique id of the trial.
    pub id: String,
    /// Where it lies.
    pub path: PathBuf,
    /// Who stood.
    pub person: PersonCode,
    /// What they stood on and how.
    pub condition: Condition,
    /// What the trial is for.
    pub kind: TrialKind,
    /// When the record starts.
    pub started: WallTime,
}

/// What makes trials repeats of each other in the list: same person, day, condition and kind.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GroupKey {
    /// Who stood.
    pub person: PersonCode,
    /// Local date, as in `2026-03-01`.
    pub date: String,
    /// What they stood on and how.
    pub condition: Condition,
    /// What the trials are for.
    pub kind: TrialKind,
}

impl GroupKey {
    fn of(trial: &ListedTrial) -> Self {
        Self {
            person: trial.person.clone(),
            date: trial.started.date(),
            condition: trial.condition,
            kind: trial.kind,
        }
    }
}

/// The list as it is shown: one row after another.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ChooseView {
    /// Rows from top to bottom.
    pub rows: Vec<Row>,
    /// What each set holds, A first.
    pub sets: [SetSummary; 2],
    /// Whether the two sets can be compared at all.
    pub complete: bool,
}

/// One row of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What the row is about.
    pub subject: RowSubject,
    /// Large words at the left.
    pub title: String,
    /// Small words after them.
    pub detail: String,
    /// Ids of the trials the row stands for.
    pub ids: Vec<String>,
    /// How many of them are in each set, A first.
    pub in_sets: [InSet; 2],
}

/// What a row is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RowSubject {
    /// A person; the rows below are theirs.
    Person,
    /// Repeats of one condition on one day; `open` if its trials follow.
    Group {
        /// Which group.
        key: GroupKey,
        /// Whether the trials of the group follow as rows.
        open: bool,
    },
    /// One trial of the open group above.
    Trial,
}

/// One of the two sets in a line.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SetSummary {
    /// How many trials it holds.
    pub n_trials: usize,
    /// What they are, or what to do if there are none.
    pub text: String,
}

impl ChooseView {
    /// The rows for `trials` whose person or condition contains every word of `find`.
    ///
    /// People come by code, a person's days newest first, and on one day the conditions in the
    /// order of their definition.
    pub fn new(
        words: &Language,
        trials: &BTreeMap<String, ListedTrial>,
        selection: &Selection,
        open: &BTreeSet<GroupKey>,
        find: &str,
    ) -> Self {
        let sets = Side::BOTH.map(|side| SetSummary::new(words, trials, selection, side));
        let mut grouped: Vec<(GroupKey, &ListedTrial)> = trials
            .values()
            .map(|trial| (GroupKey::of(trial), trial))
            .filter(|(key, _)| matches(words, key, find))
            .collect();
        grouped.sort_by(|(a, first), (b, second)| {
            a.person
                .cmp(&b.person)
                .then_with(|| b.date.cmp(&a.date))
                .then_with(|| (a.condition, a.kind).cmp(&(b.condition, b.kind)))
                .then_with(|| (first.started, &first.id).cmp(&(second.started, &second.id)))
        });
        let mut rows = Vec::new();
        for of_person in grouped.chunk_by(|(a, _), (b, _)| a.person == b.person) {
            rows.push(person_row(words, of_person));
            for repeats in of_person.chunk_by(|(a, _), (b, _)| a == b) {
                group_rows(words, repeats, selection, open, &mut rows);
            }
        }
        Self { rows, sets, complete: selection.is_complete() }
    }
}

fn matches(words: &Language, key: &GroupKey, find: &str) -> bool {
    let text = format!(
        "{} {} {} {}",
        key.person,
        key.date,
        (words.condition)(&key.condition),
        (words.kind)(key.kind)
    )
    .to_lowercase();
    find.to_lowercase().split_whitespace().all(|word| text.contains(word))
}

fn person_row(words: &Language, of_person: &[(GroupKey, &ListedTrial)]) -> Row {
    let n_days = of_person.chunk_by(|(a, _), (b, _)| a.date == b.date).count();
    Row {
        subject: RowSubject::Person,
        title: of_person[0].0.person.to_string(),
        detail: (words.choose.person_detail)(of_person.len(), n_days),
        ids: Vec::new(),
        in_sets: [InSet::None; 2],
    }
}

fn group_rows(
    words: &Language,
    repeats: &[(GroupKey, &ListedTrial)],
    selection: &Selection,
    open: &BTreeSet<GroupKey>,
    rows: &mut Vec<Row>,
) {
    let key = &repeats[0].0;
    let is_open = open.contains(key);
    let row = |subject, title, detail, ids: Vec<String>| Row {
        subject,
        title,
        detail,
        in_sets: Side::BOTH.map(|side| selection.holds(side, &ids)),
        ids,
    };
    rows.push(row(
        RowSubject::Group { key: key.clone(), open: is_open },
        (words.condition)(&key.condition),
        format!(
            "{} · {} · {}",
            key.date,
            (words.choose.n_trials)(repeats.len()),
            (words.kind)(key.kind)
        ),
        repeats.iter().map(|(_, trial)| trial.id.clone()).collect(),
    ));
    if is_open {
        rows.extend(repeats.iter().enumerate().map(|(i, (_, trial))| {
            row(
                RowSubject::Trial,
                (words.choose.trial_number)(i + 1),
                clock(&trial.started),
                vec![trial.id.clone()],
            )
        }));
    }
}

/// Hours and minutes of the local time, from its RFC 3339 text.
fn clock(time: &WallTime) -> String {
    let text = time.to_string();
    text.split_once('T').map_or("", |(_, clock)| clock).chars().take(5).collect()
}

impl SetSummary {
    /// What a set of the selection holds.
    pub fn new(
        words: &Language,
        trials: &BTreeMap<String, ListedTrial>,
        selection: &Selection,
        side: Side,
    ) -> Self {
        let chosen: Vec<&ListedTrial> =
            selection.ids(side).filter_map(|id| trials.get(id)).collect();
        let groups: BTreeSet<GroupKey> = chosen.iter().map(|trial| GroupKey::of(trial)).collect();
        let Some(first) = groups.first() else {
            return Self { n_trials: 0, text: (words.choose.set_empty)(side.letter()) };
        };
        let mut text = format!(
            "{} · {} · {} · {}",
            first.person,
            (words.condition)(&first.condition),
            first.date,
            (words.choose.n_trials)(chosen.len())
        );
        if 1 < groups.len() {
            text.push_str(" · ");
            text.push_str(&(words.choose.more_groups)(groups.len() - 1));
        }
        Self { n_trials: chosen.len(), text }
    }
}
