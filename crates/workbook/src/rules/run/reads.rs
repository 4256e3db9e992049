//! What is read, with a fault and without, and the fuses that what is read shows to blow.

use super::*;

impl<'p> Run<'p> {
    /// One read in all combinations, as it may be taken.
    pub(in crate::rules) fn read_as(&mut self, case: &mut Case, read: usize, movers: &[May]) -> May {
        let level = self.read(case, read, movers);
        self.may(level)
    }

    /// One read in all combinations.
    pub(super) fn read(&mut self, case: &mut Case, read: usize, movers: &[May]) -> Level {
        let own = case.own.get(read).copied().unwrap_or(false);
        if !own {
            let mut healthy =
                std::mem::take(self.healthy.trees.get_mut(read).unwrap_or(&mut Tree::default()));
            let leaves = self.leaves(None, &mut healthy, read, movers);
            let reached = leaves.iter().any(|(_, leaf)| match healthy.nodes.get(*leaf) {
                Some(Branch::Leaf(leaf)) => case.touches(&leaf.points) || self.pulls(case, leaf, read),
                _ => true,
            });
            let may = if reached {
                None
            } else {
                Some(self.gathered(&healthy, &leaves, read))
            };
            if let Some(place) = self.healthy.trees.get_mut(read) {
                *place = healthy;
            }
            if let Some(may) = may {
                return may;
            }
            if let Some(own) = case.own.get_mut(read) {
                *own = true;
            }
        }
        let whose = case.tree_of(read);
        let mut tree = case.trees.get_mut(whose).map(std::mem::take).unwrap_or_default();
        let leaves = match case.walked.get(&whose) {
            Some((then, leaves)) if then == movers => Arc::clone(leaves),
            _ => Arc::new(self.leaves(Some(case), &mut tree, whose, movers)),
        };
        let level = self.gathered(&tree, &leaves, read);
        if case.begin.contains_key(&whose) {
            case.walked.insert(whose, (movers.to_vec(), leaves));
        }
        if let Some(place) = case.trees.get_mut(whose) {
            *place = tree;
        }
        level
    }

    /// Whether a short pulls what holds these points so far that the read could say something else. Voltages of a passive circuit rise
    /// with those that hold it, so that the extremes of these bound it; 3 % and 0.1 V are for movers that stand otherwise (our own).
    pub(super) fn pulls(&self, case: &Case, leaf: &Leaf, read: usize) -> bool {
        let Some(pulled) = &case.pulled else { return false };
        let Some(what) = self.plant.model.reads.get(read) else {
            return true;
        };
        let graph = &self.healthy.graph;
        let (mut least, mut most, mut lift_v) = (1.0f64, 1.0f64, 0.0f64);
        for point in leaf.points.iter() {
            let conductor = graph.of_node(*point);
            if !graph.is_core(conductor) {
                continue;
            }
            let volts = |of: &[Option<f64>]| of.get(*point as usize).copied().flatten();
            let (Some(was), Some(is)) = (volts(&self.volts), volts(pulled)) else {
                return true;
            };
            if graph.ground() == Some(conductor) || was.abs() < 1.0 {
                lift_v = lift_v.max((is - was).abs());
            } else {
                (least, most) = (least.min(is / was), most.max(is / was));
            }
        }
        let (least, most, lift_v) = (least * 0.97, most * 1.03, 2.0 * lift_v + 0.1);
        leaf.solved.iter().any(|solved| {
            let Some(v) = solved.volts.get(read).copied().flatten() else {
                return true;
            };
            // A coil or lamp counts whichever way its voltage points.
            let v = if matches!(what, Read::Across { .. }) {
                v.abs()
            } else {
                v
            };
            let (one, other) = (v * least, v * most);
            let level = what.level(Some(v));
            let low = (one.min(other) - lift_v).max(if v >= 0.0 { 0.0 } else { f64::NEG_INFINITY });
            what.level(Some(low)) != level || what.level(Some(one.max(other) + lift_v)) != level
        })
    }

    /// Whether a fuse is overloaded as all stands.
    pub(in crate::rules) fn overloads(&mut self, case: &mut Case, settled: &Settled) -> bool {
        let mut next = settled.movers.clone();
        self.blow(case, &settled.movers, &mut next);
        next != settled.movers
    }

    pub(super) fn healthy_read(&mut self, read: usize, movers: &[May]) -> (Level, Vec<bool>) {
        let mut tree = self
            .healthy
            .trees
            .get_mut(read)
            .map(std::mem::take)
            .unwrap_or_default();
        let leaves = self.leaves(None, &mut tree, read, movers);
        let may = self.gathered(&tree, &leaves, read);
        let mut touched = vec![false; self.healthy.graph.conductor.len()];
        for (_, leaf) in &leaves {
            if let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) {
                for point in leaf.points.iter() {
                    if let Some(place) = touched.get_mut(*point as usize) {
                        *place = true;
                    }
                }
            }
        }
        if let Some(place) = self.healthy.trees.get_mut(read) {
            *place = tree;
        }
        (may, touched)
    }

    pub(super) fn gathered(&mut self, tree: &Tree, leaves: &[(Function, usize)], read: usize) -> Level {
        let mut planes: [Vec<Function>; 3] = Default::default();
        let mut unsure = Vec::new();
        for (set, leaf) in leaves {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            if leaf.rough {
                self.met_rough = true;
                if let Some(place) = self.rough_reads.get_mut(read) {
                    *place = true;
                }
                if self.rough == Rough::Unsure {
                    unsure.push(*set);
                    continue;
                }
            }
            // Of what was not solved nothing is known.
            if leaf.solved.iter().any(|solved| solved.unknown) {
                unsure.push(*set);
                continue;
            }
            let said = |level: Reads| {
                let all = leaf.solved.iter().map(|solved| solved.reads.get(read));
                all.map(|said| said.copied().unwrap_or(Reads::Undefined))
                    .any(|said| said == level)
            };
            for (plane, level) in planes.iter_mut().zip([Reads::On, Reads::Off, Reads::Undefined]) {
                if said(level) {
                    plane.push(*set);
                }
            }
        }
        let unsure = self.diagrams.any(unsure);
        let planes = planes.map(|sets| self.diagrams.any(sets));
        let [on, off, between] = planes;
        Level {
            on: self.diagrams.or(on, unsure),
            between: self.diagrams.or(between, unsure),
            off: self.diagrams.or(off, unsure),
        }
    }

    /// Blows the fuses that the touching points overload, the worst of each position first.
    pub(super) fn blow(&mut self, case: &mut Case, movers: &[May], next: &mut [May]) {
        let Some(place) = case.touching.map(|_| self.plant.model.reads.len()) else {
            return;
        };
        let mut tree = case.trees.get_mut(place).map(std::mem::take).unwrap_or_default();
        let leaves = self.leaves(Some(case), &mut tree, place, movers);
        for (set, leaf) in &leaves {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            if leaf.rough {
                self.met_rough = true;
                self.fuses_unsure |= self.rough == Rough::Unsure;
            }
            let (Some(before), Some(now)) = (&leaf.before, leaf.solved.first()) else {
                continue;
            };
            if let Some(fuse) = self.plant.opens(before, now, &[])
                && let Some(may) = next.get_mut(fuse)
            {
                may.on = self.diagrams.or(may.on, *set);
                may.off = self.diagrams.without(may.off, *set);
            }
        }
        if let Some(at) = case.trees.get_mut(place) {
            *at = tree;
        }
    }
}
