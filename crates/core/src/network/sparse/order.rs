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
}
