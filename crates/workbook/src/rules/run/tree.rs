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
    /// Strong sources that are not decided there, and loads where fuses are looked at, by their places in the plant's lists.
    lifting: Vec<usize>,
}

impl<'p> Run<'p> {
    /// The leaves that some combination reaches as the movers stand, with these combinations.
    pub(super) fn leaves(
        &mut self,
        mut case: Option<&mut Case>,
        tree: &mut Tree,
        read: usize,
        movers: &[May],
    ) -> Leaves {
        let stands = |(mover, may): &(usize, May)| movers.get(*mover) == Some(may);
        let known = tree.walks.iter();
        let asked = (self.domain, self.rough, self.is_close());
        let mut known = known
            .filter(|walk| (walk.domain, walk.rough, walk.close) == asked && walk.stood.iter().all(stands));
        if let Some(known) = known.next() {
            return Arc::clone(&known.leaves);
        }
        let from = case
            .as_deref()
            .and_then(|case| case.fit.begin.get(&read).cloned());
        let from = from.unwrap_or_else(|| self.begin(case.as_deref(), read));
        if tree.nodes.is_empty() {
            tree.nodes.push(Branch::Unknown);
        }
        let deepest = match (&case, self.rough) {
            (Some(_), Rough::Unsure) => self.deepest.min(AT_FIRST),
            _ => self.deepest,
        };
        let (mut out, mut drafts) = (Vec::new(), Vec::<(usize, Draft)>::new());
        // The way to where the walk is; each that waits says how long its own is before its last step.
        let (mut way, mut apart) = (Vec::<(usize, bool)>::new(), true);
        let mut waiting = vec![(0usize, self.domain, 0usize, None)];
        while let Some((at, set, before, last)) = waiting.pop() {
            way.truncate(before);
            way.extend(last);
            let unknown = match tree.nodes.get(at) {
                Some(Branch::Unknown) => true,
                // What was left unsolved as not sure is solved when it is asked for, and what is rough looked at closely.
                Some(Branch::Leaf(leaf)) => {
                    leaf.rough && self.is_close() || leaf.solved.is_empty() && self.rough == Rough::Extremes
                }
                _ => false,
            };
            if unknown {
                if self.is_close() && drafts.len() > MOST_LEAVES.min(self.left) {
                    (self.gave_up, self.met_rough) = (true, true);
                    return Leaves::default();
                }
                let deeper = way.len() < deepest;
                let branch = match self.branch(case.as_deref(), (read, &from), &way, deeper) {
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
            let both = self.diagrams.and(may.on, may.off);
            apart &= self.diagrams.and(both, set) == FALSE;
            for (to, taken, where_to) in [(off, false, may.off), (on, true, may.on)] {
                let part = self.diagrams.and(set, where_to);
                if part != FALSE {
                    waiting.push((to, part, way.len(), Some((mover, taken))));
                }
            }
        }
        self.fill(case.as_deref_mut(), tree, &drafts, read);
        apart &= self.lift(case, tree, drafts, (read, movers), &mut out);
        let leaves = Arc::new(out);
        let stood = tree.movers.iter();
        let stood = stood.filter_map(|at| Some((*at, *movers.get(*at)?)));
        let walk = Walked {
            domain: self.domain,
            rough: self.rough,
            close: self.is_close(),
            apart,
            stood: stood.collect(),
            leaves: Arc::clone(&leaves),
            levels: Vec::new(),
        };
        if tree.walks.len() >= MOST_WALKS {
            tree.walks.remove(0);
        }
        tree.walks.push(walk);
        leaves
    }

    /// Solves what leaves rest on, all of them together.
    fn fill(&mut self, case: Option<&mut Case>, tree: &mut Tree, drafts: &[(usize, Draft)], read: usize) {
        let keys: Vec<&Key> = drafts.iter().flat_map(|(_, draft)| &draft.keys).collect();
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
                doubtful: false,
                solved: draft.keys.iter().filter_map(found).collect(),
                before: draft.keys.first().filter(|_| fuses).and_then(healthy),
                points: Arc::new(draft.points.clone()),
            };
            if let Some(place) = tree.nodes.get_mut(*at) {
                *place = Branch::Leaf(leaf);
            }
        }
    }

    /// Has strong sources decide, too, where they could lift what is read over a threshold: they stand beside what holds it, so that
    /// nothing else asks for them. Of fuses it has loads decide besides, where a source or they say whether one opens. Says whether no
    /// combination reaches two of the leaves then.
    fn lift(
        &mut self,
        mut case: Option<&mut Case>,
        tree: &mut Tree,
        mut drafts: Vec<(usize, Draft)>,
        (read, movers): (usize, &[May]),
        out: &mut Vec<(Function, usize)>,
    ) -> bool {
        let reads = 0..self.plant.model.reads.len();
        let whose: Vec<usize> = match &case {
            Some(case) if reads.contains(&read) => reads.filter(|at| case.tree_of(*at) == read).collect(),
            _ => vec![read],
        };
        let fuses = read >= self.plant.model.reads.len();
        let sways = self.plant.sways(fuses);
        let (mut apart, mut parted) = (true, 0);
        while let Some((at, mut draft)) = drafts.pop() {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(at) else {
                continue;
            };
            let Some(source) = draft.lifting.pop().and_then(|at| sways.get(at)) else {
                continue;
            };
            let solved = leaf
                .solved
                .first()
                .filter(|_| !leaf.rough && !leaf.solved.iter().any(|s| s.unknown));
            let decides = solved.map(|solved| match &leaf.before {
                Some(before) if fuses => self.plant.sways_fuses(before, solved, source, &draft.lifting),
                _ => Some(whose.iter().any(|at| self.plant.is_near(solved, *at, source))),
            });
            let mover = source.mover;
            match decides.flatten() {
                Some(true) if fuses && parted >= MOST_SWAYED => {
                    let doubtful = Leaf {
                        doubtful: true,
                        ..leaf.clone()
                    };
                    if let Some(place) = tree.nodes.get_mut(at) {
                        *place = Branch::Leaf(doubtful);
                    }
                    continue;
                }
                Some(true) => parted += 1,
                Some(false) => {
                    drafts.push((at, draft));
                    continue;
                }
                None => continue,
            }
            let (Some(may), Some(place)) = (movers.get(mover).copied(), out.iter().position(|o| o.1 == at))
            else {
                continue;
            };
            let (set, _) = out.swap_remove(place);
            let (with, without) = (self.diagrams.and(set, may.on), self.diagrams.and(set, may.off));
            apart &= self.diagrams.and(with, without) == FALSE;
            // What no combination reaches is left until one does.
            let (off, on) = (tree.nodes.len(), tree.nodes.len() + 1);
            let as_it_is = Branch::Leaf(leaf.clone());
            tree.nodes.extend([Branch::Unknown, Branch::Unknown]);
            if let Some(place) = tree.nodes.get_mut(at) {
                *place = Branch::Decide { mover, off, on };
            }
            if !tree.movers.contains(&mover) {
                tree.movers.push(mover);
            }
            if with != FALSE {
                out.push((with, on));
                let mut moved = Draft {
                    rough: false,
                    keys: draft.keys.clone(),
                    points: draft.points.clone(),
                    lifting: draft.lifting.clone(),
                };
                for (set, _) in &mut moved.keys {
                    set.push(mover as u32);
                    set.sort_unstable();
                }
                let moved = [(on, moved)];
                self.fill(case.as_deref_mut(), tree, &moved, read);
                drafts.extend(moved);
            }
            if without != FALSE {
                out.push((without, off));
                if let Some(place) = tree.nodes.get_mut(off) {
                    *place = as_it_is;
                }
                drafts.push((off, draft));
            }
        }
        apart
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

    fn branch(
        &mut self,
        case: Option<&Case>,
        (read, from): (usize, &[Node]),
        way: &[(usize, bool)],
        deeper: bool,
    ) -> Found {
        let mut decided: Decided = vec![None; self.plant.model.movers.len()];
        for (mover, on) in way {
            if let Some(place) = decided.get_mut(*mover) {
                *place = Some(*on);
            }
        }
        let mut marks = std::mem::take(&mut self.marks);
        let graph = case.map_or(&self.healthy.fit.graph, |c| &c.fit.graph);
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
            let found = step(graph, from, &mut decided, &mut untold, &mut marks, of);
            let beside = case.iter().flat_map(|case| &case.fit.beside);
            let mut open = beside.filter(|fuse| matches!(decided.get(**fuse as usize), Some(None)));
            match (found, open.next()) {
                (Step::Done, Some(fuse)) => Step::Decide(*fuse as usize),
                (found, _) => found,
            }
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
            points = (0..).take(self.healthy.fit.graph.conductor.len()).collect();
        }
        let open = |mover: usize| matches!(decided.get(mover), Some(None));
        let fuses = read >= self.plant.model.reads.len();
        let sways = self.plant.sways(fuses).iter().enumerate();
        let lifting = sways.filter(|(_, sways)| open(sways.mover)).map(|(at, _)| at);
        let lifting = lifting.collect();
        let mut extremes = vec![decided.clone()];
        if rough {
            let fuse = |at: usize| self.plant.is_fuse(at);
            let all = decided.iter().enumerate();
            extremes.push(all.map(|(at, d)| d.or(Some(!fuse(at)))).collect());
        }
        // Looked at closely, more are tried each both ways too, and all together.
        let together = nobody.len() > MOST_UNTOLD;
        let closely = self.is_close();
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
            lifting: if rough { Vec::new() } else { lifting },
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

    fn without_fault(&mut self, keys: &[&Key]) {
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

    fn with_fault(&mut self, case: &mut Case, keys: &[&Key]) {
        let mut missing: Vec<Key> = Vec::new();
        for key in keys {
            if case.solved.contains_key(*key) {
                continue;
            }
            match self.base(&key.0) {
                Some(base) => {
                    let solved = base.solve(self.plant, &key.1, &case.gone, case.touching);
                    case.solved.insert((*key).clone(), Arc::new(solved));
                }
                None => missing.push((*key).clone()),
            }
        }
        self.solve(missing, &case.gone, case.touching, &mut case.solved);
    }

    fn solve(
        &mut self,
        mut keys: Vec<Key>,
        gone: &[Element],
        touching: Option<(Node, Node)>,
        into: &mut Quick<Key, Arc<Solved>>,
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
        let far = |base: &'p Base<'p>| Some((self.plant.moving.far(&base.on, on)?, base));
        let (_, base) = self.bases.iter().filter_map(far).min_by_key(|(far, _)| *far)?;
        let moved = self.plant.moving.between(&base.on, on)?;
        Some(base.solve_moved(self.plant, moved, blown, gone, touching))
    }

    pub(super) fn base(&self, on: &OnSet) -> Option<&'p Base<'p>> {
        let at = self.bases.binary_search_by(|base| base.on.cmp(on)).ok()?;
        self.bases.get(at)
    }
}
