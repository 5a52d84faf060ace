//! How the window looks: text sizes, the two palettes, and the marks of the two sets.

use egui::{Color32, FontFamily, FontId, Stroke, TextStyle, Theme, Visuals};

use crate::strings::Language;

/// Which of the two sets something belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The first set, drawn with unbroken lines and a round mark.
    A,
    /// The second set, drawn with broken lines and a square mark.
    B,
}

impl Side {
    /// Both, in order.
    pub const BOTH: [Self; 2] = [Self::A, Self::B];

    /// The letter that names the set wherever it is shown.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }

    /// Position in a pair of which the first is A.
    pub(crate) const fn index(self) -> usize {
        match self {
            Self::A => 0,
            Self::B => 1,
        }
    }
}

/// The colours that egui's own visuals do not name.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Palette {
    /// Lines and marks of the two sets, A first.
    pub sets: [Color32; 2],
    /// Surface on which drawings stand.
    pub paper: Color32,
    /// Hair lines: grids, rules, edges of cards.
    pub hairline: Color32,
    /// Band of changes too small to be told from chance.
    pub band: Color32,
}

impl Palette {
    /// The colours of a theme. The pair for the sets differs in hue and in lightness.
    pub(crate) const fn of(theme: Theme) -> Self {
        match theme {
            Theme::Light => Self {
                sets: [Color32::from_rgb(0x17, 0x60, 0x7a), Color32::from_rgb(0xb4, 0x51, 0x1a)],
                paper: Color32::from_rgb(0xff, 0xfe, 0xfb),
                hairline: Color32::from_rgb(0xdc, 0xd6, 0xca),
                band: Color32::from_rgb(0xea, 0xe4, 0xd6),
            },
            Theme::Dark => Self {
                sets: [Color32::from_rgb(0x6c, 0xc4, 0xe4), Color32::from_rgb(0xf4, 0xa6, 0x6a)],
                paper: Color32::from_rgb(0x1b, 0x1f, 0x24),
                hairline: Color32::from_rgb(0x3a, 0x40, 0x48),
                band: Color32::from_rgb(0x2c, 0x32, 0x3a),
            },
        }
    }

    /// Colour of one set.
    pub(crate) const fn set(&self, side: Side) -> Color32 {
        self.sets[side.index()]
    }
}

/// Text style of the one number or name that a card is about.
pub(crate) fn large() -> TextStyle {
    TextStyle::Name("large".into())
}

/// Frame around a screen's contents.
pub(crate) fn screen_frame(style: &egui::Style) -> egui::Frame {
    egui::Frame::central_panel(style).inner_margin(egui::Margin::symmetric(16, 8))
}

/// Gives a context this program's text sizes, spacing and colours in both themes.
pub fn apply(ctx: &egui::Context) {
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| {
            let sizes = [
                (TextStyle::Small, 13.0, FontFamily::Proportional),
                (TextStyle::Body, 16.0, FontFamily::Proportional),
                (TextStyle::Button, 16.0, FontFamily::Proportional),
                (TextStyle::Monospace, 15.0, FontFamily::Monospace),
                (large(), 20.0, FontFamily::Proportional),
                (TextStyle::Heading, 28.0, FontFamily::Proportional),
            ];
            style.text_styles = sizes
                .into_iter()
                .map(|(name, size, family)| (name, FontId::new(size, family)))
                .collect();
            style.spacing.item_spacing = egui::vec2(10.0, 8.0);
            style.spacing.button_padding = egui::vec2(12.0, 6.0);
            style.spacing.interact_size.y = 32.0;
            style.visuals = visuals(theme);
        });
    }
}

/// Has fields for numbers show them as the language writes them.
pub(crate) fn write_numbers(ctx: &egui::Context, words: &'static Language) {
    let formatter = egui::style::NumberFormatter::new(move |value, digits| {
        let text = egui::emath::format_with_decimals_in_range(value, digits);
        // As many digits as egui would show, in the language's own signs.
        let n_digits = text.split_once('.').map_or(0, |(_, after)| after.len());
        (words.decimals)(value, n_digits)
    });
    for theme in [Theme::Light, Theme::Dark] {
        ctx.style_mut_of(theme, |style| style.number_formatter = formatter.clone());
    }
}

fn visuals(theme: Theme) -> Visuals {
    let palette = Palette::of(theme);
    let (mut visuals, ground, ink) = match theme {
        Theme::Light => (
            Visuals::light(),
            Color32::from_rgb(0xf6, 0xf3, 0xec),
            Color32::from_rgb(0x1d, 0x22, 0x28),
        ),
        Theme::Dark => (
            Visuals::dark(),
            Color32::from_rgb(0x12, 0x15, 0x19),
            Color32::from_rgb(0xe9, 0xe6, 0xdf),
        ),
    };
    visuals.panel_fill = ground;
    visuals.window_fill = palette.paper;
    visuals.extreme_bg_color = palette.paper;
    visuals.override_text_color = Some(ink);
    visuals.text_edit_bg_color = Some(ground);
    visuals.widgets.inactive.bg_stroke = Stroke::new(1.0, palette.hairline);
    visuals.weak_text_alpha = 0.75;
    visuals.selection.bg_fill = palette.sets[0].gamma_multiply(0.35);
    visuals.selection.stroke = Stroke::new(2.0, palette.sets[0]);
    visuals.widgets.noninteractive.bg_stroke = Stroke::new(1.0, palette.hairline);
    visuals
}
