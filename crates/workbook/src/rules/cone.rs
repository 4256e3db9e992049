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
    /// All is decided.
    Done,
}

/// What a walk marks, kept from one to the next.
#[derive(Debug, Clone, Default)]
pub(super) struct Marks {
    seen: Marked,
    within: Marked,
    been: Marked,
    waiting: Vec<u32>,
    group: Vec<u32>,
}

/// A set of numbers that is emptied at no cost.
#[derive(Debug, Clone, Default)]
struct Marked {
    round: u32,
    at: Vec<u32>,
}

impl Marked {
    fn clear(&mut self, count: usize) {
        if self.at.len() != count || self.round == u32::MAX {
            (self.at, self.round) = (vec![0; count], 0);
        }
        self.round += 1;
    }

    fn has(&self, number: u32) -> bool {
        self.at.get(number as usize) == Some(&self.round)
    }

    /// Says whether it is new.
    fn put(&mut self, number: u32) -> bool {
        let Some(place) = self.at.get_mut(number as usize) else {
            return false;
        };
        let new = *place != self.round;
        *place = self.round;
        new
    }
}

/// Looks from these points; `points` gets those that take part, if they are asked for.
pub(super) fn step(
    graph: &Graph,
    from: &[Node],
    decided: &mut Decided,
    untold: &mut Untold<'_>,
    marks: &mut Marks,
    mut points: Option<&mut Vec<Node>>,
) -> Step {
    let count = graph.core.len();
    marks.seen.clear(count);
    let mut walk = Walk {
        graph,
        decided,
        untold,
        marks,
    };
    let mut queue: VecDeque<u32> = VecDeque::new();
    for node in from {
        if let Some(points) = points.as_deref_mut() {
            points.push(*node);
        }
        queue.push_back(graph.of_node(*node));
    }
    while let Some(start) = queue.pop_front() {
        if walk.marks.seen.has(start) || graph.is_core(start) {
            continue;
        }
        let held = walk.group(start, points.as_deref_mut());
        if let Some(mover) = walk.joining() {
            return Step::Decide(mover);
        }
        if held || !walk.is_fed() || walk.leaves_untold() && !walk.is_fed() {
            continue;
        }
        for at in 0..walk.marks.group.len() {
            let Some(conductor) = walk.marks.group.get(at).copied() else {
                continue;
            };
            for link in graph.links(conductor) {
                match walk.closed(link) {
                    None => {
                        if let Some((mover, _)) = link.mover {
                            return Step::Decide(mover);
                        }
                    }
                    Some(true) => {
                        if let Some(points) = points.as_deref_mut() {
                            points.extend(link.points);
                        }
                        queue.push_back(link.beyond(conductor));
                    }
                    Some(false) => {}
                }
            }
        }
    }
    Step::Done
}

/// Whether these points hang together whatever moves, in a part that one voltage at most reaches: nothing flows there in any position of
/// the movers, so that they are all alike.
pub(super) fn idle(graph: &Graph, from: &[Node], marks: &mut Marks) -> bool {
    let mut held = None;
    let mut alone = |conductor: u32| *held.get_or_insert(conductor) == conductor;
    let count = graph.core.len();
    let mut waiting: Vec<u32> = Vec::new();
    for node in from {
        let conductor = graph.of_node(*node);
        if !graph.is_core(conductor) {
            waiting.push(conductor);
        } else if !alone(conductor) {
            return false;
        }
    }
    let Some(first) = waiting.first().copied() else {
        return false;
    };
    marks.been.clear(count);
    while let Some(conductor) = waiting.pop() {
        if !marks.been.put(conductor) {
            continue;
        }
        for link in graph.links(conductor) {
            let beyond = link.beyond(conductor);
            if link.gives || graph.is_core(beyond) && !alone(beyond) {
                return false;
            }
            if !graph.is_core(beyond) {
                waiting.push(beyond);
            }
        }
    }
    marks.within.clear(count);
    waiting.push(first);
    while let Some(conductor) = waiting.pop() {
        if marks.within.put(conductor) && !graph.is_core(conductor) {
            let sure = graph.links(conductor).filter(|link| link.mover.is_none());
            waiting.extend(sure.map(|link| link.beyond(conductor)));
        }
    }
    from.iter().all(|node| marks.within.has(graph.of_node(*node)))
}

/// Movers that nobody tells: they count as off, and those that matter are named.
pub(super) struct Untold<'a> {
    pub is: &'a dyn Fn(usize) -> bool,
    pub found: Vec<usize>,
}

struct Walk<'g, 'u> {
    graph: &'g Graph,
    decided: &'g mut Decided,
    untold: &'g mut Untold<'u>,
    marks: &'g mut Marks,
}

impl Walk<'_, '_> {
    /// Takes a mover that nobody tells for off; says whether it is one.
    fn leave(&mut self, mover: usize) -> bool {
        let untold = (self.untold.is)(mover);
        if untold {
            self.untold.found.push(mover);
            if let Some(place) = self.decided.get_mut(mover) {
                *place = Some(false);
            }
        }
        untold
    }

    /// Takes what nobody tells at the group for off; says whether there is any.
    fn leaves_untold(&mut self) -> bool {
        let graph = self.graph;
        let mut any = false;
        for at in 0..self.marks.group.len() {
            let Some(conductor) = self.marks.group.get(at).copied() else {
                continue;
            };
            for link in graph.links(conductor) {
                if let (None, Some((mover, _))) = (self.closed(link), link.mover) {
                    any |= self.leave(mover);
                }
            }
        }
        any
    }

    /// Whether a link is closed; none: that is not decided.
    fn closed(&self, link: &Between) -> Option<bool> {
        let Some((mover, closed_on)) = link.mover else {
            return Some(true);
        };
        let on = self.decided.get(mover).copied().flatten()?;
        Some(on == closed_on)
    }

    /// Takes all that is joined to a conductor as it is decided for the group; says whether battery or chassis hold it.
    fn group(&mut self, start: u32, mut points: Option<&mut Vec<Node>>) -> bool {
        let mut held = false;
        let mut group = std::mem::take(&mut self.marks.group);
        let mut waiting = std::mem::take(&mut self.marks.waiting);
        group.clear();
        self.marks.within.clear(self.graph.core.len());
        waiting.push(start);
        while let Some(conductor) = waiting.pop() {
            if !self.marks.seen.put(conductor) {
                continue;
            }
            self.marks.within.put(conductor);
            group.push(conductor);
            for link in self.graph.links(conductor) {
                if let Some(points) = points.as_deref_mut() {
                    points.extend(link.points);
                }
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
        (self.marks.group, self.marks.waiting) = (group, waiting);
        held
    }

    /// An undecided mover that could join the group to battery or chassis.
    fn joining(&mut self) -> Option<usize> {
        let graph = self.graph;
        for at in 0..self.marks.group.len() {
            let conductor = *self.marks.group.get(at)?;
            for link in graph.links(conductor) {
                let (true, None, Some((mover, _))) = (link.joins, self.closed(link), link.mover) else {
                    continue;
                };
                let beyond = link.beyond(conductor);
                if !self.marks.within.has(beyond) && self.leads_to_core(beyond) && !self.leave(mover) {
                    return Some(mover);
                }
            }
        }
        None
    }

    fn leads_to_core(&mut self, from: u32) -> bool {
        self.marks.been.clear(self.graph.core.len());
        let mut waiting = std::mem::take(&mut self.marks.waiting);
        waiting.push(from);
        let mut leads = false;
        while let Some(conductor) = waiting.pop() {
            if self.graph.is_core(conductor) {
                leads = true;
                break;
            }
            if self.marks.within.has(conductor) || !self.marks.been.put(conductor) {
                continue;
            }
            let links = self.graph.links(conductor);
            let open = links.filter(|link| link.joins && self.closed(link) != Some(false));
            waiting.extend(open.map(|link| link.beyond(conductor)));
        }
        waiting.clear();
        self.marks.waiting = waiting;
        leads
    }

    /// Whether anything but chassis could feed the group, over all that may be closed.
    fn is_fed(&mut self) -> bool {
        let ground = self.graph.ground();
        self.marks.been.clear(self.graph.core.len());
        let mut waiting = std::mem::take(&mut self.marks.waiting);
        waiting.extend(&self.marks.group);
        let mut fed = false;
        'all: while let Some(conductor) = waiting.pop() {
            if !self.marks.been.put(conductor) {
                continue;
            }
            for link in self.graph.links(conductor) {
                if self.closed(link) == Some(false) {
                    continue;
                }
                let beyond = link.beyond(conductor);
                if link.gives || self.graph.is_core(beyond) && Some(beyond) != ground {
                    fed = true;
                    break 'all;
                }
                if !self.graph.is_core(beyond) {
                    waiting.push(beyond);
                }
            }
        }
        waiting.clear();
        self.marks.waiting = waiting;
        fed
    }
}
