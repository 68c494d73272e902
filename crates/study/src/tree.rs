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
#[derive(Clone, Copy, Debug, PartialEq)]
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
    /// First node of the part of the network to which a node belongs.
    root: Vec<NodeId>,
    /// Sum of the subtree.
    below: Vec<T>,
    /// Sum of everything but the subtree.
    above: Vec<T>,
    own: &'n [T],
}

/// The cuts of a network; each is looked up when it is wanted.
pub struct Cuts<'n, T> {
    walk: Walk<'n, T>,
}

/// Sums both sides of every link for which `walks` holds. `own` is what stands at each node; `through` says
/// what of a sum gets across a link, such as no more than a fuse lets pass.
///
/// The sums of a bridge are those at its two nodes with the link itself taken out. In a part of the network
/// that holds a ring, sums that pass the ring count the way of the walk only; look for [`Cut::Ring`] before
/// trusting them for more than what hangs together.
pub fn cuts<'n, T: Sum>(
    network: &'n Network,
    walks: impl Fn(LinkId, &Link) -> bool,
    through: impl Fn(LinkId, T) -> T,
    own: &'n [T],
) -> Cuts<'n, T> {
    let count = network.node_count();
    debug_assert_eq!(own.len(), count);
    let mut walk = Walk {
        network,
        found: vec![0; count],
        low: vec![0; count],
        parent: vec![None; count],
        order: Vec::with_capacity(count),
        root: vec![NodeId(0); count],
        below: own.to_vec(),
        above: vec![T::default(); count],
        own,
    };
    for (root, _) in network.nodes() {
        if at(&walk.found, root) == 0 {
            let first = walk.order.len();
            walk.descend(root, &walks);
            walk.sum_up(first, &through);
            walk.sum_down(first, &walks, &through);
        }
    }
    Cuts { walk }
}

impl<T: Sum> Cuts<'_, T> {
    /// What a link parts. Links that were not walked are told by their nodes: one that the walk left out parts
    /// nothing, so the caller asks only for links that it walked.
    pub fn of(&self, id: LinkId) -> Cut<&T> {
        let walk = &self.walk;
        let Some(link) = walk.network.link(id) else { return Cut::Outside };
        let child = if walk.leads_down(link.a, link.b, id) {
            link.b
        } else if walk.leads_down(link.b, link.a, id) {
            link.a
        } else {
            let root = walk.root.get(link.a.index()).copied().unwrap_or(link.a);
            return walk.below.get(root.index()).map_or(Cut::Outside, Cut::Ring);
        };
        match (walk.below.get(child.index()), walk.above.get(child.index())) {
            (Some(below), Some(above)) if link.a == child => Cut::Bridge(below, above),
            (Some(below), Some(above)) => Cut::Bridge(above, below),
            _ => Cut::Outside,
        }
    }

    /// Whether a link lies in a ring.
    pub fn is_ring(&self, id: LinkId) -> bool {
        matches!(self.of(id), Cut::Ring(_))
    }
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
        self.discover(root, None, root);
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
                    self.discover(other, Some((node, id)), root);
                    stack.push((other, 0));
                }
                earlier => {
                    let lower = at(&self.low, node).min(earlier);
                    set(&mut self.low, node, lower);
                }
            }
        }
    }

    fn discover(&mut self, node: NodeId, parent: Option<(NodeId, LinkId)>, root: NodeId) {
        self.order.push(node);
        let number = u32::try_from(self.order.len()).unwrap_or(u32::MAX);
        set(&mut self.found, node, number);
        set(&mut self.low, node, number);
        set(&mut self.parent, node, parent);
        set(&mut self.root, node, root);
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

    /// Whether a link leads from a node down to a child that nothing else joins to what is above.
    fn leads_down(&self, up: NodeId, child: NodeId, id: LinkId) -> bool {
        self.parent.get(child.index()).copied().flatten() == Some((up, id))
            && at(&self.low, child) > at(&self.found, up)
    }
}
