//! What decides a read: the few movers that do, found branch by branch, and the solution at each leaf.

use super::*;

impl<'p> Run<'p> {
    /// The leaves that some combination reaches as the movers stand, with these combinations.
    pub(super) fn leaves(
        &mut self,
        mut case: Option<&mut Case>,
        tree: &mut Tree,
        read: usize,
        movers: &[May],
    ) -> Vec<(Function, usize)> {
        let from = self.begin(case.as_deref(), read);
        if tree.nodes.is_empty() {
            tree.nodes.push(Branch::Unknown);
        }
        let mut out = Vec::new();
        let mut waiting = vec![(0usize, self.domain, Vec::<(usize, bool)>::new())];
        while let Some((at, set, way)) = waiting.pop() {
            if let Some(Branch::Unknown) = tree.nodes.get(at) {
                let branch = self.branch(case.as_deref_mut(), &from, &way, tree);
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
        out
    }

    /// Where looking begins: a read's points, or where the fault touches.
    pub(super) fn begin(&self, case: Option<&Case>, read: usize) -> Vec<Node> {
        match self.plant.model.reads.get(read) {
            Some(Read::Cavity { at, ground, .. }) => vec![*at, *ground],
            Some(Read::Across { ends, .. }) => ends.to_vec(),
            None => case
                .and_then(|c| c.touching)
                .map_or_else(Vec::new, |(one, other)| vec![one, other]),
        }
    }

    pub(super) fn branch(
        &mut self,
        case: Option<&mut Case>,
        from: &[Node],
        way: &[(usize, bool)],
        tree: &mut Tree,
    ) -> Branch {
        let mut decided: Decided = vec![None; self.plant.model.movers.len()];
        for (mover, on) in way {
            if let Some(place) = decided.get_mut(*mover) {
                *place = Some(*on);
            }
        }
        let graph = case.as_ref().map_or(&self.healthy.graph, |c| &c.graph);
        // What nobody tells is tried both ways once the rest is decided.
        let mut nobody = Vec::new();
        let found = loop {
            match step(graph, from, &decided) {
                Step::Decide(mover) if self.plant.is_nobody(mover) => {
                    nobody.push(mover);
                    if let Some(place) = decided.get_mut(mover) {
                        *place = Some(false);
                    }
                }
                found => break found,
            }
        };
        let mut rough = false;
        let points = match found {
            Step::Decide(mover) if way.len() < self.deepest && self.left > 0 => {
                let next = tree.nodes.len();
                tree.nodes.extend([Branch::Unknown, Branch::Unknown]);
                if !tree.movers.contains(&mover) {
                    tree.movers.push(mover);
                }
                return Branch::Decide {
                    mover,
                    off: next,
                    on: next + 1,
                };
            }
            // Everything may take part.
            Step::Decide(_) => {
                rough = true;
                (0..).take(graph.conductor.len()).collect()
            }
            Step::Done(points) => points,
        };
        let mut extremes = vec![decided.clone()];
        if rough {
            let fuse = |at: usize| self.plant.is_fuse(at);
            let all = decided.iter().enumerate();
            extremes.push(all.map(|(at, d)| d.or(Some(!fuse(at)))).collect());
        }
        let together = nobody.len() > MOST_UNTOLD;
        rough |= together;
        let each = if together {
            vec![nobody]
        } else {
            nobody.into_iter().map(|one| vec![one]).collect()
        };
        for movers in each {
            let on: Vec<Decided> = extremes
                .iter()
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
        let mut before = None;
        let mut solved = Vec::new();
        match case {
            None => {
                for decided in &extremes {
                    solved.push(self.without_fault(decided));
                }
            }
            Some(case) => {
                for decided in &extremes {
                    before.get_or_insert_with(|| self.without_fault(decided));
                    solved.push(self.with_fault(case, decided));
                }
            }
        }
        let before = before.or_else(|| solved.first().cloned()).unwrap_or_else(unknown);
        Branch::Leaf(Leaf {
            rough,
            solved,
            before,
            points: Arc::new(points),
        })
    }

    pub(super) fn split(&self, decided: &Decided) -> (OnSet, Vec<u32>) {
        let on = decided
            .iter()
            .enumerate()
            .filter(|(_, d)| **d == Some(true))
            .map(|(at, _)| at as u32);
        on.partition(|at| !self.plant.is_fuse(*at as usize))
    }

    pub(super) fn without_fault(&mut self, decided: &Decided) -> Arc<Solved> {
        let (on, _) = self.split(decided);
        let key = (on, Vec::new());
        if let Some(known) = self.healthy.solved.get(&key) {
            return Arc::clone(known);
        }
        let solved = match self.base(&key.0) {
            Some(base) => Arc::clone(base.healthy()),
            None => Arc::new(
                self.plant
                    .solve(&key.0, &[], &[], None, self.bases.first().map(|b| b.network)),
            ),
        };
        self.left = self.left.saturating_sub(1);
        self.healthy.solved.insert(key, Arc::clone(&solved));
        solved
    }

    pub(super) fn with_fault(&mut self, case: &mut Case, decided: &Decided) -> Arc<Solved> {
        let key = self.split(decided);
        if let Some(known) = case.solved.get(&key) {
            return Arc::clone(known);
        }
        let (on, blown) = &key;
        let solved = match self.base(on) {
            Some(base) => base.solve(self.plant, blown, &case.gone, case.touching),
            None => self.plant.solve(
                on,
                blown,
                &case.gone,
                case.touching,
                self.bases.first().map(|b| b.network),
            ),
        };
        let solved = Arc::new(solved);
        self.left = self.left.saturating_sub(1);
        case.solved.insert(key, Arc::clone(&solved));
        solved
    }

    pub(super) fn base(&self, on: &OnSet) -> Option<&'p Base<'p>> {
        let at = self.bases.binary_search_by(|base| base.on.cmp(on)).ok()?;
        self.bases.get(at)
    }
}

fn unknown() -> Arc<Solved> {
    Arc::new(Solved {
        reads: Vec::new(),
        volts: Vec::new(),
        fuse_a: Vec::new(),
    })
}
