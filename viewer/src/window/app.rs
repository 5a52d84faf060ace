//! The window as a whole: which screen shows, and what to do with what the person asked for.

use crate::strings::{Language, Message};
use crate::window::choose::{ChooseCommand, ChooseScreen, ListedTrial, Selection};
use crate::window::home::{HomeCommand, HomeScreen, HomeView};
use crate::window::run::WindowStart;
use crate::window::style;

/// The screens of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Screen {
    /// Ways to begin.
    Home,
    /// The list of trials.
    Choose,
}

/// What the person asked for, on whichever screen.
#[derive(Debug)]
enum Command {
    Show(Screen),
    SetTheme(egui::Theme),
    DismissMessage,
    Home(HomeCommand),
    Choose(ChooseCommand),
}

/// The program's window.
#[derive(Debug)]
pub struct FootingWindow {
    words: &'static Language,
    screen: Screen,
    home: HomeScreen,
    choose: ChooseScreen,
    trials: Vec<ListedTrial>,
    selection: Selection,
    messages: Vec<Message>,
    commands: Vec<Command>,
}

impl FootingWindow {
    /// A window that will show `start`; it begins to read at once.
    ///
    /// # Errors
    /// If the thread that reads files cannot be started.
    pub fn new(words: &'static Language, start: WindowStart) -> std::io::Result<Self> {
        let _ = start;
        Ok(Self {
            words,
            screen: Screen::Home,
            home: HomeScreen::default(),
            choose: ChooseScreen::default(),
            trials: Vec::new(),
            selection: Selection::default(),
            messages: Vec::new(),
            commands: Vec::new(),
        })
    }

    /// The window with its looks given to the context that will show it.
    #[must_use]
    pub fn attached(self, ctx: &egui::Context) -> Self {
        style::apply(ctx);
        self
    }

    fn carry_out(&mut self, ctx: &egui::Context, command: Command) {
        match command {
            Command::Show(screen) => self.screen = screen,
            Command::SetTheme(theme) => ctx.set_theme(theme),
            Command::DismissMessage => {
                if !self.messages.is_empty() {
                    self.messages.remove(0);
                }
            }
            Command::Home(HomeCommand::Open(_path)) => {}
            Command::Choose(ChooseCommand::Toggle(side, ids)) => {
                self.selection.toggle(side, &ids);
                self.choose.refresh();
            }
            Command::Choose(ChooseCommand::Clear) => {
                self.selection.clear();
                self.choose.refresh();
            }
            Command::Choose(ChooseCommand::Compare) => {}
        }
    }

    fn bar_ui(&mut self, ui: &mut egui::Ui) {
        ui.horizontal(|ui| {
            let tabs = [(Screen::Home, self.words.home.tab), (Screen::Choose, self.words.choose.tab)];
            for (screen, name) in tabs {
                if ui.selectable_label(self.screen == screen, name).clicked() {
                    self.commands.push(Command::Show(screen));
                }
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                let (name, theme) = match ui.theme() {
                    egui::Theme::Dark => (self.words.common.to_light, egui::Theme::Light),
                    egui::Theme::Light => (self.words.common.to_dark, egui::Theme::Dark),
                };
                if ui.button(name).clicked() {
                    self.commands.push(Command::SetTheme(theme));
                }
            });
        });
    }

    fn message_ui(&mut self, ui: &mut egui::Ui) {
        let Some(message) = self.messages.first() else { return };
        ui.label(egui::RichText::new(&message.what).strong());
        ui.label(&message.why);
        ui.label(&message.what_to_do);
        if ui.button(self.words.common.dismiss).clicked() {
            self.commands.push(Command::DismissMessage);
        }
    }

    fn screen_ui(&mut self, ui: &mut egui::Ui) {
        match self.screen {
            Screen::Home => {
                let mut asked = Vec::new();
                self.home.ui(ui, self.words, &HomeView::new(self.words), &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Home));
            }
            Screen::Choose => {
                let mut asked = Vec::new();
                self.choose.ui(ui, self.words, &self.trials, &self.selection, &mut asked);
                self.commands.extend(asked.into_iter().map(Command::Choose));
            }
        }
    }
}

impl eframe::App for FootingWindow {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        for command in std::mem::take(&mut self.commands) {
            self.carry_out(ctx, command);
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        egui::Panel::top("screens").show(ui, |ui| self.bar_ui(ui));
        if !self.messages.is_empty() {
            egui::Panel::top("message").show(ui, |ui| self.message_ui(ui));
        }
        egui::CentralPanel::default().show(ui, |ui| self.screen_ui(ui));
        if !self.commands.is_empty() {
            ui.request_repaint();
        }
    }
}
