//! Which trials are in set A and which in set B.

use std::collections::BTreeSet;

use crate::window::style::Side;

/// The two sets a person picked, by the ids of their trials; no trial is in both.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Selection {
    sets: [BTreeSet<String>; 2],
}

/// How many of some trials are in a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InSet {
    /// None of them.
    None,
    /// Some of them.
    Some,
    /// All of them.
    All,
}

impl Selection {
    /// Ids of the trials in one set, in order.
    pub fn ids(&self, side: Side) -> impl ExactSizeIterator<Item = &str> {
        self.sets[side.index()].iter().map(String::as_str)
    }

    /// Whether each set holds a trial.
    pub fn is_complete(&self) -> bool {
        self.sets.iter().all(|set| !set.is_empty())
    }

    /// How many of `ids` are in a set.
    pub fn holds(&self, side: Side, ids: &[String]) -> InSet {
        let n_held = ids.iter().filter(|id| self.sets[side.index()].contains(*id)).count();
        if n_held == 0 {
            InSet::None
        } else if n_held == ids.len() {
            InSet::All
        } else {
            InSet::Some
        }
    }

    /// Puts trials into a set, out of the other; or out of both if the set already holds them all.
    pub fn toggle(&mut self, side: Side, ids: &[String]) {
        let held = self.holds(side, ids) == InSet::All;
        for id in ids {
            for set in &mut self.sets {
                set.remove(id);
            }
            if !held {
                self.sets[side.index()].insert(id.clone());
            }
        }
    }

    /// Empties both sets.
    pub fn clear(&mut self) {
        *self = Self::default();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ids(ids: &[&str]) -> Vec<String> {
        ids.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_trial_is_never_in_both_sets() {
        let mut selection = Selection::default();
        selection.toggle(Side::A, &ids(&["1", "2"]));
        selection.toggle(Side::B, &ids(&["2", "3"]));
        assert_eq!(selection.ids(Side::A).collect::<Vec<_>>(), ["1"]);
        assert_eq!(selection.ids(Side::B).collect::<Vec<_>>(), ["2", "3"]);
        assert!(selection.is_complete());
    }

    #[test]
    fn a_half_picked_group_is_completed_before_it_is_emptied() {
        let mut selection = Selection::default();
        let group = ids(&["1", "2", "3"]);
        selection.toggle(Side::A, &group[..1]);
        assert_eq!(selection.holds(Side::A, &group), InSet::Some);
        selection.toggle(Side::A, &group);
        assert_eq!(selection.holds(Side::A, &group), InSet::All);
        selection.toggle(Side::A, &group);
        assert_eq!(selection.holds(Side::A, &group), InSet::None);
    }
}
