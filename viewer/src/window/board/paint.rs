//! Drawing the board: where it is asked for, what it says of itself, and its corners from above.

use acquisition::BoardAddress;
use egui::{Align2, Rect, RichText, Role, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};

use crate::strings::{BoardWords, Language};
use crate::window::board::model::{BoardView, LinkState};
use crate::window::style::{self, Palette};

/// What the person asked for on the board's screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoardCommand {
    /// Connect the board that is there.
    Connect(BoardAddress),
    /// Let the board go.
    LetGo,
    /// Take what the board reads now for the empty board.
    TakeZero,
}

/// What the board's screen remembers between two frames.
#[derive(Debug, Default)]
pub struct BoardScreen {
    address: String,
}

impl BoardScreen {
    /// Shows the screen; what the person asked for is appended to `commands`.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        words: &Language,
        view: &BoardView,
        commands: &mut Vec<BoardCommand>,
    ) {
        let words = &words.board;
        ui.heading(words.title);
        ui.add_space(8.0);
        self.address_ui(ui, words, view.link, commands);
        if view.link != LinkState::Connected {
            let hint =
                if view.link == LinkState::None { words.address_about } else { words.connecting };
            ui.label(hint);
            return;
        }
        ui.add_space(8.0);
        ui.horizontal_top(|ui| {
            let side = (ui.available_height() - 16.0).clamp(240.0, 520.0);
            plate_ui(ui, words, view, side);
            ui.add_space(24.0);
            ui.vertical(|ui| {
                ui.label(RichText::new(words.total));
                ui.label(RichText::new(&view.total).text_style(egui::TextStyle::Heading));
                if ui.button(words.zero_button).clicked() {
                    commands.push(BoardCommand::TakeZero);
                }
                ui.label(RichText::new(words.zero_about).weak());
                ui.add_space(16.0);
                for (name, value) in &view.facts {
                    ui.label(RichText::new(*name).small().weak());
                    ui.label(value);
                }
            });
        });
    }

    fn address_ui(
        &mut self,
        ui: &mut Ui,
        words: &BoardWords,
        link: LinkState,
        commands: &mut Vec<BoardCommand>,
    ) {
        ui.horizontal(|ui| {
            let label = ui.label(words.address_label);
            let field = egui::TextEdit::singleline(&mut self.address)
                .hint_text(words.address_hint)
                .desired_width(280.0);
            ui.add_enabled(link == LinkState::None, field).labelled_by(label.id);
            let typed = self.address.trim();
            if link == LinkState::Connected {
                if ui.button(words.let_go).clicked() {
                    commands.push(BoardCommand::LetGo);
                }
                return;
            }
            let ready = link == LinkState::None && !typed.is_empty();
            if ui.add_enabled(ready, egui::Button::new(words.connect)).clicked() {
                match typed.parse() {
                    Ok(address) => commands.push(BoardCommand::Connect(address)),
                    Err(never) => match never {},
                }
            }
        });
    }
}

/// The board from above, its marked front at the top, each corner's reading beside its place.
fn plate_ui(ui: &mut Ui, words: &BoardWords, view: &BoardView, side: f32) {
    let palette = Palette::of(ui.theme());
    let ink = ui.visuals().text_color();
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
    let readings: Vec<String> =
        view.corners.iter().map(|corner| format!("{} {}", corner.name, corner.reading)).collect();
    let about = format!("{}: {}", words.plate_about, readings.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &about));
    let painter = ui.painter_at(rect);
    let plate = rect.shrink(36.0);
    painter.rect(plate, 4.0, palette.paper, Stroke::new(1.5, ink), egui::StrokeKind::Inside);
    let front = plate.center_top();
    painter.hline(front.x - 40.0..=front.x + 40.0, front.y, Stroke::new(6.0, ink));
    let small = egui::TextStyle::Body.resolve(ui.style());
    painter.text(front - vec2(0.0, 8.0), Align2::CENTER_BOTTOM, words.front, small.clone(), ink);
    let place = Placement::new(view, plate);
    for corner in &view.corners {
        let at = place.point(corner.place_mm);
        painter.circle_stroke(at, 7.0, Stroke::new(1.5, ink));
        // Towards the middle, so that nothing is cut off at the edge.
        let inward = (plate.center() - at).normalized() * 54.0;
        let large = style::large().resolve(ui.style());
        painter.text(at + inward, Align2::CENTER_CENTER, &corner.reading, large, ink);
    }
    if let Some(weight_mm) = view.weight_mm {
        let at = place.point(weight_mm);
        painter.circle_filled(at, 9.0, palette.sets[0]);
        painter.text(at + vec2(0.0, 22.0), Align2::CENTER_CENTER, words.weight, small, ink);
    }
}

/// From millimetres on the board to points on the screen: right is right, the front is up.
struct Placement {
    plate: Rect,
    points_per_mm: f32,
}

impl Placement {
    /// So that the outermost corner lies a little inside the plate that is drawn.
    fn new(view: &BoardView, plate: Rect) -> Self {
        let reach = view.corners.iter().flat_map(|corner| corner.place_mm).map(f64::abs);
        #[expect(clippy::cast_possible_truncation, reason = "a length on the screen")]
        let reach_mm = reach.fold(1.0, f64::max) as f32;
        Self { plate, points_per_mm: 0.44 * plate.width() / reach_mm }
    }

    fn point(&self, [ml_mm, ap_mm]: [f64; 2]) -> egui::Pos2 {
        #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
        let (ml, ap) = (ml_mm as f32, ap_mm as f32);
        let centre = self.plate.center();
        pos2(centre.x + ml * self.points_per_mm, centre.y - ap * self.points_per_mm)
    }
}
