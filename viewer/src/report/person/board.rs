//! Who, and what it was measured with.

use acquisition::{CalibrationKind, Origin, WallTime};

use super::PersonMaterial;
use crate::report::Fact;
use crate::strings::Language;

impl PersonMaterial {
    /// Who, with the name only where it was asked for, and the state of board and calibration.
    pub(super) fn facts(&self, words: &Language, with_name: bool) -> Vec<Fact> {
        let names = &words.report.facts;
        let mut facts = vec![fact(names.person, self.who(words, with_name))];
        let Some((latest, origin)) = &self.board.latest else {
            facts.push(fact(names.board, names.no_trial.to_owned()));
            return facts;
        };
        match origin {
            Origin::Imported(import) => {
                let plate = (names.imported)(&latest.setup.board, &import.file_name);
                facts.push(fact(names.board, plate));
                facts.push(fact(names.calibration, names.foreign_calibration.to_owned()));
            }
            Origin::Board(board) => {
                facts.push(fact(names.board, (names.own_board)(&board.board_id, &board.firmware)));
                facts.push(fact(names.calibration, self.calibration(words, board)));
                let noise = self.board.noise.map_or_else(
                    || names.no_dead_weight.to_owned(),
                    |noise| {
                        let rate = (words.significant)(noise.path_rate_mm_per_s, 2);
                        (names.dead_weight)(&rate, &(words.decimals)(noise.load_newtons, 0))
                    },
                );
                facts.push(fact(names.noise, noise));
            }
        }
        let height = latest.setup.sole_height_mm.map(|mm| (words.decimals)(mm, 0));
        facts.push(fact(names.plane, (names.plate_plane)(height.as_deref())));
        if let Some(plan) = &self.plan {
            let made = plan.made.date();
            facts.push(fact(names.plan, (names.plan_made)(plan.version, &plan.author, &made)));
        }
        facts
    }

    fn who(&self, words: &Language, with_name: bool) -> String {
        let person = &self.person;
        let name = person.name.as_deref().filter(|_| with_name);
        let parts = [
            name.map(str::to_owned),
            person.birth_year.map(|year| (words.report.facts.born)(year)),
            person.height_m.map(|m| format!("{} m", (words.decimals)(m, 2))),
            person.mass_kg.map(|kg| format!("{} kg", (words.decimals)(kg, 0))),
            person.affected_side.map(|side| (words.report.facts.side)(side).to_owned()),
        ];
        let known: Vec<String> =
            [Some(person.code.to_string())].into_iter().chain(parts).flatten().collect();
        known.join(", ")
    }

    fn calibration(&self, words: &Language, board: &acquisition::BoardOrigin) -> String {
        let names = &words.report.facts;
        let used = &board.calibration;
        let newest = self.board.newest_calibration.as_ref();
        let version = newest.map(|newest| newest.calibration.version);
        let newer = version.filter(|version| used.version < *version);
        let state = match used.kind {
            CalibrationKind::Nominal => names.nominal_calibration.to_owned(),
            CalibrationKind::Fitted => {
                let made = WallTime { unix_us: used.made_at_unix_us, offset_s: 0 }.date();
                let largest_mm = newest
                    .filter(|newest| newest.calibration.version == used.version)
                    .map(|newest| (words.significant)(newest.largest_uncertainty_mm, 2));
                (names.fitted_calibration)(used.version, &made, largest_mm.as_deref())
            }
        };
        match newer {
            Some(version) => format!("{state}; {}", (names.newer_calibration)(version)),
            None => state,
        }
    }
}

fn fact(name: &str, value: String) -> Fact {
    Fact { name: name.to_owned(), value }
}
