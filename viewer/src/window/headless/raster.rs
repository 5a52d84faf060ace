//! Triangles filled on the processor, as a graphics card fills them: colours and textures with
//! premultiplied alpha, blended in the order they come.

use std::collections::BTreeMap;

use egui::epaint::textures::TexturesDelta;
use egui::epaint::{ClippedPrimitive, ImageData, Primitive, Vertex};
use egui::{Color32, ColorImage, Pos2, Rect, TextureId};

use crate::window::headless::Pixels;

/// Largest picture, in pixels a side: our own limit.
const MOST_PIXELS: f32 = 8192.0;

/// A picture that is drawn on.
pub(super) struct Canvas {
    width: usize,
    height: usize,
    pixels_per_point: f32,
    /// Red, green, blue and alpha of each pixel, 0 to 255, premultiplied.
    pixels: Vec<[f32; 4]>,
    textures: BTreeMap<TextureId, ColorImage>,
}

impl Canvas {
    /// An empty one.
    pub(super) fn new(size_points: [u16; 2], scale: f32) -> Self {
        let pixels_per_point = scale.clamp(1.0, 4.0);
        let [width, height] = size_points
            .map(|points| whole((f32::from(points) * pixels_per_point).clamp(1.0, MOST_PIXELS)));
        let pixels = vec![[0.0; 4]; width * height];
        Self { width, height, pixels_per_point, pixels, textures: BTreeMap::new() }
    }

    /// Takes what changed of the textures out of `delta`; what is not used any more does no harm.
    pub(super) fn take_textures(&mut self, delta: &mut TexturesDelta) {
        let changes =
            delta.set.iter().flat_map(|(id, changes)| changes.iter().map(move |c| (id, c)));
        for (id, change) in changes {
            let ImageData::Color(image) = &change.image;
            match (change.pos, self.textures.get_mut(id)) {
                (Some([left, top]), Some(known)) => {
                    for y in 0..image.size[1] {
                        for x in 0..image.size[0] {
                            known[(left + x, top + y)] = image[(x, y)];
                        }
                    }
                }
                _ => {
                    self.textures.insert(*id, (**image).clone());
                }
            }
        }
        delta.clear();
    }

    /// Draws everything anew over a ground.
    pub(super) fn draw(&mut self, ground: Color32, primitives: &[ClippedPrimitive]) {
        self.pixels.fill(ground.to_array().map(f32::from));
        for primitive in primitives {
            // This program has no drawing of its own on the graphics card.
            let Primitive::Mesh(mesh) = &primitive.primitive else { continue };
            let Some(texture) = self.textures.remove(&mesh.texture_id) else { continue };
            for corners in mesh.indices.chunks_exact(3) {
                let corners = [0, 1, 2].map(|i| mesh.vertices[corners[i] as usize]);
                self.fill(primitive.clip_rect, &corners, &texture);
            }
            self.textures.insert(mesh.texture_id, texture);
        }
    }

    /// The picture.
    pub(super) fn into_pixels(self) -> Pixels {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 0 and 255"
        )]
        let byte = |value: f32| value.round().clamp(0.0, 255.0) as u8;
        let opaque = |[red, green, blue, _]: [f32; 4]| [byte(red), byte(green), byte(blue), 255];
        let rgba = self.pixels.into_iter().flat_map(opaque).collect();
        Pixels { width: self.width, height: self.height, rgba }
    }

    fn fill(&mut self, clip: Rect, corners: &[Vertex; 3], texture: &ColorImage) {
        let scale = self.pixels_per_point;
        let place = |vertex: &Vertex| Pos2::new(vertex.pos.x * scale, vertex.pos.y * scale);
        let mut turned = *corners;
        if doubled_area(place(&corners[0]), place(&corners[1]), place(&corners[2])) < 0.0 {
            turned.swap(1, 2);
        }
        let at = [0, 1, 2].map(|i| place(&turned[i]));
        let area = doubled_area(at[0], at[1], at[2]);
        if area <= 0.0 {
            return;
        }
        let bounds = Rect::from_points(&at).intersect(Rect::from_min_max(
            (clip.min.to_vec2() * scale).round().to_pos2(),
            (clip.max.to_vec2() * scale).round().to_pos2(),
        ));
        let (left, right) = span(bounds.left(), bounds.right(), self.width);
        let (top, bottom) = span(bounds.top(), bounds.bottom(), self.height);
        for y in top..bottom {
            for x in left..right {
                let point = Pos2::new(x as f32 + 0.5, y as f32 + 0.5);
                let Some(shares) = shares_inside(at, point) else { continue };
                let shares = shares.map(|share| share / area);
                let source = colour_at(&turned, shares, texture);
                let keep = 1.0 - source[3] / 255.0;
                let pixel = &mut self.pixels[y * self.width + x];
                for (under, over) in pixel.iter_mut().zip(source) {
                    *under = over + *under * keep;
                }
            }
        }
    }
}

/// Twice the area of a triangle, positive if its corners go clockwise with y downwards.
fn doubled_area(a: Pos2, b: Pos2, c: Pos2) -> f32 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Each corner's share of a point, times twice the area; `None` outside. A point on an edge belongs
/// to the triangle right of it or below it, so that neighbours never both draw it.
fn shares_inside(at: [Pos2; 3], point: Pos2) -> Option<[f32; 3]> {
    let mut shares = [0.0; 3];
    for i in 0..3 {
        let (from, to) = (at[(i + 1) % 3], at[(i + 2) % 3]);
        let share = doubled_area(from, to, point);
        let is_top = from.y.total_cmp(&to.y).is_eq() && from.x < to.x;
        let owns_edge = is_top || to.y < from.y;
        if share < 0.0 || (share <= 0.0 && !owns_edge) {
            return None;
        }
        shares[i] = share;
    }
    Some(shares)
}

fn colour_at(corners: &[Vertex; 3], shares: [f32; 3], texture: &ColorImage) -> [f32; 4] {
    let mut colour = [0.0; 4];
    let (mut u, mut v) = (0.0, 0.0);
    for (corner, share) in corners.iter().zip(shares) {
        for (sum, part) in colour.iter_mut().zip(corner.color.to_array()) {
            *sum += share * f32::from(part);
        }
        u += share * corner.uv.x;
        v += share * corner.uv.y;
    }
    let texel = texel_at(texture, u, v);
    [0, 1, 2, 3].map(|i| colour[i] * texel[i] / 255.0)
}

/// The texture between its four nearest points.
fn texel_at(texture: &ColorImage, u: f32, v: f32) -> [f32; 4] {
    let [width, height] = texture.size;
    let (x, x_share) = split(u, width);
    let (y, y_share) = split(v, height);
    let row = |y: usize| {
        let (left, right) = (texture[(x, y)], texture[((x + 1).min(width - 1), y)]);
        between(left.to_array().map(f32::from), right.to_array().map(f32::from), x_share)
    };
    between(row(y), row((y + 1).min(height - 1)), y_share)
}

/// The texel before a place from 0 to 1, and how far beyond its middle the place lies.
fn split(place: f32, n_texels: usize) -> (usize, f32) {
    let at = (place * n_texels as f32 - 0.5).clamp(0.0, (n_texels - 1) as f32);
    (whole(at), at.fract())
}

fn between(a: [f32; 4], b: [f32; 4], share: f32) -> [f32; 4] {
    [0, 1, 2, 3].map(|i| a[i] + (b[i] - a[i]) * share)
}

/// The pixels whose middles lie between two places, within so many.
fn span(low: f32, high: f32, n_pixels: usize) -> (usize, usize) {
    let end = |place: f32| whole((place - 0.5).ceil().clamp(0.0, n_pixels as f32));
    (end(low), end(high))
}

/// A place as a position; below zero and without end it is the first.
fn whole(place: f32) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "callers keep it between 0 and a size"
    )]
    let whole = place as usize;
    whole
}

#[cfg(test)]
mod tests {
    use egui::epaint::Mesh;

    use super::*;

    fn canvas_with(mesh: Mesh) -> Pixels {
        let mut canvas = Canvas::new([8, 8], 1.0);
        canvas.textures.insert(TextureId::default(), ColorImage::filled([2, 2], Color32::WHITE));
        let clip_rect = Rect::from_min_max(Pos2::ZERO, Pos2::new(8.0, 8.0));
        let primitive = ClippedPrimitive { clip_rect, primitive: Primitive::Mesh(mesh) };
        canvas.draw(Color32::BLACK, &[primitive]);
        canvas.into_pixels()
    }

    /// Two triangles share the diagonal of a square: half a red drawn twice there would be lighter.
    #[test]
    fn a_half_transparent_square_is_even_and_exactly_as_large_as_asked() {
        let half = Color32::from_rgba_premultiplied(100, 0, 0, 128);
        let mut mesh = Mesh::default();
        mesh.add_colored_rect(Rect::from_min_max(Pos2::new(2.0, 1.0), Pos2::new(6.0, 5.0)), half);
        let pixels = canvas_with(mesh);
        for y in 0..8 {
            for x in 0..8 {
                let inside = (2..6).contains(&x) && (1..5).contains(&y);
                let red = pixels.rgba[4 * (8 * y + x)];
                assert_eq!(red, if inside { 100 } else { 0 }, "at {x}, {y}");
            }
        }
    }
}
