//! A draft under way, with every step back.

use acquisition::records::{Plan, PlanDraft, PlannedCondition};
use analysis::{Condition, Stance, Vision};

/// More steps back than anybody goes.
const MOST_STEPS: usize = 200;

/// A draft, and the drafts before and after it.
#[derive(Debug, Clone)]
pub(super) struct Editing {
    /// Id of the version it began from; `None` without one.
    from: Option<String>,
    pub(super) draft: PlanDraft,
    /// As it was when the last edit ended.
    settled: PlanDraft,
    undone: Vec<PlanDraft>,
    before: Vec<PlanDraft>,
}

impl Editing {
    /// Begins from the version in force, or from a plan to begin with.
    pub(super) fn begin(plan: Option<&Plan>) -> Self {
        let draft = plan.map_or_else(PlanDraft::to_begin_with, PlanDraft::of);
        let from = plan.map(|plan| plan.id.clone());
        let settled = draft.clone();
        Self { from, draft, settled, undone: Vec::new(), before: Vec::new() }
    }

    /// Whether it began from this version.
    pub(super) fn is_of(&self, plan: Option<&Plan>) -> bool {
        self.from.as_deref() == plan.map(|plan| plan.id.as_str())
    }

    /// Ends an edit, if there was one: it can be taken back from now on.
    pub(super) fn settle(&mut self) {
        if self.draft != self.settled {
            self.before.push(std::mem::replace(&mut self.settled, self.draft.clone()));
            self.undone.clear();
            if MOST_STEPS < self.before.len() {
                self.before.remove(0);
            }
        }
    }

    pub(super) fn can_undo(&self) -> bool {
        !self.before.is_empty() || self.draft != self.settled
    }

    pub(super) fn can_redo(&self) -> bool {
        !self.undone.is_empty()
    }

    /// Takes the last edit back.
    pub(super) fn undo(&mut self) {
        self.settle();
        if let Some(before) = self.before.pop() {
            self.undone.push(std::mem::replace(&mut self.draft, before));
            self.settled = self.draft.clone();
        }
    }

    /// Makes it again.
    pub(super) fn redo(&mut self) {
        if let Some(after) = self.undone.pop() {
            self.before.push(std::mem::replace(&mut self.draft, after));
            self.settled = self.draft.clone();
        }
    }

    /// Adds a condition at the hard end: the last one with something in it that is not there yet.
    pub(super) fn add(&mut self) {
        let Some(last) = self.draft.conditions.last().copied() else {
            self.draft.conditions = PlanDraft::to_begin_with().conditions;
            self.draft.conditions.truncate(1);
            return;
        };
        let is_new = |condition: &Condition| {
            !self.draft.conditions.iter().any(|planned| planned.condition == *condition)
        };
        let others = Stance::ALL.iter().flat_map(|&stance| {
            Vision::ALL.iter().map(move |&vision| Condition { stance, vision, ..last.condition })
        });
        if let Some(condition) = others.into_iter().find(is_new) {
            self.draft.conditions.push(PlannedCondition { condition, ..last });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_edit_can_be_taken_back_and_made_again() {
        let mut editing = Editing::begin(None);
        let first = editing.draft.clone();
        editing.add();
        editing.settle();
        editing.draft.conditions.remove(0);
        editing.settle();
        let last = editing.draft.clone();
        editing.undo();
        editing.undo();
        assert_eq!(editing.draft, first);
        assert!(!editing.can_undo());
        editing.redo();
        editing.redo();
        assert_eq!(editing.draft, last);
        assert!(!editing.can_redo());
    }

    #[test]
    fn an_added_condition_is_one_that_is_not_there_yet() {
        let mut editing = Editing::begin(None);
        for _ in 0..20 {
            editing.add();
        }
        let conditions = &editing.draft.conditions;
        for (n, planned) in conditions.iter().enumerate() {
            assert!(!conditions[..n].iter().any(|earlier| earlier.condition == planned.condition));
        }
        // Seven stances with eyes open and closed, on the surface of the last one.
        assert_eq!(conditions.len(), 14);
    }
}
