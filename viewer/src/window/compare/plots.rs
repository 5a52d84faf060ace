//! The drawings of the comparison: sway paths, and lines of both axes over time or frequency.

use egui::{Role, Stroke, Ui, Vec2, WidgetInfo};
use egui_plot::{
    AxisHints, GridInput, GridMark, HoverPosition, Line, LineStyle, MarkerShape, Plot, PlotPoints,
    PlotUi, Points,
};

use crate::picture::layout::{digits_of, round_places};
use crate::strings::CompareWords;
use crate::window::compare::layout;
use crate::window::compare::view::{AxisPair, LineView, PathView, Picked, SetView, picked_of};
use crate::window::marks::DASH;
use crate::window::style::{Palette, Side};
use crate::window::zoom::Zoom;

fn style_of(side: Side) -> LineStyle {
    match side {
        Side::A => LineStyle::Solid,
        Side::B => LineStyle::Dashed { length: DASH[0] },
    }
}

/// Applies what was asked for to a drawing of paths, which keeps one scale on both axes.
fn apply(zoom: Zoom, plot: &mut PlotUi<'_>) {
    let centre = plot.plot_bounds().center();
    match zoom {
        Zoom::In => plot.zoom_bounds(Vec2::splat(Zoom::FACTOR), centre),
        Zoom::Out => plot.zoom_bounds(Vec2::splat(1.0 / Zoom::FACTOR), centre),
        Zoom::All => plot.set_auto_bounds(true),
    }
}

/// Applies it to the horizontal axis of lines alone: the vertical one follows what is in sight. The
/// second of two linked drawings takes it over from the first.
fn apply_across(zoom: Zoom, plot: &mut PlotUi<'_>, is_first: bool) {
    let bounds = plot.plot_bounds();
    let (left, right) = (bounds.min()[0], bounds.max()[0]);
    let middle = 0.5 * (left + right);
    let half = |factor: f32| 0.5 * (right - left) / f64::from(factor);
    match zoom {
        Zoom::In if is_first => {
            let half = half(Zoom::FACTOR);
            plot.set_plot_bounds_x(middle - half..=middle + half);
        }
        Zoom::Out if is_first => {
            let half = half(1.0 / Zoom::FACTOR);
            plot.set_plot_bounds_x(middle - half..=middle + half);
        }
        Zoom::In | Zoom::Out => {}
        Zoom::All => plot.set_auto_bounds(true),
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
    let response = base_plot("paths", words.ml_axis, words.ap_axis, palette, words.decimals)
        .data_aspect(1.0)
        .label_formatter(hover)
        .height(ui.available_height())
        .show(ui, |plot| {
            if let Some(zoom) = zoom {
                apply(zoom, plot);
            }
            let mut drawn: Vec<(Side, &PathView)> = Side::BOTH
                .into_iter()
                .flat_map(|side| {
                    let paths = &sets[side.index()].paths;
                    picked_of(paths, picked[side.index()]).map(move |path| (side, path))
                })
                .collect();
            // The widest at the bottom, so that none hides a smaller one.
            drawn.sort_by(|(_, a), (_, b)| b.reach_mm.total_cmp(&a.reach_mm));
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
    let colour = palette.set(side).gamma_multiply(0.45);
    for (index, part_mm) in path.parts_mm.iter().enumerate() {
        let points = layout::thinned(part_mm, 0.4 * across.abs());
        plot.line(
            Line::new(path.name.clone(), PlotPoints::from(points))
                .id((&path.name, index))
                .stroke(Stroke::new(1.0, colour))
                .allow_band(false),
        );
    }
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

/// What is seen of a drawing of lines.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Seen {
    /// Part of the horizontal axis that is in sight; `None` for all of it.
    pub(crate) in_sight: Option<[f64; 2]>,
    /// Whether a line is so dense that B's are drawn unbroken.
    pub(crate) is_dense: bool,
}

/// Draws the lines of both axes as two panels that share their horizontal axis.
pub(crate) fn axis_pair_ui(
    ui: &mut Ui,
    words: &CompareWords,
    pair: &AxisPair,
    picked: Picked,
    zoom: Option<Zoom>,
    about: &str,
) -> Seen {
    let mut seen = Seen::default();
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
        let plot = base_plot(&panel.upward, across, &panel.upward, palette, words.decimals)
            .label_formatter(hover)
            .allow_zoom([true, false])
            .allow_drag([true, false])
            .allow_boxed_zoom(false)
            .link_axis(link, [true, false])
            .link_cursor(link, [true, false])
            .height(height);
        let response = plot
            .show(ui, |plot| {
                if let Some(zoom) = zoom {
                    apply_across(zoom, plot, index == 0);
                }
                if !plot.auto_bounds().x {
                    let bounds = plot.plot_bounds();
                    seen.in_sight = Some([bounds.min()[0], bounds.max()[0]]);
                }
                for side in Side::BOTH {
                    for line in picked_of(&panel.lines[side.index()], picked[side.index()]) {
                        seen.is_dense |= line_ui(plot, line, side, palette);
                    }
                }
            })
            .response;
        let label = format!("{}: {about}", panel.upward);
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    }
    seen
}

/// A line that climbs and falls by more than so many times the width of the drawing is a band of ink:
/// dashes of it could not be told apart, and would be most of the work of a frame (our own choice).
const DENSE: f32 = 12.0;

/// Draws a line, and tells whether it is dense: then B's is unbroken, and thin.
fn line_ui(plot: &mut PlotUi<'_>, line: &LineView, side: Side, palette: Palette) -> bool {
    let (bounds, width) = (plot.plot_bounds(), plot.response().rect.width());
    let (mut left, mut right) = (bounds.min()[0], bounds.max()[0]);
    if let Some([first, last]) = line.series.ends()
        && plot.auto_bounds().x
    {
        // Until the person zooms, the plot takes its bounds from the whole line.
        (left, right) = (left.min(first), right.max(last));
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "pixels of a screen"
    )]
    let n_columns = (width * plot.ctx().pixels_per_point()).ceil().max(1.0) as usize;
    let points = line.series.columns(left, right, n_columns);
    let is_dense = DENSE * width < layout::climb(&points, plot.transform().dvalue_dpos()[1]);
    let (style, line_width) = match side {
        Side::B if is_dense => (LineStyle::Solid, 0.75),
        Side::A | Side::B => (style_of(side), 1.5),
    };
    plot.line(
        Line::new(line.name.clone(), PlotPoints::from(points))
            .stroke(Stroke::new(line_width, palette.set(side)))
            .style(style),
    );
    is_dense
}

/// A plot with this program's axes: round numbers far enough apart, grid lines at them alone.
fn base_plot<'a>(
    id: &str,
    across: &str,
    upward: &str,
    palette: Palette,
    decimals: fn(f64, usize) -> String,
) -> Plot<'a> {
    let axis = |hints: AxisHints<'a>, label: &str| {
        hints
            .label(label.to_owned())
            .tick_label_font(egui::FontId::proportional(13.0))
            .label_spacing(egui::Rangef::new(10.0, 11.0))
            .formatter(move |mark, _| decimals(mark.value, digits_of(mark.step_size)))
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
    let (step_size, places) = round_places(input.bounds.0, input.bounds.1, least_step);
    places.into_iter().map(|value| GridMark { value, step_size }).collect()
}
