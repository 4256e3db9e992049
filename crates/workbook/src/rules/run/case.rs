//! The circuit with a fault: what it can reach, and where movers stand beyond their ways.

use super::*;

impl Fit {
    fn of(graph: Graph, shared: Vec<Option<usize>>) -> Self {
        Self {
            graph,
            changed: None,
            own: vec![false; shared.len()],
            pulls: Vec::new(),
            beside: Vec::new(),
            trees: vec![Tree::default(); shared.len() + 1],
            shared,
            begin: HashMap::new(),
        }
    }

    /// Of the reads that are to share, those that rest on one part that nothing holds get one tree: that of the first of them.
    fn shares(&mut self, plant: &Plant<'_>, touching: Option<(Node, Node)>) {
        self.begin.clear();
        let mut first: HashMap<u32, usize> = HashMap::new();
        for (at, read) in plant.model.reads.iter().enumerate() {
            let Some(place) = self.shared.get_mut(at) else {
                continue;
            };
            if place.is_none() {
                continue;
            }
            let [near, far] = match read {
                Read::Cavity { at, ground, .. } => [*ground, *at],
                Read::Across { ends, .. } => [ends[1], ends[0]],
            };
            let of = |node| Some(self.graph.of_node(node)).filter(|c| !self.graph.is_core(*c));
            let part = of(near).or_else(|| of(far)).unwrap_or(u32::MAX);
            let whose = *first.entry(part).or_insert(at);
            *place = Some(whose);
            let begin = self.begin.entry(whose).or_default();
            begin.extend([far, near]);
            begin.extend(touching.iter().flat_map(|(one, other)| [*one, *other]));
            if let Some(own) = self.own.get_mut(at) {
                *own = true;
            }
        }
    }
}

impl Case {
    pub(super) fn of(plant: &Plant<'_>, gone: Vec<Element>, touching: Option<(Node, Node)>) -> Self {
        let reads = plant.model.reads.len();
        let none = |_: usize| false;
        let is_fuse = |at: usize| plant.is_fuse(at);
        let (wiring, grounds) = (plant.see.wiring(), &plant.grounds);
        let graph = Graph::of(wiring, &plant.edges, grounds, &gone, touching, &none, &is_fuse);
        Self {
            gone,
            touching,
            moving: vec![false; plant.model.movers.len()],
            fit: Fit::of(graph, vec![None; reads]),
            fits: HashMap::new(),
            solved: Quick::default(),
        }
    }

    /// With all fuses whole again.
    pub(in crate::rules) fn intact(&mut self, run: &Run<'_>) {
        if self.moving.contains(&true) {
            self.refit(run.plant, &run.healthy.fit.graph, vec![false; self.moving.len()]);
        }
    }

    /// With these fuses told apart; what was found with others is kept for when they are again.
    pub(super) fn refit(&mut self, plant: &Plant<'_>, healthy: &Graph, moving: Vec<bool>) {
        let known = self.fits.remove(&moving);
        let is_new = known.is_none();
        let next = known.unwrap_or_else(|| {
            let moves = |at: usize| moving.get(at).copied().unwrap_or(false);
            let is_fuse = |at: usize| plant.is_fuse(at);
            let graph = Graph::of(
                plant.see.wiring(),
                &plant.edges,
                &plant.grounds,
                &self.gone,
                self.touching,
                &moves,
                &is_fuse,
            );
            Fit::of(graph, self.fit.shared.clone())
        });
        let before = std::mem::replace(&mut self.moving, moving);
        self.fits.insert(before, std::mem::replace(&mut self.fit, next));
        if is_new {
            self.mark(plant, healthy);
        }
    }

    /// As it is to be looked at once more, closely: these reads share trees, of the others all that was found stays.
    pub(in crate::rules) fn again(&mut self, plant: &Plant<'_>, rough: &[bool]) {
        for fit in self.fits.values_mut().chain([&mut self.fit]) {
            fit.own.fill(false);
            let places = fit.shared.iter_mut().zip(&mut fit.trees).zip(rough);
            for ((place, tree), _) in places.filter(|(_, rough)| **rough) {
                (*place, *tree) = (Some(0), Tree::default());
            }
            fit.shares(plant, self.touching);
        }
    }

    /// Whose tree a read has.
    pub(super) fn tree_of(&self, read: usize) -> usize {
        self.fit.shared.get(read).copied().flatten().unwrap_or(read)
    }

    /// Marks the points where things hang together otherwise than without the fault.
    pub(super) fn mark(&mut self, plant: &Plant<'_>, healthy: &Graph) {
        self.fit.shares(plant, self.touching);
        let count = healthy.conductor.len();
        let mut changed = vec![false; count];
        let mut mark = |at: usize| {
            if let Some(place) = changed.get_mut(at) {
                *place = true;
            }
        };
        // A conductor that came apart: those of its points that are not held as they were.
        let mut parts: HashMap<u32, u32> = HashMap::new();
        let mut apart: HashMap<u32, bool> = HashMap::new();
        for (before, now) in healthy.conductor.iter().zip(&self.fit.graph.conductor) {
            let first = *parts.entry(*before).or_insert(*now);
            if first != *now {
                apart.insert(*before, true);
            }
        }
        for (at, (before, now)) in healthy
            .conductor
            .iter()
            .zip(&self.fit.graph.conductor)
            .enumerate()
        {
            if apart.contains_key(before) && !(healthy.is_core(*before) && self.fit.graph.is_core(*now)) {
                mark(at);
            }
            if healthy.is_core(*before) && !self.fit.graph.is_core(*now) {
                mark(at);
            }
        }
        if let Some((one, other)) = self.touching {
            // What touches supply or ground may hold all that contacts can join to it, however many stand between.
            let mut reached = vec![false; count];
            let mut waiting = vec![healthy.of_node(one), healthy.of_node(other)];
            while let Some(conductor) = waiting.pop() {
                let Some(place) = reached.get_mut(conductor as usize) else {
                    continue;
                };
                if *place || healthy.is_core(conductor) {
                    continue;
                }
                *place = true;
                waiting.extend(healthy.links(conductor).map(|link| link.beyond(conductor)));
            }
            for (at, before) in healthy.conductor.iter().enumerate() {
                if reached.get(*before as usize) == Some(&true) {
                    mark(at);
                }
            }
        }
        self.fit.changed = Some(changed);
    }

    /// Whether the fault reaches any of these points.
    pub(super) fn touches(&self, points: &[Node]) -> bool {
        let Some(changed) = &self.fit.changed else {
            return false;
        };
        points
            .iter()
            .any(|p| changed.get(*p as usize).copied().unwrap_or(false))
    }

    pub(super) fn reaches(&self, touched: Option<&Vec<bool>>) -> bool {
        let (Some(changed), Some(touched)) = (&self.fit.changed, touched) else {
            return self.fit.changed.is_some();
        };
        changed.iter().zip(touched).any(|(a, b)| *a && *b)
    }
}
