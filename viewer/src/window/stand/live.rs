//! Drawing a stand under way: one instruction, the time left, and what may be shown of it.

use acquisition::{Progress, STANDARD_GRAVITY, Stage, Wish};
use egui::{Key, ProgressBar, RichText, Ui};

use crate::standing::{StandNow, position_of, wobble_zone};
use crate::strings::Language;
use crate::window::stand::model::StandView;
use crate::window::stand::paint::StandCommand;
use crate::window::stand::strip::{Trail, strip_ui};
use crate::window::style;

/// Sizes of the instruction and of the number that count, in points: to be read from the board.
const INSTRUCTION_SIZE: f32 = 44.0;
const NUMBER_SIZE: f32 = 64.0;

/// What the person is to do now, in words.
pub(crate) fn now_text(words: &Language, now: &StandNow) -> String {
    match now {
        StandNow::Connecting => words.stand.connecting.to_owned(),
        StandNow::Recording(progress) => (words.stand.stage)(&progress.stage),
        StandNow::Keeping => words.stand.keeping.to_owned(),
    }
}

/// Shows the stand; `shows_wobble` for one that is guided.
pub(super) fn live_ui(
    ui: &mut Ui,
    words: &Language,
    view: &StandView<'_>,
    now: StandNow,
    (trail, shows_wobble): (&mut Trail, bool),
    commands: &mut Vec<StandCommand>,
) {
    ui.add_space(8.0);
    ui.label(RichText::new(now_text(words, &now)).size(INSTRUCTION_SIZE).strong());
    if let StandNow::Recording(progress) = now {
        time_ui(ui, words, &progress);
        same_person_ui(ui, words, &progress.stage, commands);
        ui.add_space(8.0);
        if shows_wobble {
            wobble_ui(ui, words, view, &progress, trail);
        } else if progress.stage == Stage::Recording {
            ui.label(RichText::new(words.stand.nothing_shown).weak());
        }
        if let Some(live) = progress.live {
            let kg = live.load_newtons / STANDARD_GRAVITY;
            ui.label(RichText::new((words.stand.load)(kg)).text_style(style::large()));
        }
    }
    if let Some(why) = view.no_sound {
        let why = (words.sound.not_opened)(why).why;
        let why = (words.stand.no_sound)(why.trim_end_matches('.'));
        ui.label(RichText::new(why).small().weak());
    }
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        let stopped = ui.button(RichText::new(words.stand.stop).text_style(style::large()));
        ui.label(RichText::new(words.stand.stop_key).weak());
        if stopped.clicked() || ui.input(|input| input.key_pressed(Key::Escape)) {
            commands.push(StandCommand::Wish(Wish::Stop));
        }
    });
}

fn time_ui(ui: &mut Ui, words: &Language, progress: &Progress) {
    let Some(asked_s) = progress.asked_s.filter(|asked_s| 0.0 < *asked_s) else { return };
    let left_s = (asked_s - progress.elapsed_s).max(0.0);
    #[expect(clippy::cast_possible_truncation, reason = "a share of a bar")]
    let share = (progress.elapsed_s / asked_s).clamp(0.0, 1.0) as f32;
    let text = (words.stand.seconds_left)(left_s.ceil());
    ui.add(ProgressBar::new(share).text(text).desired_height(30.0));
}

fn same_person_ui(ui: &mut Ui, words: &Language, stage: &Stage, commands: &mut Vec<StandCommand>) {
    if !matches!(stage, Stage::ConfirmingPerson { .. }) {
        return;
    }
    ui.horizontal(|ui| {
        let wishes = [Wish::SamePerson, Wish::OtherPerson];
        for (text, wish) in words.stand.same_person.into_iter().zip(wishes) {
            if ui.button(text).clicked() {
                commands.push(StandCommand::Wish(wish));
            }
        }
    });
}

fn wobble_ui(
    ui: &mut Ui,
    words: &Language,
    view: &StandView<'_>,
    progress: &Progress,
    trail: &mut Trail,
) {
    let window_mm = view.window_mm();
    if let Some(live) = &progress.live {
        trail.take(live);
    }
    let live = progress.live.as_ref();
    let wobble_mm = live.and_then(|live| live.sway).map(|sway| sway.wobble_mm);
    ui.label(words.stand.wobble_head);
    ui.horizontal(|ui| {
        // As high without the number, so that nothing below it jumps when it comes.
        ui.set_min_height(1.25 * NUMBER_SIZE);
        if let Some(wobble_mm) = wobble_mm {
            ui.label(RichText::new((words.stand.wobble)(wobble_mm)).size(NUMBER_SIZE));
            ui.add_space(16.0);
        }
        let zone = (words.stand.zone)(wobble_zone(live, window_mm));
        ui.label(RichText::new(zone).size(INSTRUCTION_SIZE).strong());
    });
    if view.reference.is_some() {
        let position = (words.stand.position)(position_of(live, view.reference));
        ui.label(RichText::new(position).text_style(style::large()).strong());
    }
    let height = (ui.available_height() - 130.0).clamp(140.0, 320.0);
    strip_ui(ui, words, trail, window_mm, height);
}
