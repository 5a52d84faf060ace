//! A screen drawn into a picture without a display: the same window, its triangles filled here.

mod raster;

use egui::epaint::ClippedPrimitive;
use egui::{Context, Event, Pos2, RawInput, Rect, Vec2, pos2};

use crate::strings::Language;
use crate::window::app::{FootingWindow, Screen};
use crate::window::run::WindowStart;
use raster::Canvas;

/// How a picture of a screen is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Which screen.
    pub screen: Screen,
    /// Code of the person whose records show; `None` for the first of the list.
    pub person: Option<String>,
    /// Light or dark.
    pub theme: egui::Theme,
    /// Width and height in points.
    pub size: [u16; 2],
    /// Pixels for each point, 1 to 4.
    pub scale: f32,
}

/// Pixels of a picture, without transparency, row by row from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Four bytes a pixel: red, green, blue, 255.
    pub rgba: Vec<u8>,
}

/// Frames drawn after everything is read: what glides or opens has come to rest.
const FRAMES_TO_REST: usize = 8;

/// Time between two frames, in seconds.
const FRAME_S: f64 = 0.25;

/// Draws one screen.
///
/// # Errors
/// If the system gives no thread for reading.
pub fn shoot(words: &'static Language, start: WindowStart, shot: &Shot) -> std::io::Result<Pixels> {
    let ctx = Context::default();
    let mut window = FootingWindow::new(&ctx, words, start)?;
    ctx.set_theme(shot.theme);
    let mut canvas = Canvas::new(shot.size, shot.scale);
    let mut film = Film { ctx, shot, n_frames: 0 };
    for _ in 0..3 {
        film.frame(&mut window, &mut canvas);
        window.finish_reading();
    }
    window.turn_to(shot.screen, shot.person.as_deref());
    for _ in 0..3 {
        film.frame(&mut window, &mut canvas);
        window.finish_reading();
    }
    for _ in 0..FRAMES_TO_REST {
        film.frame(&mut window, &mut canvas);
    }
    let triangles = film.frame(&mut window, &mut canvas);
    canvas.draw(film.ctx.global_style().visuals.panel_fill, &triangles);
    Ok(canvas.into_pixels())
}

struct Film<'a> {
    ctx: Context,
    shot: &'a Shot,
    n_frames: usize,
}

impl Film<'_> {
    /// One frame; gives what to draw.
    fn frame(&mut self, window: &mut FootingWindow, canvas: &mut Canvas) -> Vec<ClippedPrimitive> {
        let [width, height] = self.shot.size.map(f32::from);
        let mut input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, Vec2::new(width, height))),
            time: Some(self.n_frames as f64 * FRAME_S),
            // Where no hint covers the picture.
            events: vec![Event::PointerMoved(pos2(2.0, 2.0))],
            ..RawInput::default()
        };
        if let Some(viewport) = input.viewports.get_mut(&input.viewport_id) {
            viewport.native_pixels_per_point = Some(self.shot.scale);
        }
        self.n_frames += 1;
        window.take_news(&self.ctx);
        let mut output = self.ctx.run_ui(input, |ui| window.show_in(ui));
        canvas.take_textures(&mut output.textures_delta);
        self.ctx.tessellate(output.shapes, output.pixels_per_point)
    }
}
