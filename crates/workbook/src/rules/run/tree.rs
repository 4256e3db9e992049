//! What decides a read: the few movers that do, found branch by branch, and the solution at each leaf.

use super::*;

/// What looking on finds.
enum Found {
    /// This mover decides.
    Decide(usize),
    Leaf(Draft),
}

/// A leaf that is still to be solved.
struct Draft {
    rough: bool,
    keys: Vec<Key>,
    points: Vec<Node>,
}

impl<'p> Run<'p> {
    /// The leaves that some combination reaches as the movers stand, with these combinations.
    pub(super) fn leaves(
        &mut self,
        case: Option<&mut Case>,
        tree: &mut Tree,
        read: usize,
        movers: &[May],
    ) -> Vec<(Function, usize)> {
        let from = case.as_deref().and_then(|case| case.begin.get(&read).cloned());
        let from = from.unwrap_or_else(|| self.begin(case.as_deref(), read));
        if tree.nodes.is_empty() {
            tree.nodes.push(Branch::Unknown);
        }
        let deepest = match (&case, self.rough) {
            (Some(_), Rough::Unsure) => self.deepest.min(AT_FIRST),
            _ => self.deepest,
        };
        let (mut out, mut drafts) = (Vec::new(), Vec::<(usize, Draft)>::new());
        let mut waiting = vec![(0usize, self.domain, Vec::<(usize, bool)>::new())];
        while let Some((at, set, way)) = waiting.pop() {
            let unknown = match tree.nodes.get(at) {
                Some(Branch::Unknown) => true,
                // What was left unsolved as not sure is solved when it is asked for.
                Some(Branch::Leaf(leaf)) => leaf.solved.is_empty() && self.rough == Rough::Extremes,
                _ => false,
            };
            if unknown {
                if self.deepest == usize::MAX && drafts.len() > MOST_LEAVES.min(self.left) {
                    (self.gave_up, self.met_rough) = (true, true);
                    return Vec::new();
                }
                let deeper = way.len() < deepest;
                let branch = match self.branch(case.as_deref(), &from, &way, deeper) {
                    Found::Decide(mover) => {
                        let next = tree.nodes.len();
                        tree.nodes.extend([Branch::Unknown, Branch::Unknown]);
                        if !tree.movers.contains(&mover) {
                            tree.movers.push(mover);
                        }
                        Branch::Decide {
                            mover,
                            off: next,
                            on: next + 1,
                        }
                    }
                    Found::Leaf(draft) => {
                        drafts.push((at, draft));
                        out.push((set, at));
                        continue;
                    }
                };
                if let Some(place) = tree.nodes.get_mut(at) {
                    *place = branch;
                }
            }
            let Some(Branch::Decide { mover, off, on }) = tree.nodes.get(at) else {
                out.push((set, at));
                continue;
            };
            let (mover, off, on) = (*mover, *off, *on);
            let Some(may) = movers.get(mover).copied() else {
                continue;
            };
            for (to, taken, where_to) in [(off, false, may.off), (on, true, may.on)] {
                let part = self.diagrams.and(set, where_to);
                if part != FALSE {
                    let mut way = way.clone();
                    way.push((mover, taken));
                    waiting.push((to, part, way));
                }
            }
        }
        self.fill(case, tree, drafts, read);
        out
    }

    /// Solves what leaves rest on, all of them together.
    fn fill(&mut self, case: Option<&mut Case>, tree: &mut Tree, drafts: Vec<(usize, Draft)>, read: usize) {
        let keys: Vec<Key> = drafts
            .iter()
            .flat_map(|(_, draft)| draft.keys.iter().cloned())
            .collect();
        // Fuses are told by how much more flows than without the fault.
        let fuses = read >= self.plant.model.reads.len();
        if case.is_none() || fuses {
            self.without_fault(&keys);
        }
        let case = case.map(|case| {
            self.with_fault(case, &keys);
            &*case
        });
        let healthy = |key: &Key| self.healthy.solved.get(&(key.0.clone(), Vec::new())).cloned();
        for (at, draft) in drafts {
            let found = |key: &Key| match case {
                Some(case) => case.solved.get(key).cloned(),
                None => healthy(key),
            };
            let leaf = Leaf {
                rough: draft.rough,
                solved: draft.keys.iter().filter_map(found).collect(),
                before: draft.keys.first().filter(|_| fuses).and_then(healthy),
                points: Arc::new(draft.points),
            };
            if let Some(place) = tree.nodes.get_mut(at) {
                *place = Branch::Leaf(leaf);
            }
        }
    }

    /// Where looking begins: a read's points, and where the fault touches, since what closes there draws down all that is read.
    pub(super) fn begin(&self, case: Option<&Case>, read: usize) -> Vec<Node> {
        let mut from = match self.plant.model.reads.get(read) {
            Some(Read::Cavity { at, ground, .. }) => vec![*at, *ground],
            Some(Read::Across { ends, .. }) => ends.to_vec(),
            None => Vec::new(),
        };
        if let Some((one, other)) = case.and_then(|c| c.touching) {
            from.extend([one, other]);
        }
        from
    }

    fn branch(&mut self, case: Option<&Case>, from: &[Node], way: &[(usize, bool)], deeper: bool) -> Found {
        let mut decided: Decided = vec![None; self.plant.model.movers.len()];
        for (mover, on) in way {
            if let Some(place) = decided.get_mut(*mover) {
                *place = Some(*on);
            }
        }
        let mut marks = std::mem::take(&mut self.marks);
        let graph = case.map_or(&self.healthy.graph, |c| &c.graph);
        // Only of the circuit without a fault it is asked later which points take part.
        let mut points = Vec::new();
        // What nobody tells is tried both ways once the rest is decided.
        let plant = self.plant;
        let mut untold = Untold {
            is: &|mover| plant.is_nobody(mover),
            found: Vec::new(),
        };
        let of = case.is_none().then_some(&mut points);
        let found = if way.is_empty() && case.is_some() && idle(graph, from, &mut marks) {
            Step::Done
        } else {
            step(graph, from, &mut decided, &mut untold, &mut marks, of)
        };
        let nobody = untold.found;
        self.marks = marks;
        let mut rough = match found {
            Step::Decide(mover) if deeper => return Found::Decide(mover),
            Step::Decide(_) => true,
            Step::Done => false,
        };
        if rough && case.is_none() {
            // Everything may take part.
            points = (0..).take(self.healthy.graph.conductor.len()).collect();
        }
        let mut extremes = vec![decided.clone()];
        if rough {
            let fuse = |at: usize| self.plant.is_fuse(at);
            let all = decided.iter().enumerate();
            extremes.push(all.map(|(at, d)| d.or(Some(!fuse(at)))).collect());
        }
        // Looked at closely, more are tried each both ways too, and all together.
        let together = nobody.len() > MOST_UNTOLD;
        let closely = self.deepest == usize::MAX;
        rough |= together && !closely;
        let mut each: Vec<Vec<usize>> = Vec::new();
        if !together || closely {
            each.extend(nobody.iter().map(|one| vec![*one]));
        }
        if together {
            each.push(nobody);
        }
        let sides = extremes.len();
        for movers in each {
            let on: Vec<Decided> = extremes
                .iter()
                .take(sides)
                .map(|decided| {
                    let mut on = decided.clone();
                    for mover in &movers {
                        if let Some(place) = on.get_mut(*mover) {
                            *place = Some(true);
                        }
                    }
                    on
                })
                .collect();
            extremes.extend(on);
        }
        if rough && self.rough == Rough::Unsure {
            extremes.clear();
        }
        Found::Leaf(Draft {
            rough,
            keys: extremes.iter().map(|decided| self.split(decided)).collect(),
            points,
        })
    }

    pub(super) fn split(&self, decided: &Decided) -> Key {
        let on = decided
            .iter()
            .enumerate()
            .filter(|(_, d)| **d == Some(true))
            .map(|(at, _)| at as u32);
        on.partition(|at| !self.plant.is_fuse(*at as usize))
    }

    fn without_fault(&mut self, keys: &[Key]) {
        let mut healthy = std::mem::take(&mut self.healthy.solved);
        let keys = keys.iter().map(|(on, _)| (on.clone(), Vec::new()));
        let mut missing: Vec<Key> = Vec::new();
        for key in keys {
            if healthy.contains_key(&key) {
                continue;
            }
            match self.base(&key.0) {
                Some(base) => {
                    healthy.insert(key, Arc::clone(base.healthy()));
                }
                None => missing.push(key),
            }
        }
        self.solve(missing, &[], None, &mut healthy);
        self.healthy.solved = healthy;
    }

    fn with_fault(&mut self, case: &mut Case, keys: &[Key]) {
        let mut missing: Vec<Key> = Vec::new();
        for key in keys {
            if case.solved.contains_key(key) {
                continue;
            }
            match self.base(&key.0) {
                Some(base) => {
                    let solved = base.solve(self.plant, &key.1, &case.gone, case.touching);
                    case.solved.insert(key.clone(), Arc::new(solved));
                }
                None => missing.push(key.clone()),
            }
        }
        self.solve(missing, &case.gone, case.touching, &mut case.solved);
    }

    fn solve(
        &mut self,
        mut keys: Vec<Key>,
        gone: &[Element],
        touching: Option<(Node, Node)>,
        into: &mut HashMap<Key, Arc<Solved>>,
    ) {
        keys.sort_unstable();
        keys.dedup();
        if keys.len() <= FEW {
            keys.retain(|key| {
                let found = self.near(key, gone, touching);
                let left = found.is_none();
                into.extend(found.map(|found| (key.clone(), Arc::new(found))));
                left
            });
        }
        let alike = self.bases.first().map(|b| b.network);
        let solved = self.plant.solve_many(&keys, gone, touching, alike);
        self.left = self.left.saturating_sub(keys.len());
        into.extend(keys.into_iter().zip(solved.into_iter().map(Arc::new)));
    }

    /// Solved from the circuit made ready that is nearest.
    fn near(&self, (on, blown): &Key, gone: &[Element], touching: Option<(Node, Node)>) -> Option<Solved> {
        let moved = |base: &'p Base<'p>| Some((base, self.plant.moving.between(&base.on, on)?));
        let all = self.bases.iter().filter_map(moved);
        let (base, moved) = all.min_by_key(|(_, moved)| moved.len())?;
        Some(base.solve_moved(self.plant, moved, blown, gone, touching))
    }

    pub(super) fn base(&self, on: &OnSet) -> Option<&'p Base<'p>> {
        let at = self.bases.binary_search_by(|base| base.on.cmp(on)).ok()?;
        self.bases.get(at)
    }
}
