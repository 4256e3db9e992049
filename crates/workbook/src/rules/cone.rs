//! Which movers decide a voltage, found one after the other from the points outwards.
//!
//! From a point all that is joined to it is one group. A group that battery and chassis hold takes its voltage from them, and what lies
//! beyond does not matter but for millivolts. One that nothing holds takes it from what lets something through to it, and so on. A
//! mover matters if it decides what joins or holds a group on that way.

use std::collections::VecDeque;

use super::graph::{Between, Graph};
use crate::circuit::Node;

/// How movers stand, as far as it is decided.
pub(super) type Decided = Vec<Option<bool>>;

/// What the way from a point comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    /// This mover decides.
    Decide(usize),
    /// All is decided; the points that take part.
    Done(Vec<Node>),
}

/// Looks from these points.
pub(super) fn step(graph: &Graph, from: &[Node], decided: &Decided) -> Step {
    let mut walk = Walk {
        graph,
        decided,
        seen: vec![false; graph.core.len()],
        points: Vec::new(),
    };
    let mut queue: VecDeque<u32> = VecDeque::new();
    for node in from {
        walk.points.push(*node);
        queue.push_back(graph.of_node(*node));
    }
    while let Some(start) = queue.pop_front() {
        if walk.is_seen(start) || graph.is_core(start) {
            continue;
        }
        let (group, held) = walk.group(start);
        if let Some(mover) = walk.joining(&group) {
            return Step::Decide(mover);
        }
        if held || !walk.is_fed(&group) {
            continue;
        }
        for conductor in &group {
            for link in graph.links(*conductor) {
                match walk.closed(link) {
                    None => {
                        if let Some((mover, _)) = link.mover {
                            return Step::Decide(mover);
                        }
                    }
                    Some(true) => {
                        walk.points.extend(link.points);
                        queue.push_back(link.beyond(*conductor));
                    }
                    Some(false) => {}
                }
            }
        }
    }
    Step::Done(walk.points)
}

struct Walk<'g> {
    graph: &'g Graph,
    decided: &'g Decided,
    seen: Vec<bool>,
    points: Vec<Node>,
}

impl Walk<'_> {
    fn is_seen(&self, conductor: u32) -> bool {
        self.seen.get(conductor as usize).copied().unwrap_or(true)
    }

    /// Whether a link is closed; none: that is not decided.
    fn closed(&self, link: &Between) -> Option<bool> {
        let Some((mover, closed_on)) = link.mover else {
            return Some(true);
        };
        let on = self.decided.get(mover).copied().flatten()?;
        Some(on == closed_on)
    }

    /// All that is joined to a conductor as it is decided, and whether battery or chassis hold it.
    fn group(&mut self, start: u32) -> (Vec<u32>, bool) {
        let (mut group, mut held) = (Vec::new(), false);
        let mut waiting = vec![start];
        while let Some(conductor) = waiting.pop() {
            if self.is_seen(conductor) {
                continue;
            }
            if let Some(seen) = self.seen.get_mut(conductor as usize) {
                *seen = true;
            }
            group.push(conductor);
            for link in self.graph.links(conductor) {
                self.points.extend(link.points);
                if link.joins && self.closed(link) == Some(true) {
                    let beyond = link.beyond(conductor);
                    if self.graph.is_core(beyond) {
                        held = true;
                    } else {
                        waiting.push(beyond);
                    }
                }
            }
        }
        (group, held)
    }

    /// An undecided mover that could join the group to battery or chassis.
    fn joining(&self, group: &[u32]) -> Option<usize> {
        for conductor in group {
            for link in self.graph.links(*conductor) {
                let (true, None, Some((mover, _))) = (link.joins, self.closed(link), link.mover) else {
                    continue;
                };
                let beyond = link.beyond(*conductor);
                if !group.contains(&beyond) && self.leads_to_core(beyond, group) {
                    return Some(mover);
                }
            }
        }
        None
    }

    fn leads_to_core(&self, from: u32, avoiding: &[u32]) -> bool {
        let mut been: Vec<u32> = avoiding.to_vec();
        let mut waiting = vec![from];
        while let Some(conductor) = waiting.pop() {
            if self.graph.is_core(conductor) {
                return true;
            }
            if been.contains(&conductor) {
                continue;
            }
            been.push(conductor);
            let links = self.graph.links(conductor);
            let open = links.filter(|link| link.joins && self.closed(link) != Some(false));
            waiting.extend(open.map(|link| link.beyond(conductor)));
        }
        false
    }

    /// Whether anything but chassis could feed the group, over all that may be closed.
    fn is_fed(&self, group: &[u32]) -> bool {
        let ground = self.graph.ground();
        let mut been = vec![false; self.seen.len()];
        let mut waiting = group.to_vec();
        while let Some(conductor) = waiting.pop() {
            match been.get_mut(conductor as usize) {
                Some(known) if !*known => *known = true,
                _ => continue,
            }
            for link in self.graph.links(conductor) {
                if self.closed(link) == Some(false) {
                    continue;
                }
                if link.gives {
                    return true;
                }
                let beyond = link.beyond(conductor);
                if self.graph.is_core(beyond) {
                    if Some(beyond) != ground {
                        return true;
                    }
                } else {
                    waiting.push(beyond);
                }
            }
        }
        false
    }
}
