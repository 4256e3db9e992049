//! Relays that race: where the order of their moves decides how it ends.

use super::parts::Altered;
use super::relays::{From, operate};
use crate::network::layout::Layout;
use crate::network::{Circuit, Element, ElementId, NetworkError};

/// Coils that, moving before or after the others that would move with them, make it end elsewhere than when
/// all move together. Of many that move at once each is tried as the first and as the last.
pub(crate) fn racing(
    circuit: &Circuit,
    layout: &Layout,
    pulled: Vec<bool>,
) -> Result<Vec<ElementId>, NetworkError> {
    if !circuit
        .elements()
        .iter()
        .any(|e| matches!(e, Element::Coil { .. }))
    {
        return Ok(Vec::new());
    }
    let run = |pulled| operate(circuit, layout, &Altered::default(), pulled, &From::Rest);
    let together = run(pulled)?;
    let mut racing = Vec::new();
    for step in together.path.windows(2) {
        let [before, after] = step else { continue };
        let moves = |id: &ElementId| before[id.index()] != after[id.index()];
        let movers: Vec<ElementId> = circuit.numbered().map(|(id, _)| id).filter(moves).collect();
        if movers.len() < 2 {
            continue;
        }
        for &one in &movers {
            for first in [true, false] {
                let mut pulled = before.clone();
                for id in movers.iter().filter(|&&id| (id == one) == first) {
                    pulled[id.index()] = after[id.index()];
                }
                let apart = run(pulled)?;
                let same = apart.pulled == together.pulled && apart.chattering == together.chattering;
                if !same && !racing.contains(&one) {
                    racing.push(one);
                }
            }
        }
    }
    racing.sort_unstable();
    Ok(racing)
}
