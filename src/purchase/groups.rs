//! Groups of positions that share nothing with each other, whatever suppliers are ordered from.

use super::model::Model;

/// Classes, rows and sources that hang together.
#[derive(Debug, Clone, Default)]
pub(super) struct Group {
    pub(super) classes: Vec<usize>,
    pub(super) rows: Vec<usize>,
    pub(super) sources: Vec<usize>,
    /// Suppliers of its sources, a bit each.
    pub(super) mask: u64,
}

/// Classes that share rows, and rows that share sources, belong together.
pub(super) fn groups(model: &Model) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for (c, class) in model.classes.iter().enumerate() {
        let mut group = Group { classes: vec![c], ..Group::default() };
        for (r, _) in class.ways.iter().flat_map(|w| w.uses.iter()) {
            add(&mut group.rows, *r);
            for s in &model.rows[*r].any_of {
                add(&mut group.sources, *s);
            }
        }
        let (touching, apart): (Vec<Group>, Vec<Group>) =
            groups.into_iter().partition(|g| g.sources.iter().any(|s| group.sources.contains(s)));
        for other in touching {
            group.classes.extend(other.classes);
            other.rows.into_iter().for_each(|r| add(&mut group.rows, r));
            other.sources.into_iter().for_each(|s| add(&mut group.sources, s));
        }
        groups = apart;
        groups.push(group);
    }
    for group in &mut groups {
        group.classes.sort_unstable();
        group.rows.sort_unstable();
        group.sources.sort_unstable();
        group.mask = group.sources.iter().filter_map(|s| model.sources[*s].sup).fold(0, |m, v| m | 1 << v);
    }
    groups
}

fn add(list: &mut Vec<usize>, item: usize) {
    if !list.contains(&item) {
        list.push(item);
    }
}
