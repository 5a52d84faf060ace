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

#[cfg(test)]
mod tests {
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    use super::*;
    use crate::strings::LANGUAGES;
    use crate::strings::walk::every_message;

    /// Smallest size at which every screen must be readable.
    const SIZE: [f32; 2] = [1024.0, 700.0];

    #[test]
    fn every_message_is_read_by_its_three_parts_in_sight_and_taken_away_by_name() {
        for words in LANGUAGES {
            let messages = every_message(words);
            assert!(50 < messages.len(), "{}: {}", words.key, messages.len());
            let mut harness = Harness::builder().with_size(SIZE).build_ui_state(
                |ui, shown: &mut Messages| shown.ui(ui, words),
                Messages::default(),
            );
            for message in messages {
                harness.state_mut().add(message.clone());
                harness.run();
                for part in [&message.what, &message.why, &message.what_to_do] {
                    assert!(!part.is_empty(), "{message:?}");
                    let place = harness.get_by_label(part).rect();
                    assert!(place.right() < SIZE[0] && place.bottom() < SIZE[1] / 2.0, "{part}");
                }
                harness.get_by_label(words.common.dismiss).click();
                harness.run();
                assert!(harness.query_by_label(&message.what).is_none(), "{message:?}");
            }
        }
    }
}
