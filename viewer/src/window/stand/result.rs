//! The last stand: what came of it, and the questions after it.

use acquisition::Ending;
use acquisition::home::LanguageKey;
use acquisition::records::Reference;
use analysis::readiness::Rating;
use analysis::{Condition, Pull, WOBBLE};
use egui::{Key, RichText, Ui};

use crate::standing::KeptStand;
use crate::strings::Language;
use crate::window::clinic::SessionChange;
use crate::window::questions::{rating_ui, yes_no_ui};
use crate::window::stand::find::FindStep;
use crate::window::stand::model::Errand;
use crate::window::stand::paint::StandCommand;
use crate::window::style;

/// The last stand, and the answers about it.
#[derive(Debug)]
pub(super) struct LastStand {
    condition: Condition,
    stood: KeptStand,
    said: Said,
    find: Option<FindStep>,
    reference: Option<Reference>,
    difficulty: Option<Rating>,
    touched: Option<bool>,
    /// The answers that are stored already.
    stored: (Option<Rating>, Option<bool>),
    author: String,
}

/// It in the words of a language.
#[derive(Debug)]
struct Said {
    language: LanguageKey,
    name: String,
    wobble: String,
    doubts: Vec<String>,
    kept: String,
}

impl Said {
    fn new(words: &Language, stood: &KeptStand) -> Self {
        let file = &stood.file;
        let wobble = match &file.found {
            Ok(found) => match found.measured.measures.wobble {
                Ok(wobble) => (words.stand.wobble)(wobble.median_mm),
                Err(why) => (words.stand.no_wobble)(&(words.not_available)(&why)),
            },
            Err(why) => (words.stand.no_wobble)(&(words.not_available)(why)),
        };
        let flags = file.flags().unwrap_or_default();
        let mut doubts: Vec<String> =
            flags.iter().map(|&flag| (words.stand.flag)(flag).to_owned()).collect();
        doubts.extend((words.doubts)(file));
        let facts = &file.facts;
        Self {
            language: words.key,
            name: format!("{}, {}", (words.condition)(&facts.condition), (words.kind)(facts.kind)),
            wobble,
            doubts,
            kept: (words.stand.kept)(stood.n_frames),
        }
    }
}

impl LastStand {
    /// From what is kept of it.
    pub(super) fn new(
        words: &Language,
        stood: &KeptStand,
        errand: Errand,
        window_mm: [f64; 2],
        pull: Option<Pull>,
    ) -> Self {
        let file = &stood.file;
        let condition = file.facts.condition;
        let is_reference = errand == Errand::Reference && stood.ended == Ending::HoldReached;
        Self {
            condition,
            said: Said::new(words, stood),
            stood: stood.clone(),
            find: (errand == Errand::Find).then(|| FindStep::after(file, stood.ended, window_mm)),
            reference: is_reference.then(|| Reference { trial: file.facts.id.clone(), pull }),
            difficulty: None,
            touched: None,
            stored: (None, None),
            author: String::new(),
        }
    }

    /// What the records have to know of it at once.
    pub(super) fn change(&self) -> Option<SessionChange> {
        let reference = self.reference.clone()?;
        Some(SessionChange::Reference { condition: self.condition, reference })
    }

    /// The condition to stand next, if the stance is being found.
    pub(super) fn next(&self) -> Option<Condition> {
        match self.find {
            Some(FindStep::Next(condition)) => Some(condition),
            _ => None,
        }
    }

    /// Shows it.
    pub(super) fn ui(&mut self, ui: &mut Ui, words: &Language, commands: &mut Vec<StandCommand>) {
        if self.said.language != words.key {
            self.said = Said::new(words, &self.stood);
        }
        ui.label(RichText::new(words.stand.result_head).strong());
        ui.label(&self.said.name);
        ui.label(RichText::new((words.measure)(WOBBLE).unwrap_or_default()).weak());
        ui.label(RichText::new(&self.said.wobble).text_style(egui::TextStyle::Heading));
        if self.said.doubts.is_empty() {
            ui.label(words.stand.no_doubt);
        }
        for doubt in &self.said.doubts {
            ui.label((words.compare.doubt)(doubt));
        }
        ui.label(RichText::new(&self.said.kept).weak());
        if self.reference.is_some() {
            ui.label(words.stand.reference_taken);
        }
        self.find_ui(ui, words, commands);
        ui.separator();
        rating_ui(ui, &words.stand, words.stand.difficulty, &mut self.difficulty);
        yes_no_ui(ui, &words.stand, words.stand.touched, &mut self.touched);
        let answers = (self.difficulty, self.touched);
        if answers != self.stored {
            self.stored = answers;
            commands.push(StandCommand::Session(SessionChange::Exercise {
                condition: self.condition,
                difficulty: self.difficulty,
                touched: self.touched,
            }));
        }
        if self.stored.0.is_some() && self.stored.1.is_some() {
            ui.label(RichText::new(words.stand.answered).weak());
        }
    }

    fn find_ui(&mut self, ui: &mut Ui, words: &Language, commands: &mut Vec<StandCommand>) {
        let Some(step) = self.find else { return };
        let [too_much, not_held, nothing_harder] = words.stand.find_ended;
        let text = match step {
            FindStep::Next(condition) => (words.stand.find_next)(&(words.condition)(&condition)),
            FindStep::Found(condition) => (words.stand.find_found)(&(words.condition)(&condition)),
            FindStep::TooMuch => too_much.to_owned(),
            FindStep::NotHeld => not_held.to_owned(),
            FindStep::NothingHarder => nothing_harder.to_owned(),
        };
        ui.label(RichText::new(text).text_style(style::large()));
        let FindStep::Found(condition) = step else { return };
        ui.horizontal(|ui| {
            let label = ui.label(words.stand.author_field);
            let field = egui::TextEdit::singleline(&mut self.author).desired_width(140.0);
            ui.add(field).labelled_by(label.id);
            let author = self.author.trim();
            let button = egui::Button::new(words.stand.make_start);
            let clicked = ui.add_enabled(!author.is_empty(), button).clicked();
            let pressed = ui.input(|input| input.key_pressed(Key::F6)) && !author.is_empty();
            if clicked || pressed {
                let author = author.to_owned();
                commands.push(StandCommand::BeginPlanWith { condition, author });
            }
        });
    }
}
