//! Names of things, found fast, and chains of them followed to their end.

use std::collections::{BTreeMap, HashMap, HashSet};

/// Names of one kind, in the order of the document.
#[derive(Default)]
pub(super) struct Names<'a> {
    list: Vec<&'a str>,
    set: HashSet<&'a str>,
}

impl<'a> FromIterator<&'a str> for Names<'a> {
    fn from_iter<I: IntoIterator<Item = &'a str>>(names: I) -> Self {
        let list: Vec<&str> = names.into_iter().collect();
        let set = list.iter().copied().collect();
        Self { list, set }
    }
}

impl<'a> Names<'a> {
    pub fn contains(&self, name: &str) -> bool {
        self.set.contains(name)
    }

    pub fn list(&self) -> &[&'a str] {
        &self.list
    }
}

/// Things by name; of those with one name, the first.
pub(super) fn by_name<'a, T>(
    things: impl IntoIterator<Item = &'a T>,
    name: impl Fn(&'a T) -> &'a str,
) -> HashMap<&'a str, &'a T> {
    let mut found = HashMap::new();
    for thing in things {
        found.entry(name(thing)).or_insert(thing);
    }
    found
}

/// The names that lead back to themselves when each is followed to the `next`.
pub(super) fn in_rings<'a>(next: &BTreeMap<&'a str, &'a str>) -> Vec<&'a str> {
    let mut found = Vec::new();
    // Each name with the walk that came by first: every step is walked once.
    let mut walk_of: HashMap<&str, usize> = HashMap::new();
    for (walk, start) in next.keys().enumerate() {
        let mut here = *start;
        while let Some(to) = next.get(here)
            && !walk_of.contains_key(here)
        {
            walk_of.insert(here, walk);
            here = to;
        }
        if walk_of.get(here) == Some(&walk) {
            let first = here;
            loop {
                found.push(here);
                here = next[here];
                if here == first {
                    break;
                }
            }
        }
    }
    found.sort_unstable();
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rings(pairs: &[(&'static str, &'static str)]) -> Vec<&'static str> {
        in_rings(&pairs.iter().copied().collect())
    }

    #[test]
    fn a_chain_that_ends_is_no_ring() {
        assert!(rings(&[("a", "b"), ("b", "c"), ("d", "b")]).is_empty());
    }

    #[test]
    fn a_ring_is_found_from_inside_and_not_from_its_tail() {
        let pairs = [("a", "c"), ("b", "a"), ("c", "b"), ("tail", "a")];
        assert_eq!(rings(&pairs), ["a", "b", "c"]);
        assert_eq!(rings(&[("self", "self"), ("z", "self")]), ["self"]);
    }

    #[test]
    fn two_rings_are_both_found() {
        let pairs = [("a", "b"), ("b", "a"), ("c", "d"), ("d", "c"), ("e", "c")];
        assert_eq!(rings(&pairs), ["a", "b", "c", "d"]);
    }
}
