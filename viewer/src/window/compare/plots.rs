//! The drawings of the comparison: sway paths, and lines of both axes over time or frequency.

use egui::{Role, Stroke, Ui, WidgetInfo};
use egui_plot::{HoverPosition, Line, LineStyle, Plot, PlotPoints, PlotUi, Points, MarkerShape};

use crate::strings::{CompareWords, decimals, significant};
use crate::window::compare::layout;
use crate::window::compare::view::{AxisPair, LineView, PathView, SetView};
use crate::window::marks::DASH;
use crate::window::style::{Palette, Side};

/// Which trial of each set is drawn; `None` for all of them.
pub(crate) type Picked = [Option<usize>; 2];

/// The trials of a set that are drawn.
fn picked_of<'v, T>(items: &'v [T], picked: Option<usize>) -> impl Iterator<Item = &'v T> {
    items.iter().enumerate().filter(move |(i, _)| picked.is_none_or(|p| p == *i)).map(|(_, t)| t)
}

fn style_of(side: Side) -> LineStyle {
    match side {
        Side::A => LineStyle::Solid,
        Side::B => LineStyle::Dashed { length: DASH[0] },
    }
}

const fn marker_of(side: Side) -> MarkerShape {
    match side {
        Side::A => MarkerShape::Circle,
        Side::B => MarkerShape::Square,
    }
}

/// Draws the sway paths of both sets over each other, both axes to the same scale.
pub(crate) fn paths_ui(
    ui: &mut Ui,
    words: &CompareWords,
    sets: &[SetView; 2],
    picked: Picked,
    about: &str,
) {
    let palette = Palette::of(ui.theme());
    let hover = |position: &HoverPosition<'_>| match position {
        HoverPosition::NearDataPoint { plot_name, position, .. } => {
            Some((words.hover_path)(plot_name, position.x, position.y))
        }
        HoverPosition::Elsewhere { .. } => None,
    };
    let response = base_plot("paths", palette)
        .data_aspect(1.0)
        .x_axis_label(words.ml_axis)
        .y_axis_label(words.ap_axis)
        .label_formatter(hover)
        .height(ui.available_height())
        .show(ui, |plot| {
            for side in Side::BOTH {
                for path in picked_of(&sets[side.index()].paths, picked[side.index()]) {
                    path_ui(plot, path, side, palette);
                }
            }
            // Later lines lie on top: the outlines are never hidden by a path.
            for side in Side::BOTH {
                for path in picked_of(&sets[side.index()].paths, picked[side.index()]) {
                    outline_ui(plot, path, side, palette);
                }
            }
        })
        .response;
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, about));
}

fn path_ui(plot: &mut PlotUi<'_>, path: &PathView, side: Side, palette: Palette) {
    let [across, _] = plot.transform().dvalue_dpos();
    let points = layout::thinned(&path.points_mm, 0.4 * across.abs());
    let colour = palette.set(side).gamma_multiply(0.55);
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
    plot.points(
        Points::new(format!("{}  ", path.name), vec![[0.0, 0.0]])
            .shape(marker_of(side))
            .radius(if side == Side::A { 6.0 } else { 3.5 })
            .filled(side == Side::B)
            .color(colour)
            .allow_hover(false),
    );
}

/// Draws the lines of both axes as two panels that share their horizontal axis.
pub(crate) fn axis_pair_ui(
    ui: &mut Ui,
    words: &CompareWords,
    pair: &AxisPair,
    picked: Picked,
    about: &str,
) {
    let palette = Palette::of(ui.theme());
    let link = ui.id().with(&pair.across);
    let height = (ui.available_height() - ui.spacing().item_spacing.y) / 2.0;
    for (index, panel) in pair.panels.iter().enumerate() {
        let hover = |position: &HoverPosition<'_>| match position {
            HoverPosition::NearDataPoint { plot_name, position, .. } => {
                Some((words.hover_line)(plot_name, &pair.across, position.x, &panel.upward, position.y))
            }
            HoverPosition::Elsewhere { .. } => None,
        };
        let mut plot = base_plot(&panel.upward, palette)
            .y_axis_label(panel.upward.as_str())
            .y_axis_min_width(52.0)
            .label_formatter(hover)
            .link_axis(link, [true, false])
            .link_cursor(link, [true, false])
            .height(height);
        if index == 1 {
            plot = plot.x_axis_label(pair.across.as_str());
        }
        let response = plot
            .show(ui, |plot| {
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
    plot.line(
        Line::new(line.name.clone(), PlotPoints::from(line.points.clone()))
            .stroke(Stroke::new(1.5, palette.set(side)))
            .style(style_of(side)),
    );
}

fn base_plot<'a>(id: &str, palette: Palette) -> Plot<'a> {
    Plot::new(id.to_owned())
        .allow_scroll(false)
        .grid_color(palette.hairline)
        .x_axis_formatter(|mark, _| axis_number(mark.value, mark.step_size))
        .y_axis_formatter(|mark, _| axis_number(mark.value, mark.step_size))
}

/// A number at an axis: as many digits as tell it from the next one.
fn axis_number(value: f64, step: f64) -> String {
    if step < 0.01 {
        return significant(value, 3);
    }
    decimals(value, if step < 0.1 { 2 } else { usize::from(step < 1.0) })
}
