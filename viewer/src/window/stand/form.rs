//! The form for the next stand.

use analysis::{Band, Facing, Pull, Vision};
use egui::{ComboBox, Key, RichText, Ui};

use crate::strings::Language;
use crate::window::questions::list_info;
use crate::window::stand::find::FindStep;
use crate::window::stand::model::{BoardPick, Errand, Setup, StandView};
use crate::window::stand::paint::StandCommand;
use crate::window::style;

const FIELD_WIDTH: f32 = 330.0;

/// Shows the form; the stand that is asked for is appended to `commands`.
pub(super) fn form_ui(
    ui: &mut Ui,
    words: &Language,
    view: &StandView<'_>,
    setup: &mut Setup,
    commands: &mut Vec<StandCommand>,
) {
    let before = (setup.condition(view), setup.errand);
    errand_ui(ui, words, setup);
    condition_ui(ui, words, view, setup);
    if before != (setup.condition(view), setup.errand) || setup.seconds[0].is_empty() {
        setup.suggest(words, view);
    }
    ui.horizontal(|ui| {
        for (name, text) in words.stand.seconds_fields.into_iter().zip(&mut setup.seconds) {
            field_ui(ui, name, text, 60.0);
        }
    });
    ui.horizontal(|ui| field_ui(ui, words.stand.sole_field, &mut setup.sole_mm, 60.0));
    facing_ui(ui, words, setup);
    board_ui(ui, words, setup);
    let mut asked = setup.ask(&words.stand, view);
    if let Err(field) = asked {
        let is_number = field != words.stand.outlines_field;
        let why = if is_number { (words.stand.bad_number)(field) } else { field.to_owned() };
        ui.label(RichText::new(why).strong());
    }
    if let Some(condition) = setup.condition(view)
        && condition.vision == Vision::Closed
        && setup.board != BoardPick::Simulated
    {
        sound_ui(ui, words, view, commands);
        if view.needs_sound(condition, setup.board) {
            asked = Err(words.stand.not_heard);
        }
    }
    ui.horizontal(|ui| {
        let start = egui::Button::new(RichText::new(words.stand.start).text_style(style::large()));
        let clicked = ui.add_enabled(asked.is_ok(), start).clicked();
        ui.label(RichText::new(words.stand.start_key).weak());
        let pressed = ui.input(|input| input.key_pressed(Key::F5));
        if let (true, Ok(asked)) = (clicked || pressed, asked) {
            commands.push(StandCommand::Start(Box::new(asked)));
        }
    });
}

fn errand_ui(ui: &mut Ui, words: &Language, setup: &mut Setup) {
    let index = Errand::ALL.iter().position(|&errand| errand == setup.errand).unwrap_or_default();
    let picked = combo_ui(ui, words.stand.errand_field, &words.stand.errands, index);
    setup.errand = Errand::ALL[picked];
    ui.label(RichText::new(words.stand.errands_about[picked]).weak());
}

fn condition_ui(ui: &mut Ui, words: &Language, view: &StandView<'_>, setup: &mut Setup) {
    let mut conditions = view.conditions();
    // One that finding the stance came to need not be in the plan.
    if let Some(condition) = setup.condition
        && !conditions.contains(&condition)
    {
        conditions.push(condition);
    }
    let names: Vec<String> = conditions.iter().map(words.condition).collect();
    let chosen = setup.condition(view);
    let index = conditions.iter().position(|&one| Some(one) == chosen).unwrap_or_default();
    let picked = combo_ui(ui, words.stand.condition_field, &names, index);
    if picked != index {
        setup.condition = conditions.get(picked).copied();
    }
    if view.desk.is_some_and(|desk| desk.plan().is_none()) {
        ui.label(RichText::new(words.stand.no_plan).weak());
    }
    if setup.errand == Errand::Find
        && let Some(chosen) = chosen
        && setup.condition.is_none()
    {
        setup.condition = Some(FindStep::first(chosen));
    }
    if setup.errand == Errand::Reference {
        reference_ui(ui, words, chosen.is_some_and(|chosen| chosen.band != Band::None), setup);
    }
}

/// Asks for the sound check: with closed eyes nothing but the sound tells the end.
fn sound_ui(ui: &mut Ui, words: &Language, view: &StandView<'_>, commands: &mut Vec<StandCommand>) {
    let (language, words) = (words, &words.stand);
    ui.label(RichText::new(words.sound_head).strong());
    if let Some(why) = view.no_sound {
        let why = (language.sound.not_opened)(why).why;
        ui.label((words.only_open)(why.trim_end_matches('.')));
    }
    ui.horizontal(|ui| {
        if ui.button(words.play_notes).clicked() {
            commands.push(StandCommand::PlayNotes);
        }
        let mut heard = view.heard;
        if ui
            .add_enabled(view.notes_played, egui::Checkbox::new(&mut heard, words.notes_heard))
            .changed()
        {
            commands.push(StandCommand::NotesHeard(heard));
        }
    });
    if !view.heard {
        ui.label(RichText::new(words.not_heard).weak());
    }
}

fn facing_ui(ui: &mut Ui, words: &Language, setup: &mut Setup) {
    let names: Vec<&str> = Facing::ALL.iter().map(|&way| (words.stand.facing)(way)).collect();
    let shown = setup.facing.unwrap_or(Facing::Front);
    let index = Facing::ALL.iter().position(|&way| way == shown).unwrap_or_default();
    setup.facing = Some(Facing::ALL[combo_ui(ui, words.stand.facing_field, &names, index)]);
}

fn reference_ui(ui: &mut Ui, words: &Language, has_band: bool, setup: &mut Setup) {
    ui.checkbox(&mut setup.on_outlines, words.stand.outlines_field);
    if !has_band {
        setup.pull = None;
        return;
    }
    let names: Vec<&str> = Pull::ALL.iter().map(|&pull| (words.stand.pull)(pull)).collect();
    let index = Pull::ALL.iter().position(|&pull| Some(pull) == setup.pull).unwrap_or_default();
    setup.pull = Some(Pull::ALL[combo_ui(ui, words.stand.pull_field, &names, index)]);
}

fn board_ui(ui: &mut Ui, words: &Language, setup: &mut Setup) {
    let index = BoardPick::ALL.iter().position(|&one| one == setup.board).unwrap_or_default();
    setup.board = BoardPick::ALL[combo_ui(ui, words.stand.board_field, &words.stand.boards, index)];
    match setup.board {
        BoardPick::Plugged => {}
        BoardPick::Address => {
            ui.horizontal(|ui| {
                field_ui(ui, words.stand.address_field, &mut setup.address, 190.0);
            });
        }
        BoardPick::Simulated => {
            ui.label(RichText::new(words.stand.simulated_about).weak());
        }
    }
}

/// A list of names; gives the position of the one that is picked.
fn combo_ui<T: AsRef<str>>(ui: &mut Ui, name: &str, names: &[T], shown: usize) -> usize {
    let mut picked = shown;
    ui.label(name);
    let text = names.get(shown).map_or("", AsRef::as_ref);
    let combo = ComboBox::from_id_salt(name)
        .selected_text(text)
        .width(FIELD_WIDTH)
        .show_ui(ui, |ui| {
            for (index, name) in names.iter().enumerate() {
                ui.selectable_value(&mut picked, index, name.as_ref());
            }
        })
        .response;
    combo.widget_info(|| list_info(name, text));
    picked
}

fn field_ui(ui: &mut Ui, name: &str, text: &mut String, width: f32) {
    let label = ui.label(name);
    ui.add(egui::TextEdit::singleline(text).desired_width(width)).labelled_by(label.id);
}
