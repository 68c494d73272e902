//! Paints what egui has tessellated on the processor: pictures without a graphics driver, the same bytes on
//! every machine. Colors are blended premultiplied in gamma space, as egui means them.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::float_cmp,
    clippy::iter_over_hash_type,
    reason = "pixels are small whole numbers, edges are compared exactly, and textures come in any order"
)]

use egui::epaint::{ClippedPrimitive, ImageData, Mesh, Primitive, Vertex};
use egui::{Rect, TextureFilter, TextureId, TexturesDelta};
use std::collections::BTreeMap;

type Texel = [f32; 4];

struct Texture {
    width: usize,
    height: usize,
    texels: Vec<Texel>,
    filter: TextureFilter,
}

impl Texture {
    fn at(&self, x: i64, y: i64) -> Texel {
        let clamped =
            |value: i64, size: usize| usize::try_from(value).unwrap_or(0).min(size.saturating_sub(1));
        let index = clamped(y, self.height) * self.width + clamped(x, self.width);
        self.texels.get(index).copied().unwrap_or_default()
    }

    fn sample(&self, u: f32, v: f32) -> Texel {
        let (x, y) = (u * self.width as f32, v * self.height as f32);
        if self.filter == TextureFilter::Nearest {
            return self.at(x.floor() as i64, y.floor() as i64);
        }
        let (x, y) = (x - 0.5, y - 0.5);
        let (left, top) = (x.floor() as i64, y.floor() as i64);
        let (right_share, lower_share) = (x - x.floor(), y - y.floor());
        let upper = mix(self.at(left, top), self.at(left + 1, top), right_share);
        let lower = mix(self.at(left, top + 1), self.at(left + 1, top + 1), right_share);
        mix(upper, lower, lower_share)
    }
}

fn mix(a: Texel, b: Texel, share: f32) -> Texel {
    std::array::from_fn(|i| match (a.get(i), b.get(i)) {
        (Some(a), Some(b)) => a + (b - a) * share,
        _ => 0.0,
    })
}

/// The textures that are painted with.
#[derive(Default)]
pub struct Textures {
    kept: BTreeMap<TextureId, Texture>,
    /// Freed with the frame after the one that asked for it, which may still paint with them.
    to_free: Vec<TextureId>,
}

impl Textures {
    /// Takes what a frame brings and frees what the one before asked for.
    pub fn take(&mut self, delta: &mut TexturesDelta) {
        for id in self.to_free.drain(..) {
            self.kept.remove(&id);
        }
        for (id, patches) in delta.set.drain() {
            for patch in patches {
                let ImageData::Color(image) = &patch.image;
                let [width, height] = image.size;
                let texels = image.pixels.iter().map(|color| color.to_array().map(f32::from));
                match patch.pos {
                    None => {
                        let filter = patch.options.magnification;
                        self.kept.insert(id, Texture { width, height, texels: texels.collect(), filter });
                    }
                    Some([left, top]) => {
                        let Some(texture) = self.kept.get_mut(&id) else { continue };
                        for (i, texel) in texels.enumerate() {
                            let index = (top + i / width) * texture.width + left + i % width;
                            if let Some(slot) = texture.texels.get_mut(index) {
                                *slot = texel;
                            }
                        }
                    }
                }
            }
        }
        self.to_free.extend(delta.free.drain());
    }
}

/// The pixels.
pub struct Canvas {
    width: usize,
    height: usize,
    pixels: Vec<Texel>,
}

/// Pixels from `left` to before `right`, and from `top` to before `bottom`.
#[derive(Clone, Copy)]
struct Window {
    left: usize,
    top: usize,
    right: usize,
    bottom: usize,
}

impl Canvas {
    /// Without any color.
    pub fn new(width: usize, height: usize) -> Self {
        Self { width, height, pixels: vec![[0.0; 4]; width * height] }
    }

    fn mesh(&mut self, mesh: &Mesh, texture: &Texture, clip: Rect, scale: f32) {
        let edge = |value: f32, most: usize| ((value * scale).round().max(0.0) as usize).min(most);
        let window = Window {
            left: edge(clip.min.x, self.width),
            top: edge(clip.min.y, self.height),
            right: edge(clip.max.x, self.width),
            bottom: edge(clip.max.y, self.height),
        };
        for corners in mesh.indices.chunks_exact(3) {
            let vertex = |i: usize| mesh.vertices.get(*corners.get(i)? as usize);
            if let (Some(a), Some(b), Some(c)) = (vertex(0), vertex(1), vertex(2)) {
                self.triangle([a, b, c], texture, window, f64::from(scale));
            }
        }
    }

    fn triangle(&mut self, [a, b, c]: [&Vertex; 3], texture: &Texture, window: Window, scale: f64) {
        let place = |vertex: &Vertex| (f64::from(vertex.pos.x) * scale, f64::from(vertex.pos.y) * scale);
        let twice_area = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| {
            (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0)
        };
        // Clockwise as seen, so that an edge shared by two triangles is painted by exactly one of them.
        let (b, c) = if twice_area(place(a), place(b), place(c)) < 0.0 { (c, b) } else { (b, c) };
        let (pa, pb, pc) = (place(a), place(b), place(c));
        let area = twice_area(pa, pb, pc);
        if area <= 0.0 {
            return;
        }
        let colors = [a, b, c].map(|vertex| vertex.color.to_array().map(f32::from));
        let owns = |p: (f64, f64), q: (f64, f64), edge: f64| {
            edge > 0.0 || (edge == 0.0 && (q.1 < p.1 || (q.1 == p.1 && q.0 > p.0)))
        };
        let (xs, ys) = ([pa.0, pb.0, pc.0], [pa.1, pb.1, pc.1]);
        let (left, right) = span(xs, window.left, window.right);
        let (top, bottom) = span(ys, window.top, window.bottom);
        for y in top..bottom {
            for x in left..right {
                let at = (x as f64 + 0.5, y as f64 + 0.5);
                let (to_a, to_b, to_c) =
                    (twice_area(pb, pc, at), twice_area(pc, pa, at), twice_area(pa, pb, at));
                if !(owns(pb, pc, to_a) && owns(pc, pa, to_b) && owns(pa, pb, to_c)) {
                    continue;
                }
                let shares = [to_a / area, to_b / area, to_c / area].map(|share| share as f32);
                let blend = |values: [f32; 3]| {
                    shares.iter().zip(values).map(|(share, value)| share * value).sum::<f32>()
                };
                let texel = texture.sample(blend([a.uv.x, b.uv.x, c.uv.x]), blend([a.uv.y, b.uv.y, c.uv.y]));
                let color = mix3(colors, shares);
                self.paint(
                    x,
                    y,
                    std::array::from_fn(|i| {
                        color.get(i).copied().unwrap_or(0.0) * texel.get(i).copied().unwrap_or(0.0) / 255.0
                    }),
                );
            }
        }
    }

    fn paint(&mut self, x: usize, y: usize, source: Texel) {
        let Some(pixel) = self.pixels.get_mut(y * self.width + x) else { return };
        let [.., alpha] = source;
        let keep = 1.0 - alpha / 255.0;
        for (under, over) in pixel.iter_mut().zip(source) {
            *under = over + *under * keep;
        }
    }

    /// Paints everything; what has no texture is left out.
    pub fn paint_all(&mut self, primitives: &[ClippedPrimitive], textures: &Textures, scale: f32) {
        for clipped in primitives {
            let Primitive::Mesh(mesh) = &clipped.primitive else { continue };
            if let Some(texture) = textures.kept.get(&mesh.texture_id) {
                self.mesh(mesh, texture, clipped.clip_rect, scale);
            }
        }
    }

    /// Width and height.
    pub const fn size(&self) -> (usize, usize) {
        (self.width, self.height)
    }

    /// Red, green, blue and alpha of each pixel, row by row.
    pub fn bytes(&self) -> Vec<u8> {
        self.pixels.iter().flatten().map(|value| (value + 0.5).clamp(0.0, 255.0) as u8).collect()
    }
}

/// The pixels whose middles lie between the least and the greatest coordinate, within the window.
fn span(values: [f64; 3], from: usize, to: usize) -> (usize, usize) {
    let least = values.into_iter().fold(f64::INFINITY, f64::min);
    let greatest = values.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let first = (least - 0.5).ceil().max(from as f64) as usize;
    let last = ((greatest - 0.5).floor() + 1.0).clamp(0.0, to as f64) as usize;
    (first, last)
}

fn mix3(colors: [Texel; 3], shares: [f32; 3]) -> Texel {
    let mut mixed = [0.0; 4];
    for (color, share) in colors.into_iter().zip(shares) {
        for (sum, value) in mixed.iter_mut().zip(color) {
            *sum += value * share;
        }
    }
    mixed
}
