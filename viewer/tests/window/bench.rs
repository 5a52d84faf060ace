//! A window in a test: made, fed and looked at by name.

use std::path::PathBuf;

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use viewer::strings::{ENGLISH, Language};
use viewer::window::{FootingWindow, WindowStart};

/// Smallest size at which every screen must be readable.
const SIZE: [f32; 2] = [1024.0, 700.0];

/// A window that has read all it was given.
pub(crate) struct Bench {
    pub(crate) harness: Harness<'static, FootingWindow>,
}

impl Bench {
    pub(crate) fn open(library: Option<PathBuf>, files: Vec<PathBuf>) -> Self {
        Self::start(WindowStart { library, files, ..WindowStart::default() })
    }

    pub(crate) fn start(start: WindowStart) -> Self {
        Self::start_in(&ENGLISH, start)
    }

    pub(crate) fn start_in(words: &'static Language, start: WindowStart) -> Self {
        let harness = Harness::builder()
            .with_size(SIZE)
            .build_eframe(|creation| FootingWindow::new(&creation.egui_ctx, words, start).unwrap());
        let mut bench = Self { harness };
        bench.settle();
        bench
    }

    /// Shows what was read and asked for so far.
    pub(crate) fn settle(&mut self) {
        // What was pressed becomes a request in one frame, its answer is shown in the next.
        for _ in 0..3 {
            self.harness.run_steps(2);
            self.harness.state_mut().finish_reading();
        }
        self.harness.run_steps(2);
    }

    /// Presses the one thing of this name.
    pub(crate) fn press(&mut self, name: &str) {
        // Into sight first, as a person would; the list glides there over some frames.
        self.harness.get_by_label(name).scroll_to_me();
        self.harness.run_steps(10);
        self.harness.get_by_label(name).click();
        self.settle();
    }

    /// Presses the first thing whose name contains this.
    pub(crate) fn press_like(&mut self, part: &str) {
        let found = self.harness.get_all_by_label_contains(part).next();
        found.unwrap_or_else(|| panic!("nothing is named like {part:?}")).click();
        self.settle();
    }

    /// Presses the thing whose name begins and ends with these.
    pub(crate) fn press_named(&mut self, begins: &str, ends: &str) {
        let is_meant = |name: String| name.starts_with(begins) && name.ends_with(ends);
        let name = self
            .harness
            .query_all_by_label_contains(begins)
            .filter_map(|node| node.accesskit_node().label())
            .find(|name| is_meant(name.clone()))
            .unwrap_or_else(|| panic!("nothing is named {begins:?} .. {ends:?}"));
        self.press(&name);
    }

    /// Types into the field of this name.
    pub(crate) fn type_into(&mut self, name: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::TextInput, name).focus();
        self.settle();
        self.harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
        self.settle();
    }

    /// Types into the field of this name in place of what it holds.
    pub(crate) fn replace_in(&mut self, name: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::TextInput, name).focus();
        self.settle();
        self.harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        self.settle();
        self.harness.get_by_role_and_label(Role::TextInput, name).type_text(text);
        self.settle();
    }

    /// Types a number into the field of this name.
    pub(crate) fn set_number(&mut self, name: &str, text: &str) {
        self.harness.get_by_role_and_label(Role::SpinButton, name).focus();
        // A field that has the keyboard becomes one for text, all of it chosen.
        self.settle();
        self.harness.get_by_label(name).type_text(text);
        self.key(egui::Key::Enter);
    }

    /// The number in the field of this name.
    pub(crate) fn number(&self, name: &str) -> f64 {
        let field = self.harness.get_by_role_and_label(Role::SpinButton, name);
        field.accesskit_node().numeric_value().unwrap()
    }

    /// The entry that is chosen in the list of this name.
    pub(crate) fn chosen_in(&self, name: &str) -> String {
        let list = self.harness.get_by_role_and_label(Role::ComboBox, name);
        list.accesskit_node().value().unwrap()
    }

    /// Whether something on the screen has a name or text that contains this.
    pub(crate) fn shows(&self, part: &str) -> bool {
        self.harness.query_all_by_label_contains(part).next().is_some()
    }

    /// Whether the thing of this name can be pressed.
    pub(crate) fn is_enabled(&self, name: &str) -> bool {
        !self.harness.get_by_label(name).accesskit_node().is_disabled()
    }

    /// Whether one of several choices is the one that holds.
    pub(crate) fn is_held(&self, name: &str) -> bool {
        let node = self.harness.get_by_label(name);
        node.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True)
    }

    /// Gives the keyboard to the thing whose name contains this.
    pub(crate) fn focus_like(&mut self, part: &str) {
        self.harness.get_by_label_contains(part).focus();
        self.settle();
    }

    /// Presses a key.
    pub(crate) fn key(&mut self, key: egui::Key) {
        self.harness.key_press(key);
        self.settle();
    }

    /// How far down the thing of this name stands.
    pub(crate) fn top_of(&self, name: &str) -> f32 {
        self.harness.get_by_label(name).rect().top()
    }

    /// Opens the list of this name and takes one of its entries.
    pub(crate) fn choose(&mut self, name: &str, entry: &str) {
        self.harness.get_by_role_and_label(Role::ComboBox, name).click();
        self.settle();
        // A list that is open lies above everything else.
        let entry = self.harness.get_all_by_label(entry).last();
        entry.expect("the list has this entry").click();
        self.settle();
    }
}
