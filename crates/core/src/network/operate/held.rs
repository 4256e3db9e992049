//! Which nodes hold each other at an operating point.

use super::parts::Parts;
use crate::network::layout::Pair;
use crate::network::pieces::Sets;

/// For each unknown and, last, the reference: the lowest that it hangs together with. `cut` elements are
/// open, `bridges` join besides. A diode that is shut only leaks and joins nothing: a meter there would
/// read whatever the meter itself makes of it.
pub(crate) fn held(
    parts: &Parts,
    x: &[f64],
    cut: impl Fn(usize) -> bool,
    bridges: impl Iterator<Item = Pair>,
) -> Vec<u32> {
    let lines = parts
        .lines
        .iter()
        .filter(|line| line.siemens != 0.0)
        .map(|line| (line.element, line.pair));
    let ratios = parts
        .ratios
        .iter()
        .map(|(element, ratio)| (*element, ratio.output));
    let bends = parts
        .bends
        .iter()
        .filter(|bend| !bend.law.blocks(bend.pair.across(x)))
        .map(|bend| (bend.element, bend.pair));
    let mut sets = Sets::new(x.len());
    for (_, pair) in lines
        .chain(ratios)
        .chain(bends)
        .filter(|(element, _)| !cut(*element))
    {
        sets.join(pair.tail, pair.head);
    }
    for pair in bridges {
        sets.join(pair.tail, pair.head);
    }
    (0u32..).take(x.len()).map(|unknown| sets.find(unknown)).collect()
}
