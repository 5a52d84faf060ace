//! What did not work, told one at a time above whichever screen shows.

use std::collections::VecDeque;

use egui::{RichText, Ui};

use crate::strings::{Language, Message};
use crate::window::style::Palette;

/// More messages than anybody reads; what comes later is only counted.
const MOST_KEPT: usize = 50;

/// Messages the person has not taken away yet.
#[derive(Debug, Default)]
pub(crate) struct Messages {
    kept: VecDeque<Message>,
    n_left_out: usize,
}

impl Messages {
    /// Adds a message behind the others.
    pub(crate) fn add(&mut self, message: Message) {
        if self.kept.len() < MOST_KEPT {
            self.kept.push_back(message);
        } else {
            self.n_left_out += 1;
        }
    }

    /// Shows the first message, if there is any.
    pub(crate) fn ui(&mut self, ui: &mut Ui, words: &Language) {
        let Some(message) = self.kept.front() else { return };
        let n_more = self.kept.len() - 1 + self.n_left_out;
        let palette = Palette::of(ui.theme());
        let (mut next, mut none) = (false, false);
        let margin = egui::Margin::symmetric(16, 10);
        let frame = egui::Frame::side_top_panel(ui.style()).fill(palette.band).inner_margin(margin);
        egui::Panel::top("message").frame(frame).show(ui, |ui| {
            ui.label(RichText::new(&message.what).strong());
            ui.label(&message.why);
            ui.label(&message.what_to_do);
            ui.horizontal(|ui| {
                next = ui.button(words.common.dismiss).clicked();
                if 0 < n_more {
                    none = ui.button((words.common.dismiss_all)(n_more + 1)).clicked();
                }
            });
        });
        if next {
            self.kept.pop_front();
        }
        if none {
            *self = Self::default();
        }
    }
}
