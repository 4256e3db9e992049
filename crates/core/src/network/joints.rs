//! Voltages without resistance: the nodes they join share one unknown, each at a fixed distance from it.

use super::{Circuit, Element, ElementId, NetworkError, NodeId};

/// How each node's voltage follows from the unknowns, and how the currents of ideal voltages follow
/// from current balance.
#[derive(Debug, Clone)]
pub(crate) struct Joints {
    /// Unknown of each node; the reference's group has the number after the last.
    unknown: Vec<u32>,
    /// Volts of each node above its unknown.
    offset_v: Vec<f64>,
    /// Number of unknowns.
    pub(crate) count: usize,
    /// From the root outwards: (node, node nearer the root, element, +1 if its current is counted away from node).
    tree: Vec<(u32, u32, ElementId, f64)>,
}

impl Joints {
    /// Finds the groups, the reference's first.
    ///
    /// # Errors
    /// [`NetworkError::EmfLoop`] where ideal voltages form a ring.
    pub(crate) fn new(circuit: &Circuit, reference: NodeId) -> Result<Self, NetworkError> {
        let nodes = circuit.node_count();
        let mut joined: Vec<Vec<(u32, ElementId, f64)>> = vec![Vec::new(); nodes];
        for (id, element) in circuit.numbered() {
            if let Element::Emf { minus, plus, emf_v } = *element {
                joined[minus.index()].push((plus.0, id, emf_v));
                joined[plus.index()].push((minus.0, id, -emf_v));
            }
        }
        let mut this = Self {
            unknown: vec![u32::MAX; nodes],
            offset_v: vec![0.0; nodes],
            count: 0,
            tree: Vec::new(),
        };
        let mut seen = vec![false; nodes];
        this.gather(circuit, reference.0, u32::MAX, &joined, &mut seen)?;
        for node in (0u32..).take(nodes) {
            if !seen[node as usize] {
                let unknown = this.ground();
                this.count += 1;
                this.gather(circuit, node, unknown, &joined, &mut seen)?;
            }
        }
        let ground = this.ground();
        for unknown in &mut this.unknown {
            *unknown = ground.min(*unknown);
        }
        Ok(this)
    }

    fn gather(
        &mut self,
        circuit: &Circuit,
        root: u32,
        unknown: u32,
        joined: &[Vec<(u32, ElementId, f64)>],
        seen: &mut [bool],
    ) -> Result<(), NetworkError> {
        let mut waiting = vec![(root, None)];
        seen[root as usize] = true;
        while let Some((node, came_by)) = waiting.pop() {
            self.unknown[node as usize] = unknown;
            for &(next, element, rise_v) in &joined[node as usize] {
                if came_by == Some(element) {
                    continue;
                }
                if seen[next as usize] {
                    return Err(NetworkError::EmfLoop {
                        element,
                        tag: circuit.tags()[element.index()],
                    });
                }
                seen[next as usize] = true;
                self.offset_v[next as usize] = self.offset_v[node as usize] + rise_v;
                let (minus, _) = circuit.elements()[element.index()].ends();
                let away = if minus.0 == next { 1.0 } else { -1.0 };
                self.tree.push((next, node, element, away));
                waiting.push((next, Some(element)));
            }
        }
        Ok(())
    }

    /// The number that stands for the reference.
    pub(crate) fn ground(&self) -> u32 {
        u32::try_from(self.count).unwrap_or(u32::MAX)
    }

    /// Unknown of a node.
    pub(crate) fn of(&self, node: NodeId) -> u32 {
        self.unknown[node.index()]
    }

    /// Volts of a node above its unknown.
    pub(crate) fn offset_v(&self, node: NodeId) -> f64 {
        self.offset_v[node.index()]
    }

    /// Voltage of a node from the unknowns.
    pub(crate) fn volts(&self, node: NodeId, x: &[f64]) -> f64 {
        x[self.of(node) as usize] + self.offset_v(node)
    }

    /// Renumbers the unknowns by position in the order of elimination.
    pub(crate) fn renumber(&mut self, order: &[u32]) {
        let mut position = vec![self.ground(); order.len() + 1];
        for (at, &old) in (0u32..).zip(order) {
            position[old as usize] = at;
        }
        for unknown in &mut self.unknown {
            *unknown = position[*unknown as usize];
        }
    }

    /// Whether there are ideal voltages.
    pub(crate) fn any(&self) -> bool {
        !self.tree.is_empty()
    }

    /// Fills in the currents of the ideal voltages. `leaving_a[n]` is the sum of all other currents that
    /// leave node `n` by elements; it is used up.
    pub(crate) fn emf_currents(&self, leaving_a: &mut [f64], current_a: &mut [f64]) {
        for &(node, nearer, element, away) in self.tree.iter().rev() {
            let into = leaving_a[node as usize];
            current_a[element.index()] = -away * into;
            leaving_a[node as usize] = 0.0;
            leaving_a[nearer as usize] += into;
        }
    }
}
