//! What stands on either side of every link, found in one walk over the whole network.
//!
//! A link whose removal parts the network is a *bridge*: its two sides are summed up. A link that lies in a
//! ring has no sides. One depth-first walk with the low-link numbers of Tarjan (1974) tells them apart;
//! sums are carried down and up the tree, so that the work grows with the size of the network and no faster.

use crate::network::{Link, LinkId, Network, NodeId};

/// Something that stands at nodes and can be summed.
pub trait Sum: Clone + Default {
    /// Adds another.
    fn add(&mut self, other: &Self);
}

/// What a link parts.
#[derive(Clone, Debug, PartialEq)]
pub enum Cut<T> {
    /// The sums on the side of the link's `a` and of its `b`.
    Bridge(T, T),
    /// The link lies in a ring; the sum of everything that hangs together with it.
    Ring(T),
    /// The link was not walked.
    Outside,
}

struct Walk<'n, T> {
    network: &'n Network,
    /// Order of discovery, from 1; 0 while not found.
    found: Vec<u32>,
    low: Vec<u32>,
    parent: Vec<Option<(NodeId, LinkId)>>,
    order: Vec<NodeId>,
    /// Sum of the subtree.
    below: Vec<T>,
    /// Sum of everything but the subtree.
    above: Vec<T>,
    own: Vec<T>,
}

/// Sums both sides of every link for which `walks` holds. `own` is what stands at each node; `through` says
/// what of a sum gets across a link, such as no more than a fuse lets pass.
///
/// The sums of a bridge are those at its two nodes with the link itself taken out. In a part of the network
/// that holds a ring, sums that pass the ring count the way of the walk only; ask [`Cut::Ring`] and
/// [`has_ring`] before trusting them for more than what hangs together.
pub fn cuts<T: Sum>(
    network: &Network,
    walks: impl Fn(LinkId, &Link) -> bool,
    through: impl Fn(LinkId, T) -> T,
    own: Vec<T>,
) -> Vec<Cut<T>> {
    let count = network.node_count();
    debug_assert_eq!(own.len(), count);
    let mut walk = Walk {
        network,
        found: vec![0; count],
        low: vec![0; count],
        parent: vec![None; count],
        order: Vec::with_capacity(count),
        below: own.clone(),
        above: vec![T::default(); count],
        own,
    };
    let mut cuts = vec![Cut::Outside; network.link_count()];
    for (root, _) in network.nodes() {
        if at(&walk.found, root) == 0 {
            let first = walk.order.len();
            walk.descend(root, &walks);
            walk.sum_up(first, &through);
            walk.sum_down(first, &walks, &through);
            walk.cut(first, root, &walks, &mut cuts);
        }
    }
    cuts
}

fn at<T: Copy + Default>(list: &[T], node: NodeId) -> T {
    list.get(node.index()).copied().unwrap_or_default()
}

fn set<T>(list: &mut [T], node: NodeId, value: T) {
    if let Some(slot) = list.get_mut(node.index()) {
        *slot = value;
    }
}

impl<T: Sum> Walk<'_, T> {
    /// Finds everything reachable from a root. The stack holds how far each node's links were looked at.
    fn descend(&mut self, root: NodeId, walks: &impl Fn(LinkId, &Link) -> bool) {
        let mut stack = vec![(root, 0_usize)];
        self.discover(root, None);
        while let Some((node, next)) = stack.pop() {
            let step = self.network.links_at(node).enumerate().skip(next).find(|(_, (id, link))| {
                walks(*id, link)
                    && link.a != link.b
                    && self.parent.get(node.index()).copied().flatten().is_none_or(|(_, up)| up != *id)
            });
            let Some((position, (id, link))) = step else {
                if let Some((up, _)) = self.parent.get(node.index()).copied().flatten() {
                    let lower = at(&self.low, up).min(at(&self.low, node));
                    set(&mut self.low, up, lower);
                }
                continue;
            };
            let other = link.other(node);
            stack.push((node, position + 1));
            match at(&self.found, other) {
                0 => {
                    self.discover(other, Some((node, id)));
                    stack.push((other, 0));
                }
                earlier => {
                    let lower = at(&self.low, node).min(earlier);
                    set(&mut self.low, node, lower);
                }
            }
        }
    }

    fn discover(&mut self, node: NodeId, parent: Option<(NodeId, LinkId)>) {
        self.order.push(node);
        let number = u32::try_from(self.order.len()).unwrap_or(u32::MAX);
        set(&mut self.found, node, number);
        set(&mut self.low, node, number);
        set(&mut self.parent, node, parent);
    }

    fn sum_up(&mut self, first: usize, through: &impl Fn(LinkId, T) -> T) {
        for i in (first..self.order.len()).rev() {
            let Some(node) = self.order.get(i).copied() else { continue };
            if let Some((up, link)) = self.parent.get(node.index()).copied().flatten() {
                let below = through(link, self.below.get(node.index()).cloned().unwrap_or_default());
                if let Some(sum) = self.below.get_mut(up.index()) {
                    sum.add(&below);
                }
            }
        }
    }

    /// At each node, everything but one child's subtree: what comes from above, the node's own, and the other
    /// children, taken as sums from the left and from the right so that nothing is ever subtracted.
    fn sum_down(
        &mut self,
        first: usize,
        walks: &impl Fn(LinkId, &Link) -> bool,
        through: &impl Fn(LinkId, T) -> T,
    ) {
        for i in first..self.order.len() {
            let Some(node) = self.order.get(i).copied() else { continue };
            let children = self.children(node, walks);
            if children.is_empty() {
                continue;
            }
            let mut from_left = self.own.get(node.index()).cloned().unwrap_or_default();
            if let Some((_, link)) = self.parent.get(node.index()).copied().flatten() {
                let above = self.above.get(node.index()).cloned().unwrap_or_default();
                from_left.add(&through(link, above));
            }
            let across = |walk: &Self, (child, link): (NodeId, LinkId)| {
                through(link, walk.below.get(child.index()).cloned().unwrap_or_default())
            };
            for child in &children {
                set(&mut self.above, child.0, from_left.clone());
                from_left.add(&across(self, *child));
            }
            let mut from_right = T::default();
            for child in children.iter().rev() {
                if let Some(above) = self.above.get_mut(child.0.index()) {
                    above.add(&from_right);
                }
                from_right.add(&across(self, *child));
            }
        }
    }

    fn children(&self, node: NodeId, walks: &impl Fn(LinkId, &Link) -> bool) -> Vec<(NodeId, LinkId)> {
        self.network
            .links_at(node)
            .filter(|(id, link)| walks(*id, link))
            .map(|(id, link)| (id, link.other(node)))
            .filter(|(id, other)| self.parent.get(other.index()).copied().flatten() == Some((node, *id)))
            .map(|(id, other)| (other, id))
            .collect()
    }

    fn cut(&self, first: usize, root: NodeId, walks: &impl Fn(LinkId, &Link) -> bool, cuts: &mut [Cut<T>]) {
        let whole = self.below.get(root.index()).cloned().unwrap_or_default();
        for node in self.order.iter().skip(first).copied() {
            for (id, link) in self.network.links_at(node).filter(|(id, link)| walks(*id, link)) {
                let Some(slot) = cuts.get_mut(id.index()) else { continue };
                if matches!(slot, Cut::Outside) {
                    *slot = self.cut_at(node, id, link, &whole);
                }
            }
        }
    }

    fn cut_at(&self, node: NodeId, id: LinkId, link: &Link, whole: &T) -> Cut<T> {
        let other = link.other(node);
        let down = |child: NodeId, up: NodeId| {
            self.parent.get(child.index()).copied().flatten() == Some((up, id))
                && at(&self.low, child) > at(&self.found, up)
        };
        let child = if down(other, node) {
            other
        } else if down(node, other) {
            node
        } else {
            return Cut::Ring(whole.clone());
        };
        let below = self.below.get(child.index()).cloned().unwrap_or_default();
        let above = self.above.get(child.index()).cloned().unwrap_or_default();
        if link.a == child { Cut::Bridge(below, above) } else { Cut::Bridge(above, below) }
    }
}
