//! Order of elimination.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Vertices in order of elimination, each with the neighbours it had when its turn came.
#[derive(Debug)]
pub(crate) struct Elimination {
    pub(crate) order: Vec<u32>,
    pub(crate) fronts: Vec<Vec<u32>>,
}

/// Eliminates the vertex with the fewest neighbours first, the lowest number among equals.
///
/// `adjacent[v]` lists the neighbours of `v`, sorted, without doubles and without `v` itself.
pub(crate) fn minimum_degree(mut adjacent: Vec<Vec<u32>>) -> Elimination {
    let count = adjacent.len();
    let mut queue: BinaryHeap<Reverse<(usize, u32)>> = (0u32..)
        .zip(&adjacent)
        .map(|(v, near)| Reverse((near.len(), v)))
        .collect();
    let mut gone = vec![false; count];
    let mut result = Elimination {
        order: Vec::with_capacity(count),
        fronts: Vec::with_capacity(count),
    };
    let mut merged = Vec::new();
    while let Some(Reverse((degree, vertex))) = queue.pop() {
        let at = vertex as usize;
        if gone[at] || degree != adjacent[at].len() {
            continue;
        }
        gone[at] = true;
        let front = std::mem::take(&mut adjacent[at]);
        for &near in &front {
            let list = &mut adjacent[near as usize];
            let before = list.len();
            merge_without(list, &front, [vertex, near], &mut merged);
            std::mem::swap(list, &mut merged);
            if list.len() != before {
                queue.push(Reverse((list.len(), near)));
            }
        }
        result.order.push(vertex);
        result.fronts.push(front);
    }
    result
}

impl Elimination {
    /// Moves what stands still before what moves, and says how much stands still. A vertex moves if `moves` says
    /// so of it or of one that is eliminated before it and reaches it: its values then change with it. The fronts
    /// are the same in both orders, since nothing that stands still has one that moves before it.
    pub(crate) fn still_first(&mut self, mut moves: Vec<bool>) -> usize {
        let mut place = vec![0; self.order.len()];
        for (at, &vertex) in self.order.iter().enumerate() {
            place[vertex as usize] = at;
        }
        for (&vertex, front) in self.order.iter().zip(&self.fronts) {
            let next = front.iter().min_by_key(|&&near| place[near as usize]);
            if let (true, Some(&next)) = (moves[vertex as usize], next) {
                moves[next as usize] = true;
            }
        }
        let pairs = self.order.drain(..).zip(self.fronts.drain(..));
        let (moving, still): (Vec<_>, Vec<_>) = pairs.partition(|(vertex, _)| moves[*vertex as usize]);
        let count = still.len();
        (self.order, self.fronts) = still.into_iter().chain(moving).unzip();
        count
    }
}

/// Merges two sorted lists into `into`, leaving out doubles and the two vertices of `but`.
fn merge_without(left: &[u32], right: &[u32], but: [u32; 2], into: &mut Vec<u32>) {
    into.clear();
    let (mut i, mut j) = (0, 0);
    while i < left.len() || j < right.len() {
        let next = match (left.get(i), right.get(j)) {
            (Some(&a), Some(&b)) => a.min(b),
            (Some(&a), None) | (None, Some(&a)) => a,
            (None, None) => break,
        };
        if left.get(i) == Some(&next) {
            i += 1;
        }
        if right.get(j) == Some(&next) {
            j += 1;
        }
        if !but.contains(&next) {
            into.push(next);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_leaves_no_fill() {
        let mut adjacent = vec![(1..6).collect::<Vec<u32>>()];
        adjacent.extend(std::iter::repeat_n(vec![0], 5));
        let result = minimum_degree(adjacent);
        assert_eq!(result.order.len(), 6);
        assert!(result.fronts.iter().all(|front| front.len() <= 1));
    }

    #[test]
    fn a_ring_fills_to_triangles_only() {
        let n = 12u32;
        let adjacent = (0..n)
            .map(|v| {
                let mut near = vec![(v + 1) % n, (v + n - 1) % n];
                near.sort_unstable();
                near
            })
            .collect();
        let result = minimum_degree(adjacent);
        let mut order = result.order.clone();
        order.sort_unstable();
        assert_eq!(order, (0..n).collect::<Vec<_>>());
        assert!(result.fronts.iter().all(|front| front.len() <= 2));
    }

    #[test]
    fn what_stands_still_comes_first_and_nothing_else_changes() {
        // A chain 0-1-2-3-4 with a leaf 5 at 2; 3 moves.
        let adjacent = vec![vec![1], vec![0, 2], vec![1, 3, 5], vec![2, 4], vec![3], vec![2]];
        let plain = minimum_degree(adjacent.clone());
        let mut moved = minimum_degree(adjacent);
        let mut moves = vec![false; 6];
        moves[3] = true;
        let still = moved.still_first(moves);
        assert!((1..6).contains(&still), "{still}");
        assert!(!moved.order[..still].contains(&3));
        for (vertex, front) in moved.order.iter().zip(&moved.fronts) {
            let at = plain.order.iter().position(|v| v == vertex).unwrap();
            assert_eq!(&plain.fronts[at], front);
        }
        for (at, front) in moved.fronts.iter().enumerate() {
            let later = |near: &u32| moved.order[at..].contains(near);
            assert!(front.iter().all(later), "{:?}", moved.order);
        }
    }
}
