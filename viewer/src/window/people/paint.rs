//! Drawing the list of people.

use analysis::readiness::Verdict;
use egui::{Align, Layout, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::strings::Language;
use crate::window::people::model::{Attention, PersonRow, in_order};
use crate::window::style::{self, Palette, Side};

/// Height of one row, in points; all are alike so that only those in sight need drawing.
const ROW_HEIGHT: f32 = 48.0;

/// Widths of the columns before the details, in points; the advice has more where it needs it.
const CODE_WIDTH: f32 = 170.0;
const ADVICE_WIDTH: f32 = 165.0;

/// What the person asked for in the list of people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PeopleCommand {
    /// Add somebody under the code that was typed.
    Add(String),
    /// Show the course of the person of this code.
    ShowCourse(String),
}

/// What the list of people remembers between two frames.
#[derive(Debug, Default)]
pub struct PeopleScreen {
    find: String,
    code: String,
    /// Rows in sight, in order; `None` when something they depend on changed.
    order: Option<Vec<usize>>,
}

impl PeopleScreen {
    /// Says that the people changed.
    pub fn refresh(&mut self) {
        self.order = None;
    }

    /// Empties the field for a new code, once somebody has it.
    pub fn clear_code(&mut self) {
        self.code.clear();
    }

    /// Shows the screen; `rows` is `None` if there are no records. What the person asked for is
    /// appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        rows: Option<&[PersonRow]>,
        commands: &mut Vec<PeopleCommand>,
    ) {
        let Some(rows) = rows else {
            ui.heading(words.people.no_records);
            return;
        };
        self.head_ui(ui, words);
        egui::Panel::bottom("add person").show_separator_line(true).show(ui, |ui| {
            self.add_ui(ui, words, commands);
        });
        let order = self.order.take().unwrap_or_else(|| in_order(words, rows, &self.find));
        if order.is_empty() {
            let none =
                if rows.is_empty() { words.people.nobody } else { words.people.nothing_found };
            ui.label(none);
        }
        let width = advice_width(ui, words);
        egui::ScrollArea::vertical().auto_shrink(false).show_rows(
            ui,
            ROW_HEIGHT,
            order.len(),
            |ui, range| {
                for row in order[range].iter().filter_map(|&index| rows.get(index)) {
                    row_ui(ui, words, row, width, commands);
                }
            },
        );
        self.order = Some(order);
    }

    fn head_ui(&mut self, ui: &mut Ui, words: &Language) {
        ui.horizontal(|ui| {
            ui.heading(words.people.title);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                // Laid out from the right, so the field comes first.
                let field = egui::TextEdit::singleline(&mut self.find)
                    .hint_text(words.people.find_hint)
                    .desired_width(240.0);
                let field = ui.add(field);
                let label = ui.label(words.people.find_label);
                if field.labelled_by(label.id).changed() {
                    self.order = None;
                }
            });
        });
    }

    fn add_ui(&mut self, ui: &mut Ui, words: &Language, commands: &mut Vec<PeopleCommand>) {
        ui.add_space(8.0);
        ui.horizontal(|ui| {
            let label = ui.label(words.people.code_label);
            let field = egui::TextEdit::singleline(&mut self.code)
                .hint_text(words.people.code_hint)
                .desired_width(220.0);
            let field = ui.add(field).labelled_by(label.id);
            let entered =
                field.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
            let code = self.code.trim();
            let button = egui::Button::new(words.people.add_button);
            let clicked = ui.add_enabled(!code.is_empty(), button).clicked();
            if (clicked || entered) && !code.is_empty() {
                commands.push(PeopleCommand::Add(code.to_owned()));
            }
        });
        ui.add_space(4.0);
    }
}

/// Wide enough for the longest advice of the language.
fn advice_width(ui: &Ui, words: &Language) -> f32 {
    let font = egui::TextStyle::Body.resolve(ui.style());
    let width = |text: &str| {
        let colour = ui.visuals().text_color();
        ui.painter().layout_no_wrap(text.to_owned(), font.clone(), colour).size().x
    };
    let advice = Verdict::ALL.iter().map(|&verdict| width((words.people.verdict)(verdict)));
    advice.fold(ADVICE_WIDTH, f32::max)
}

fn row_ui(
    ui: &mut Ui,
    words: &Language,
    row: &PersonRow,
    advice_width: f32,
    commands: &mut Vec<PeopleCommand>,
) {
    let size = vec2(ui.available_width(), ROW_HEIGHT);
    ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
        ui.set_min_height(ROW_HEIGHT);
        let button = ui.button(words.people.course_button);
        let label = (words.people.course_of)(&row.code);
        button.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
        if button.gained_focus() {
            // The next row is drawn once this one is in sight, so the keyboard reaches them all.
            button.scroll_to_me(None);
        }
        if button.clicked() {
            commands.push(PeopleCommand::ShowCourse(row.code.clone()));
        }
        attention_mark(ui, row.attention());
        cell_ui(ui, CODE_WIDTH, |ui| {
            ui.label(RichText::new(&row.code).text_style(style::large()));
            if let Some(name) = &row.name {
                ui.add(egui::Label::new(RichText::new(name).weak()).truncate());
            }
        });
        cell_ui(ui, advice_width, |ui| {
            let text = RichText::new(row.advice(words));
            ui.label(if row.attention() < Attention::NewSessions { text.strong() } else { text });
        });
        ui.add(egui::Label::new(RichText::new(row.detail(words)).weak()).truncate());
    });
}

fn cell_ui(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) {
    let layout = Layout::left_to_right(Align::Center);
    ui.allocate_ui_with_layout(vec2(width, ROW_HEIGHT), layout, |ui| {
        ui.set_min_size(vec2(width, ROW_HEIGHT));
        contents(ui);
    });
}

/// The shape that says at a glance what waits; the words beside it say the same.
pub(crate) fn attention_mark(ui: &mut Ui, attention: Attention) {
    let palette = Palette::of(ui.theme());
    let (rect, _) = ui.allocate_exact_size(vec2(28.0, 28.0), Sense::empty());
    let (calm, warm) = (palette.set(Side::A), palette.set(Side::B));
    let (centre, painter) = (rect.center(), ui.painter());
    let shape = |corners: &[(f32, f32)], colour| {
        let points = corners.iter().map(|(x, y)| pos2(centre.x + x, centre.y + y)).collect();
        egui::Shape::convex_polygon(points, colour, Stroke::NONE)
    };
    match attention {
        Attention::Stop => {
            let square = egui::Rect::from_center_size(centre, vec2(18.0, 18.0));
            painter.rect_filled(square, 0.0, warm);
            for x in [-3.5, 3.5] {
                let bar = centre.y - 5.0..=centre.y + 5.0;
                painter.vline(centre.x + x, bar, Stroke::new(3.0, palette.paper));
            }
        }
        Attention::StepBack => {
            painter.add(shape(&[(-9.0, 0.0), (7.0, -9.0), (7.0, 9.0)], warm));
        }
        Attention::Ready => {
            painter.add(shape(&[(9.0, 0.0), (-7.0, 9.0), (-7.0, -9.0)], calm));
        }
        Attention::NewSessions => {
            painter.circle_filled(centre, 5.0, calm);
        }
        Attention::Nothing => {
            painter.hline(
                centre.x - 5.0..=centre.x + 5.0,
                centre.y,
                Stroke::new(2.0, palette.hairline),
            );
        }
    }
}
