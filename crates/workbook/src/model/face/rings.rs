//! Lays out rings.

use std::f64::consts::{PI, TAU};

use super::layout::{Corner, Rings, Spot, Start};

/// The cavities in the order of numbering.
pub(super) fn spots(rings: &Rings) -> Vec<Spot> {
    let radii = radii(rings);
    let mut places = Vec::new();
    for (ring, (count, radius)) in rings.counts.iter().zip(&radii).enumerate() {
        for place in 0..*count {
            let angle = angle(rings, *count, place);
            places.push((ring, place, radius * angle.sin(), -radius * angle.cos()));
        }
    }
    let left = places.iter().map(|p| p.2).fold(0.0, f64::min);
    let upper = places.iter().map(|p| p.3).fold(0.0, f64::min);
    let half = |pitches: f64| (pitches * 2.0).round() as i32;
    places
        .into_iter()
        .map(|(ring, place, x, y)| Spot {
            x_half: half(x) - half(left),
            y_half: half(y) - half(upper),
            x_pitch: x - left,
            y_pitch: y - upper,
            ..Spot::at_half(0, 0, ring, place)
        })
        .collect()
}

/// Radius of each ring in pitches: neighbours stand at least one pitch apart, and so do rings.
fn radii(rings: &Rings) -> Vec<f64> {
    let mut order: Vec<usize> = (0..rings.counts.len()).collect();
    order.sort_by_key(|ring| rings.counts.get(*ring).copied());
    let mut radii = vec![0.0; rings.counts.len()];
    let mut inner: Option<f64> = None;
    for ring in order {
        let count = rings.counts.get(ring).copied().unwrap_or(1);
        let own = match count {
            0 | 1 => 0.0,
            _ => 0.5 / (PI / count as f64).sin(),
        };
        let radius = inner.map_or(own, |inner| own.max(inner + 1.0));
        if let Some(slot) = radii.get_mut(ring) {
            *slot = radius;
        }
        inner = Some(radius);
    }
    radii
}

/// Clockwise from the top, in radians.
fn angle(rings: &Rings, count: usize, place: usize) -> f64 {
    let step = TAU / count as f64;
    let start = match rings.start {
        Start::Top => 0.0,
        Start::Right => PI / 2.0,
        Start::Bottom => PI,
        Start::Left => 3.0 * PI / 2.0,
        Start::Beside(Corner { lower: false, right }) => step / if right { 2.0 } else { -2.0 },
        Start::Beside(Corner { lower: true, right }) => PI + step / if right { -2.0 } else { 2.0 },
    };
    let turned = step * place as f64;
    start + if rings.anticlockwise { -turned } else { turned }
}
