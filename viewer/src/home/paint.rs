//! The page on the screen: large enough to be read from two metres.

use egui::{Align2, Color32, FontId, Pos2, Rect, RichText, Sense, Shape, Stroke, vec2};

use super::page::{Choice, Meter, Page};
use crate::strings::PracticeWords;

/// Height of the letters of the title, of the lines and on the buttons, as shares of the window's
/// height: on a laptop of 19 cm height, 13 mm, 7 mm and 8 mm (our own choice).
const TITLE_SHARE: f32 = 0.07;
const LINE_SHARE: f32 = 0.037;
const BUTTON_SHARE: f32 = 0.042;
const NUMBER_SHARE: f32 = 0.22;

/// Height of the mark that stands for a cue, as a share of the window's height: half of it letters,
/// which are 2 cm high on a laptop.
const MARK_SHARE: f32 = 0.2;

/// Height of a button and of the meter, as shares of the window's height.
const BUTTON_HEIGHT_SHARE: f32 = 0.14;
const METER_SHARE: f32 = 0.24;

/// Between two buttons, in points.
const BUTTON_GAP: f32 = 16.0;

/// Shows the page; the choice that was made, if one was.
pub(crate) fn ui(ui: &mut egui::Ui, page: &Page, words: &PracticeWords) -> Option<Choice> {
    let full = ui.max_rect();
    let height = full.height();
    let mut made = None;
    ui.vertical_centered(|ui| {
        ui.add_space(height * 0.06);
        ui.label(RichText::new(&page.title).size(height * TITLE_SHARE).strong());
        ui.add_space(height * 0.03);
        if let Some(number) = &page.number {
            ui.label(RichText::new(number).size(height * NUMBER_SHARE));
        }
        if let Some(mark) = page.mark {
            mark_ui(ui, (words.mark)(mark), height * MARK_SHARE);
        }
        if let Some(meter) = &page.meter {
            meter_ui(ui, meter, height * METER_SHARE, words);
        }
        for line in &page.lines {
            ui.label(RichText::new(line).size(height * LINE_SHARE));
        }
    });
    for (choice, place) in page.choices.iter().zip(button_places(full, page.choices.len())) {
        let text = RichText::new(name(*choice, words)).size(height * BUTTON_SHARE);
        if ui.put(place, egui::Button::new(text).wrap()).clicked() {
            made = Some(*choice);
        }
    }
    made.or_else(|| typed(ui.ctx(), &page.choices, words))
}

/// A small line in the upper right corner, out of the way.
pub(crate) fn corner_ui(ui: &mut egui::Ui, text: &str) {
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
        ui.label(RichText::new(text).small().weak());
    });
}

/// Where the buttons stand: side by side at the bottom, each as wide as a third of the window at most.
fn button_places(full: Rect, n_buttons: usize) -> impl Iterator<Item = Rect> {
    let n = n_buttons as f32;
    let size = vec2(
        ((full.width() - 4.0 * BUTTON_GAP) / 3.0).min(full.height() * 0.6),
        full.height() * BUTTON_HEIGHT_SHARE,
    );
    let row = size.x * n + BUTTON_GAP * (n - 1.0);
    let left = full.center().x - row / 2.0;
    let top = full.bottom() - full.height() * 0.04 - size.y;
    (0..n_buttons).map(move |index| {
        let x = left + (size.x + BUTTON_GAP) * index as f32;
        Rect::from_min_size(Pos2::new(x, top), size)
    })
}

/// Keys do what the buttons do: the first letters of yes and no, arrows, Enter, Escape.
fn typed(ctx: &egui::Context, choices: &[Choice], words: &PracticeWords) -> Option<Choice> {
    const KEYS: [(egui::Key, Choice); 8] = [
        (egui::Key::G, Choice::GoOn),
        (egui::Key::ArrowDown, Choice::Less),
        (egui::Key::ArrowUp, Choice::More),
        (egui::Key::ArrowDown, Choice::Quieter),
        (egui::Key::ArrowUp, Choice::Louder),
        (egui::Key::T, Choice::ThatMany),
        (egui::Key::P, Choice::Again),
        (egui::Key::Escape, Choice::Enough),
    ];
    let answers = [(words.yes, Choice::Yes), (words.no, Choice::No)]
        .into_iter()
        .filter_map(|(word, choice)| Some((key_of(word)?, choice)));
    ctx.input(|input| {
        let pressed = |&(key, choice): &(egui::Key, Choice)| {
            choices.contains(&choice) && input.key_pressed(key)
        };
        answers.chain(KEYS).find(pressed).map(|(_, choice)| choice)
    })
}

/// The key of the letter a word begins with; `None` where no key has a name of its own for it.
fn key_of(word: &str) -> Option<egui::Key> {
    egui::Key::from_name(word.get(..1)?)
}

fn name(choice: Choice, words: &PracticeWords) -> &'static str {
    match choice {
        Choice::Yes => words.yes,
        Choice::No => words.no,
        Choice::GoOn => words.go_on,
        Choice::Quieter => words.quieter,
        Choice::Louder => words.louder,
        Choice::Less => words.less,
        Choice::More => words.more,
        Choice::ThatMany => words.that_many,
        Choice::Again => words.again,
        Choice::Enough => words.enough,
        Choice::TryAgain => words.try_again,
        Choice::Leave => words.leave,
        Choice::Stay => words.stay,
    }
}

/// A mark over the whole width, ink and paper exchanged so that it is seen out of the corner of an eye.
fn mark_ui(ui: &mut egui::Ui, text: &str, height: f32) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
    let painter = ui.painter_at(rect);
    let (ink, paper) = (ui.visuals().text_color(), ui.visuals().panel_fill);
    painter.rect_filled(rect, 0.0, ink);
    let font = FontId::proportional(height * 0.5);
    painter.text(rect.center(), Align2::CENTER_CENTER, text, font, paper);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, text));
}

/// A bar from no wobble to twice the window, the window as a raised block, the wobble as a disc in
/// it or a pointed mark outside: shape and place tell, not colour alone.
fn meter_ui(ui: &mut egui::Ui, meter: &Meter, height: f32, words: &PracticeWords) {
    let width = ui.available_width() * 0.8;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let at = |share: f32| rect.left() + share * rect.width();
    let painter = ui.painter_at(rect);
    let ink = ui.visuals().text_color();
    let middle = rect.center().y;
    painter.line_segment(
        [Pos2::new(rect.left(), middle), Pos2::new(rect.right(), middle)],
        Stroke::new(4.0, ink.gamma_multiply(0.4)),
    );
    let window = Rect::from_x_y_ranges(
        at(meter.lower)..=at(meter.upper),
        (middle - height * 0.32)..=(middle + height * 0.32),
    );
    painter.rect_filled(window, 12.0, ink.gamma_multiply(0.12));
    painter.rect_stroke(window, 12.0, Stroke::new(4.0, ink), egui::StrokeKind::Inside);
    let text = match meter.wobble {
        None => words.wobble_not_known,
        Some(wobble) if wobble < meter.lower => words.wobble_too_little,
        Some(wobble) if meter.upper < wobble => words.wobble_too_much,
        Some(_) => words.wobble_inside,
    };
    if let Some(wobble) = meter.wobble {
        let centre = Pos2::new(at(wobble), middle);
        let radius = height * 0.2;
        if (meter.lower..=meter.upper).contains(&wobble) {
            painter.circle_filled(centre, radius, Color32::from_rgb(0x2a, 0x86, 0x6f));
        } else {
            let toward = if wobble < meter.lower { radius } else { -radius };
            painter.add(Shape::convex_polygon(
                vec![
                    centre + vec2(toward, 0.0),
                    centre + vec2(-toward, radius),
                    centre + vec2(-toward, -radius),
                ],
                Color32::from_rgb(0xb4, 0x51, 0x1a),
                Stroke::NONE,
            ));
        }
    }
    painter.text(
        Pos2::new(rect.center().x, rect.bottom()),
        Align2::CENTER_BOTTOM,
        text,
        FontId::proportional(height * 0.16),
        ink,
    );
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, text));
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;
    use std::rc::Rc;

    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    use super::*;
    use crate::strings::{ENGLISH, GERMAN, LANGUAGES, Language};

    fn page(choices: &[Choice]) -> Page {
        Page {
            title: "How much pain is there now?".to_owned(),
            lines: vec!["0 is none.".to_owned()],
            number: Some("3".to_owned()),
            meter: None,
            mark: None,
            choices: choices.to_vec(),
        }
    }

    #[test]
    fn each_button_makes_its_choice() {
        let words = &ENGLISH.practice;
        let three = [
            [Choice::Quieter, Choice::Louder, Choice::GoOn],
            [Choice::No, Choice::Again, Choice::Yes],
            [Choice::Less, Choice::More, Choice::ThatMany],
        ];
        for choices in three {
            for choice in choices {
                let made = Rc::new(Cell::new(None));
                let seen = Rc::clone(&made);
                let shown = page(&choices);
                let mut harness =
                    Harness::builder().with_size([1024.0, 700.0]).build_ui(move |root| {
                        if let Some(choice) = ui(root, &shown, words) {
                            seen.set(Some(choice));
                        }
                    });
                harness.get_by_label(name(choice, words)).click();
                harness.run_steps(3);
                assert_eq!(made.get(), Some(choice));
            }
        }
    }

    fn made_by(words: &'static Language, key: egui::Key) -> Option<Choice> {
        let made = Rc::new(Cell::new(None));
        let seen = Rc::clone(&made);
        let shown = page(&[Choice::No, Choice::Again, Choice::Yes]);
        let mut harness = Harness::builder().with_size([1024.0, 700.0]).build_ui(move |root| {
            if let Some(choice) = ui(root, &shown, &words.practice) {
                seen.set(Some(choice));
            }
        });
        harness.key_press(key);
        harness.run_steps(3);
        made.get()
    }

    #[test]
    fn the_keys_of_yes_and_no_are_those_of_the_language() {
        use egui::Key;
        for (words, key, choice) in [
            (&ENGLISH, Key::Y, Some(Choice::Yes)),
            (&ENGLISH, Key::N, Some(Choice::No)),
            (&ENGLISH, Key::J, None),
            (&GERMAN, Key::J, Some(Choice::Yes)),
            (&GERMAN, Key::N, Some(Choice::No)),
            (&GERMAN, Key::Y, None),
        ] {
            assert_eq!(made_by(words, key), choice, "{}: {key:?}", words.key);
        }
        for words in LANGUAGES {
            let [yes, no] = [words.practice.yes, words.practice.no].map(key_of);
            assert!(yes.is_some() && no.is_some() && yes != no, "{}", words.key);
        }
    }

    #[test]
    fn buttons_stand_inside_the_window_large_enough_to_be_hit() {
        let shown = page(&[Choice::Less, Choice::More, Choice::ThatMany]);
        for (width, height) in [(1024.0, 700.0), (1920.0, 1080.0), (1366.0, 768.0)] {
            let shown = shown.clone();
            let mut harness = Harness::builder().with_size([width, height]).build_ui(move |root| {
                ui(root, &shown, &ENGLISH.practice);
            });
            harness.run_steps(2);
            for choice in [Choice::Less, Choice::More, Choice::ThatMany] {
                let rect = harness.get_by_label(name(choice, &ENGLISH.practice)).rect();
                assert!(height * 0.12 <= rect.height(), "{rect:?} of {height}");
                assert!(0.0 <= rect.left() && rect.right() <= width, "{rect:?} of {width}");
                assert!(rect.bottom() <= height, "{rect:?} of {height}");
            }
        }
    }
}
