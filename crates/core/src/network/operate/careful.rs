//! How far to go along a step that may be too long.
//!
//! All laws but that of a power load at work rise with the voltage, so the sum of the areas under them is
//! a convex function of the voltages whose lowest point is the operating point. Going along a step to
//! where that function stops falling always comes nearer. A power load is taken on its tangent meanwhile.

use super::parts::Parts;
use crate::network::law::{Bent, Work};

/// Halvings at most: enough for a step 1e15 times too long.
const HALVINGS: usize = 60;

/// The share of `step`, to be taken away from `x`, that brings the balance nearest.
pub(super) fn stride(parts: &Parts, work: &[Work], x: &[f64], step: &[f64]) -> f64 {
    let mut straight = (0.0, 0.0);
    for line in &parts.lines {
        let way = -line.pair.rise(step);
        straight.0 += line.current_a(x) * way;
        straight.1 += line.siemens * way * way;
    }
    for (_, ratio) in &parts.ratios {
        let way = -ratio.output.rise(step);
        straight.0 += ratio.current_a(x) * way;
        straight.1 -= ratio.change_a(step) * way;
    }
    let bends: Vec<_> = parts
        .bends
        .iter()
        .zip(work)
        .map(|(b, w)| (b.law, *w, b.pair.across(x), -b.pair.rise(step)))
        .collect();
    let fall = |share: f64| {
        let mut sum = straight.0 + share * straight.1;
        for &(law, work, u, way) in &bends {
            let frozen = matches!((law, work), (Bent::PowerLoad(_), Work::Running));
            let flow = law.flow(if frozen { u } else { u + share * way }, work);
            let current_a = flow.current_a + if frozen { share * way * flow.slope_s } else { 0.0 };
            sum += current_a * way;
        }
        sum
    };
    let start = fall(0.0);
    if start >= 0.0 || fall(1.0) <= -0.5 * start {
        return 1.0;
    }
    let (mut near, mut far) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (near + far);
        let at = fall(middle);
        if at.abs() <= -0.1 * start {
            return middle;
        }
        if at < 0.0 { near = middle } else { far = middle }
    }
    // Never stands still.
    if near > 0.0 { near } else { far }
}
