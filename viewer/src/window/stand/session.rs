//! The questions before and after a session.

use analysis::readiness::{Answers, Rating};
use egui::{RichText, Ui};

use crate::strings::{Language, StandWords};
use crate::window::clinic::{Desk, SessionChange};
use crate::window::questions::{rating_ui, yes_no_ui};
use crate::window::stand::model::number;
use crate::window::stand::paint::StandCommand;

/// Heights in metres and masses in kilograms that are taken: wide enough for everybody, narrow
/// enough to catch centimetres and pounds.
const BODY: [(f64, f64); 2] = [(0.8, 2.5), (10.0, 250.0)];

/// Answers that are not stored yet.
#[derive(Debug, Default)]
pub(super) struct Questions {
    pain: Option<Rating>,
    signs: [Option<bool>; 4],
    body: [String; 2],
    end_pains: [Option<Rating>; 2],
}

impl Questions {
    /// Questions that know what is recorded of a person's body.
    pub(super) fn about(words: &Language, desk: &Desk) -> Self {
        let body = [desk.person.height_m, desk.person.mass_kg];
        let text = |value: Option<f64>| value.map_or_else(String::new, words.shortest);
        Self { body: body.map(text), ..Self::default() }
    }

    /// Asks what has to be asked before a session.
    pub(super) fn before_ui(
        &mut self,
        ui: &mut Ui,
        words: &StandWords,
        commands: &mut Vec<StandCommand>,
    ) {
        ui.label(RichText::new(words.before_head).strong());
        for (question, answer) in words.signs.into_iter().zip(&mut self.signs) {
            yes_no_ui(ui, words, question, answer);
        }
        rating_ui(ui, words, words.pain_now, &mut self.pain);
        ui.horizontal(|ui| {
            for (name, text) in words.body.into_iter().zip(&mut self.body) {
                let label = ui.label(name);
                ui.add(egui::TextEdit::singleline(text).desired_width(80.0)).labelled_by(label.id);
            }
        });
        let body = self.read_body(words);
        if let Err(field) = body {
            ui.label(RichText::new((words.bad_number)(field)).strong());
        }
        let asked = self.pain.is_some() && self.signs.iter().all(Option::is_some);
        let button = egui::Button::new(words.begin_session);
        let clicked = ui.add_enabled(asked && body.is_ok(), button).clicked();
        if let (true, Ok([height_m, mass_kg])) = (clicked, body) {
            let [warning_sign, fall, leg_pain_further_down, numbness_or_weakness] = self.signs;
            let answers = Answers {
                pain_at_start: self.pain,
                warning_sign,
                fall,
                leg_pain_further_down,
                numbness_or_weakness,
                ..Answers::default()
            };
            commands.push(StandCommand::Session(SessionChange::Begin {
                answers,
                height_m,
                mass_kg,
            }));
        }
    }

    /// Height and mass; the name of the field that cannot be read otherwise.
    fn read_body<'a>(&self, words: &'a StandWords) -> Result<[Option<f64>; 2], &'a str> {
        let mut read = [None; 2];
        for (index, text) in self.body.iter().enumerate() {
            if !text.trim().is_empty() {
                let (low, high) = BODY[index];
                read[index] = Some(number(text, low..=high).ok_or(words.body[index])?);
            }
        }
        Ok(read)
    }

    /// Asks what has to be asked at the end, and ends the session.
    pub(super) fn end_ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        commands: &mut Vec<StandCommand>,
    ) {
        let words = &words.stand;
        egui::CollapsingHeader::new(words.end_head).show(ui, |ui| {
            for (question, answer) in words.end_pains.into_iter().zip(&mut self.end_pains) {
                rating_ui(ui, words, question, answer);
            }
            let asked = self.end_pains.iter().all(Option::is_some);
            if ui.add_enabled(asked, egui::Button::new(words.end_session)).clicked() {
                let [worst_pain, pain_after] = self.end_pains;
                commands.push(StandCommand::Session(SessionChange::End { worst_pain, pain_after }));
            }
        });
    }
}
