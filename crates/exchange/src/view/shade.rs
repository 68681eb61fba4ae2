//! Light on what is seen: matt and shining (Blinn 1977), with each material's grain.

use super::raster::{Hit, NOTHING};
use super::scene::Scene;
use super::{Eye, Frame};
use crate::solid::Grain;

/// Directions to the lights, right, up, towards the eye, with their strengths.
const LIGHTS: [([f32; 3], f32); 2] = [([-0.36, 0.48, 0.80], 0.66), ([0.70, -0.14, 0.70], 0.24)];
/// Light from all sides.
const AMBIENT: f32 = 0.27;
/// Hatching of what a cut lays open (ISO 128-3: thin lines at 45°): their distance and their
/// breadth, mm.
const HATCH_MM: (f64, f64) = (1.6, 0.35);

/// Gives some rows of the picture, from the first on, the tones of what is seen there.
pub(super) fn shade(
    scene: &Scene,
    eye: &Eye,
    frame: &Frame,
    first: usize,
    hits: &[Hit],
    dots: &mut [[u8; 4]],
) {
    let axes = eye.axes.map(|axis| axis.map(|v| v as f32));
    for (i, (hit, shown)) in hits.iter().zip(dots).enumerate() {
        if hit.triangle != NOTHING {
            let place = [i % frame.width, first + i / frame.width];
            *shown =
                dot(scene, &axes, hit).unwrap_or_else(|look| hatched(scene, look, place, frame));
        }
    }
}

/// The colour of a part laid open, hatched; parts beside each other lean different ways.
fn hatched(scene: &Scene, look: u32, [column, row]: [usize; 2], frame: &Frame) -> [u8; 4] {
    let (x, y) = (column as f64 * frame.mm_per_dot, row as f64 * frame.mm_per_dot);
    let leaning = if look.is_multiple_of(2) { x + y } else { x - y };
    let across = leaning / std::f64::consts::SQRT_2;
    let is_line = across.rem_euclid(HATCH_MM.0) < HATCH_MM.1.max(frame.mm_per_dot);
    let [r, g, b] = scene.looks[look as usize].color.map(|channel| {
        let plain = f32::from(channel);
        if is_line { plain * 0.42 } else { plain + (255.0 - plain) * 0.22 }
    });
    [r as u8, g as u8, b as u8, 255]
}

/// The colour of an outer face; of an inner one, which a cut lays open, the part it is of.
fn dot(scene: &Scene, axes: &[[f32; 3]; 3], hit: &Hit) -> Result<[u8; 4], u32> {
    let facet = &scene.triangles[hit.triangle as usize];
    let [u, v] = hit.shares;
    let shares = [u, v, 1.0 - u - v];
    let mix = |of: [[f32; 3]; 3]| {
        [0, 1, 2].map(|axis| (0..3).map(|i| shares[i] * of[i][axis]).sum::<f32>())
    };
    let normal = steepened(mix(facet.normals));
    let out = axes.map(|axis| inner(axis, normal));
    let length = inner(out, out).sqrt().max(1e-6);
    let out = out.map(|v| v / length);
    let look = &scene.looks[facet.look as usize];
    if hit.is_inner {
        return Err(facet.look);
    }
    let corners = facet.corners.map(|corner| scene.points[corner as usize].map(|v| v as f32));
    let at = mix(corners);
    let (matt, shine) = light(out, look.polish);
    let tone = (AMBIENT + matt) * grain(look.grain, at);
    let glint = 255.0 * look.shine as f32 * shine;
    let color =
        look.color.map(|channel| (f32::from(channel) * tone + glint).clamp(0.0, 255.0) as u8);
    Ok([color[0], color[1], color[2], 255])
}

/// A face nearly parallel to the blank's, as if it leaned twice as far: a bevel leans a few degrees,
/// and true light would hardly tell it from the flat. From 22° on faces are left as they are.
fn steepened([x, y, z]: [f32; 3]) -> [f32; 3] {
    const LEVEL: f32 = 0.995;
    const LEANING: f32 = 0.93;
    let gain = 1.0 + ((z.abs() - LEANING) / (LEVEL - LEANING)).clamp(0.0, 1.0);
    [x * gain, y * gain, z]
}

/// Matt and shining light on a face.
fn light(out: [f32; 3], polish: i32) -> (f32, f32) {
    let mut sum = (0.0, 0.0);
    for (towards, strength) in LIGHTS {
        sum.0 += strength * inner(out, towards).max(0.0);
        let halfway = [towards[0], towards[1], towards[2] + 1.0];
        let length = inner(halfway, halfway).sqrt();
        let facing = (inner(out, halfway) / length).max(0.0);
        sum.1 += strength * facing.powi(polish);
    }
    sum
}

/// How light a material is at a place of the knife, about 1.
fn grain(grain: Grain, [x, y, z]: [f32; 3]) -> f32 {
    match grain {
        Grain::Plain => 1.0,
        Grain::Brushed => 0.95 + 0.10 * noise(x * 0.12, y * 9.0 + z * 9.0),
        Grain::Tumbled => 0.90 + 0.20 * noise(x * 2.2, y * 2.2 + z),
        Grain::Wood => {
            let warp = 2.5 * noise(x * 0.035, y * 0.22 + z * 0.18);
            let rings = ((y * 0.85 + z * 0.7 + warp) * 2.4).sin();
            let pores = noise(x * 0.5, y * 6.0 + z * 4.0);
            0.88 + 0.15 * rings + 0.10 * pores
        }
        Grain::Weave => 0.94 + 0.13 * (x * 5.2).sin() * (y * 5.2 + z * 2.0).sin(),
        Grain::Layers => 0.95 + 0.12 * (z * 7.0 + 0.3 * noise(x * 0.1, y * 0.1)).sin(),
        Grain::Clouds => 0.88 + 0.22 * noise(x * 0.16, y * 0.25 + z * 0.2),
    }
}

/// Smooth noise between 0 and 1 on a lattice of ones.
fn noise(x: f32, y: f32) -> f32 {
    let (i, j) = (x.floor(), y.floor());
    let soft = |t: f32| t * t * (3.0 - 2.0 * t);
    let (u, v) = (soft(x - i), soft(y - j));
    let at = |di: i32, dj: i32| hash(i as i32 + di, j as i32 + dj);
    let level = |dj: i32| at(0, dj) * (1.0 - u) + at(1, dj) * u;
    level(0) * (1.0 - v) + level(1) * v
}

/// A number between 0 and 1 for each place of a lattice.
fn hash(i: i32, j: i32) -> f32 {
    let mut h = (i as u32).wrapping_mul(0x9E37_79B1) ^ (j as u32).wrapping_mul(0x85EB_CA77);
    h = (h ^ (h >> 15)).wrapping_mul(0x2C1B_3C6D);
    h = (h ^ (h >> 12)).wrapping_mul(0x297A_2D39);
    ((h ^ (h >> 15)) >> 8) as f32 / 16_777_216.0
}

fn inner(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
