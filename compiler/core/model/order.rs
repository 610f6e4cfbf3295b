//! The order of a set: what `after` asks, and the order of the files where it asks nothing.

use std::collections::BTreeSet;

/// Positions of the nodes in an order that puts `after[n]` before `n`, and otherwise keeps to the nodes' own order. Nodes of a cycle
/// come last, as they stand; the cycle is given in the order in which each waits for the next.
pub fn sort(after: &[Vec<usize>]) -> (Vec<usize>, Option<Vec<usize>>) {
    let mut waits: Vec<usize> = after.iter().map(Vec::len).collect();
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); after.len()];
    for (node, firsts) in after.iter().enumerate() {
        for first in firsts {
            if let Some(list) = before.get_mut(*first) {
                list.push(node);
            }
        }
    }
    let mut ready = places(&waits, |count| count == 0);
    let mut order = Vec::with_capacity(after.len());
    while let Some(node) = ready.pop_first() {
        order.push(node);
        for next in before.get(node).into_iter().flatten() {
            let Some(count) = waits.get_mut(*next) else { continue };
            *count -= 1;
            if *count == 0 {
                ready.insert(*next);
            }
        }
    }
    let left = places(&waits, |count| count > 0);
    let cycle = left.first().map(|start| cycle_from(*start, after, &left));
    order.extend(left);
    (order, cycle)
}

/// The nodes that wait for so many.
fn places(waits: &[usize], is: fn(usize) -> bool) -> BTreeSet<usize> {
    let counts = waits.iter().enumerate();
    counts.filter(|(_, count)| is(**count)).map(|(node, _)| node).collect()
}

/// Follows unfinished nodes until one comes round again.
fn cycle_from(start: usize, after: &[Vec<usize>], left: &BTreeSet<usize>) -> Vec<usize> {
    let mut path = vec![start];
    let next_of = |last: usize| after.get(last)?.iter().copied().find(|n| left.contains(n));
    let mut last = start;
    // A node that is left waits for at least one other that is left.
    while let Some(next) = next_of(last) {
        if let Some(at) = path.iter().position(|n| *n == next) {
            return path.split_off(at);
        }
        path.push(next);
        last = next;
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_files_order_stands_where_nothing_else_is_asked() {
        assert_eq!(sort(&[vec![2], vec![], vec![]]), (vec![1, 2, 0], None));
    }

    #[test]
    fn a_cycle_is_found_and_what_waits_for_it_is_not_part_of_it() {
        let (order, cycle) = sort(&[vec![1], vec![2], vec![1], vec![]]);
        assert_eq!(order, vec![3, 0, 1, 2]);
        assert_eq!(cycle, Some(vec![1, 2]));
        assert_eq!(sort(&[vec![0]]).1, Some(vec![0]));
    }
}
