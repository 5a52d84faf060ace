//! The drawings of the comparison: sway paths, and lines of both axes over time or frequency.

use egui::{Key, Role, Stroke, Ui, Vec2, WidgetInfo};
use egui_plot::{
    AxisHints, GridInput, GridMark, HoverPosition, Line, LineStyle, MarkerShape, Plot, PlotPoints,
    PlotUi, Points,
};

use crate::strings::{CompareWords, decimals};
use crate::window::compare::layout;
use crate::window::compare::view::{AxisPair, LineView, PathView, Picked, SetView, picked_of};
use crate::window::marks::DASH;
use crate::window::style::{Palette, Side};

fn style_of(side: Side) -> LineStyle {
    match side {
        Side::A => LineStyle::Solid,
        Side::B => LineStyle::Dashed { length: DASH[0] },
    }
}

/// What the person asked the drawing to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Zoom {
    In,
    Out,
    All,
}

impl Zoom {
    /// By plus, minus and 0, unless something is being typed.
    pub(crate) fn from_keys(ui: &Ui) -> Option<Self> {
        if ui.ctx().text_edit_focused() {
            return None;
        }
        ui.input(|input| {
            let pressed = |key| input.modifiers.is_none() && input.key_pressed(key);
            if input.key_pressed(Key::Plus) || pressed(Key::Equals) {
                Some(Self::In)
            } else if pressed(Key::Minus) {
                Some(Self::Out)
            } else {
                pressed(Key::Num0).then_some(Self::All)
            }
        })
    }

    /// Applies to a drawing; `across` only if no other drawing it is linked to does so too.
    fn apply(self, plot: &mut PlotUi<'_>, across: bool) {
        const FACTOR: f32 = 1.3;
        let zoomed = |factor| if across { Vec2::splat(factor) } else { Vec2::new(1.0, factor) };
        let centre = plot.plot_bounds().center();
        match self {
            Self::In => plot.zoom_bounds(zoomed(FACTOR), centre),
            Self::Out => plot.zoom_bounds(zoomed(1.0 / FACTOR), centre),
            Self::All => plot.set_auto_bounds(true),
        }
    }
}

/// Draws the sway paths of both sets over each other, both axes to the same scale.
pub(crate) fn paths_ui(
    ui: &mut Ui,
    words: &CompareWords,
    sets: &[SetView; 2],
    picked: Picked,
    zoom: Option<Zoom>,
    about: &str,
) {
    let palette = Palette::of(ui.theme());
    let ink = ui.visuals().text_color();
    let hover = |position: &HoverPosition<'_>| match position {
        HoverPosition::NearDataPoint { plot_name, position, .. } => {
            Some((words.hover_path)(plot_name, position.x, position.y))
        }
        HoverPosition::Elsewhere { .. } => None,
    };
    let response = base_plot("paths", words.ml_axis, words.ap_axis, palette)
        .data_aspect(1.0)
        .label_formatter(hover)
        .height(ui.available_height())
        .show(ui, |plot| {
            if let Some(zoom) = zoom {
                zoom.apply(plot, true);
            }
            let mut drawn: Vec<(Side, &PathView)> = Side::BOTH
                .into_iter()
                .flat_map(|side| {
                    let paths = &sets[side.index()].paths;
                    picked_of(paths, picked[side.index()]).map(move |path| (side, path))
                })
                .collect();
            // The widest at the bottom, so that none hides a smaller one.
            drawn.sort_by(|(_, a), (_, b)| {
                layout::reach(&b.points_mm).total_cmp(&layout::reach(&a.points_mm))
            });
            for (side, path) in &drawn {
                path_ui(plot, path, *side, palette);
            }
            for (side, path) in &drawn {
                outline_ui(plot, path, *side, palette);
            }
            plot.points(
                Points::new(words.mean, vec![[0.0, 0.0]])
                    .shape(MarkerShape::Plus)
                    .radius(9.0)
                    .color(ink)
                    .allow_hover(false),
            );
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, about));
}

fn path_ui(plot: &mut PlotUi<'_>, path: &PathView, side: Side, palette: Palette) {
    let [across, _] = plot.transform().dvalue_dpos();
    let points = layout::thinned(&path.points_mm, 0.4 * across.abs());
    let colour = palette.set(side).gamma_multiply(0.45);
    plot.line(
        Line::new(path.name.clone(), PlotPoints::from(points))
            .stroke(Stroke::new(1.0, colour))
            .allow_band(false),
    );
}

fn outline_ui(plot: &mut PlotUi<'_>, path: &PathView, side: Side, palette: Palette) {
    let colour = palette.set(side);
    plot.line(
        Line::new(format!("{} ", path.name), PlotPoints::from(path.ellipse_mm.clone()))
            .stroke(Stroke::new(2.5, colour))
            .style(style_of(side))
            .allow_hover(false),
    );
}

/// Draws the lines of both axes as two panels that share their horizontal axis.
pub(crate) fn axis_pair_ui(
    ui: &mut Ui,
    words: &CompareWords,
    pair: &AxisPair,
    picked: Picked,
    zoom: Option<Zoom>,
    about: &str,
) {
    let palette = Palette::of(ui.theme());
    let link = ui.scope_id().with(&pair.across);
    let height = (ui.available_height() - ui.spacing().item_spacing.y) / 2.0;
    for (index, panel) in pair.panels.iter().enumerate() {
        let hover = |position: &HoverPosition<'_>| match position {
            HoverPosition::NearDataPoint { plot_name, position, .. } => Some((words.hover_line)(
                plot_name,
                &pair.across,
                position.x,
                &panel.upward,
                position.y,
            )),
            HoverPosition::Elsewhere { .. } => None,
        };
        // The lower panel names the axis that both share.
        let across = if index == 0 { "" } else { pair.across.as_str() };
        let plot = base_plot(&panel.upward, across, &panel.upward, palette)
            .label_formatter(hover)
            .link_axis(link, [true, false])
            .link_cursor(link, [true, false])
            .height(height);
        let response = plot
            .show(ui, |plot| {
                if let Some(zoom) = zoom {
                    zoom.apply(plot, index == 0);
                }
                for side in Side::BOTH {
                    for line in picked_of(&panel.lines[side.index()], picked[side.index()]) {
                        line_ui(plot, line, side, palette);
                    }
                }
            })
            .response;
        let label = format!("{}: {about}", panel.upward);
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    }
}

fn line_ui(plot: &mut PlotUi<'_>, line: &LineView, side: Side, palette: Palette) {
    let (bounds, width) = (plot.plot_bounds(), plot.response().rect.width());
    let (left, right) = (bounds.min()[0], bounds.max()[0]);
    // Until the person zooms, the plot takes its bounds from the whole line.
    let zoomed = !plot.auto_bounds().x && left < right;
    let points = if zoomed {
        layout::columns(&line.points, left, right, f64::from(width.max(1.0)))
    } else {
        line.points.clone()
    };
    plot.line(
        Line::new(line.name.clone(), PlotPoints::from(points))
            .stroke(Stroke::new(1.5, palette.set(side)))
            .style(style_of(side)),
    );
}

/// A plot with this program's axes: round numbers far enough apart, grid lines at them alone.
fn base_plot<'a>(id: &str, across: &str, upward: &str, palette: Palette) -> Plot<'a> {
    let axis = |hints: AxisHints<'a>, label: &str| {
        hints
            .label(label.to_owned())
            .tick_label_font(egui::FontId::proportional(13.0))
            .label_spacing(egui::Rangef::new(10.0, 11.0))
            .formatter(|mark, _| axis_number(mark.value, mark.step_size))
    };
    Plot::new(id.to_owned())
        .allow_scroll(false)
        .grid_color(palette.hairline)
        .grid_spacing(egui::Rangef::new(GRID_UNIT, 2.0 * GRID_UNIT))
        .x_grid_spacer(|input| grid(&input, 80.0))
        .y_grid_spacer(|input| grid(&input, 36.0))
        .custom_x_axes(vec![axis(AxisHints::new_x(), across)])
        .custom_y_axes(vec![axis(AxisHints::new_y().min_thickness(56.0), upward)])
}

/// What `egui_plot` takes as the closest grid lines may be, in points.
const GRID_UNIT: f32 = 8.0;

/// Grid lines at least `apart` points from each other.
fn grid(input: &GridInput, apart: f64) -> Vec<GridMark> {
    let least_step = input.base_step_size * apart / f64::from(GRID_UNIT);
    let (step_size, places) = layout::round_places(input.bounds.0, input.bounds.1, least_step);
    places.into_iter().map(|value| GridMark { value, step_size }).collect()
}

/// A number at an axis: as many digits as tell it from the next one.
fn axis_number(value: f64, step: f64) -> String {
    let digits = (0..9_i32).find(|digits| 0.999 <= step * 10.0_f64.powi(*digits)).unwrap_or(9);
    decimals(value, usize::try_from(digits).unwrap_or(0))
}
