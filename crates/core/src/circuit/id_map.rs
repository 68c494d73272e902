//! A map from ids to values that looks up in one step and goes through its entries in the order of ids.
//!
//! Ids come from one counter and are dense, so a list of slots by number is smaller and quicker than a tree.

use super::ids::{BlockId, PlaceId, RunId};

/// Greatest number that an id may have, so that a list of slots stays small whatever a file says.
pub const ID_LIMIT: u32 = 10_000_000;

/// An id that is a number.
pub trait Id: Copy + Ord {
    /// The number, from 1.
    fn number(self) -> u32;
}

impl Id for BlockId {
    fn number(self) -> u32 {
        Self::number(self)
    }
}
impl Id for RunId {
    fn number(self) -> u32 {
        Self::number(self)
    }
}
impl Id for PlaceId {
    fn number(self) -> u32 {
        Self::number(self)
    }
}

/// Values by id, in the order of ids.
#[derive(Clone, Debug)]
pub struct IdMap<K, V> {
    /// For each number one more than the position of its entry; 0 for none.
    slots: Vec<u32>,
    entries: Vec<(K, V)>,
}

impl<K: PartialEq, V: PartialEq> PartialEq for IdMap<K, V> {
    /// Equal when they hold the same entries; how many slots were ever needed does not count.
    fn eq(&self, other: &Self) -> bool {
        self.entries == other.entries
    }
}

impl<K, V> Default for IdMap<K, V> {
    fn default() -> Self {
        Self { slots: Vec::new(), entries: Vec::new() }
    }
}

impl<K: Id, V> IdMap<K, V> {
    /// Puts a value in, in place of an earlier one. Quick when ids come in rising order.
    pub fn insert(&mut self, id: K, value: V) -> Option<V> {
        if let Some(entry) = self.entry(id) {
            return Some(std::mem::replace(entry, value));
        }
        if id.number() > ID_LIMIT {
            debug_assert!(false, "ids beyond the limit are refused where they come in");
            return None;
        }
        let position = self.entries.partition_point(|(other, _)| *other < id);
        self.entries.insert(position, (id, value));
        self.number_from(position);
        None
    }

    /// Takes a value out.
    pub fn remove(&mut self, id: K) -> Option<V> {
        let position = self.position(id)?;
        let (_, value) = self.entries.remove(position);
        if let Some(slot) = self.slots.get_mut(id.number() as usize) {
            *slot = 0;
        }
        self.number_from(position);
        Some(value)
    }

    /// The value of an id.
    pub fn get(&self, id: K) -> Option<&V> {
        self.entries.get(self.position(id)?).map(|(_, value)| value)
    }

    /// The value of an id, to be changed.
    pub fn entry(&mut self, id: K) -> Option<&mut V> {
        let position = self.position(id)?;
        self.entries.get_mut(position).map(|(_, value)| value)
    }

    /// Every entry, in the order of ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (K, &V)> + ExactSizeIterator {
        self.entries.iter().map(|(id, value)| (*id, value))
    }

    /// Every value, in the order of ids.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + ExactSizeIterator {
        self.entries.iter().map(|(_, value)| value)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    fn position(&self, id: K) -> Option<usize> {
        (*self.slots.get(id.number() as usize)? as usize).checked_sub(1)
    }

    fn number_from(&mut self, position: usize) {
        for (i, (id, _)) in self.entries.iter().enumerate().skip(position) {
            let number = id.number() as usize;
            if number >= self.slots.len() {
                self.slots.resize(number + 1, 0);
            }
            if let Some(slot) = self.slots.get_mut(number) {
                *slot = u32::try_from(i + 1).unwrap_or(0);
            }
        }
    }
}

impl<K: Id, V> FromIterator<(K, V)> for IdMap<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(entries: I) -> Self {
        let mut map = Self::default();
        for (id, value) in entries {
            map.insert(id, value);
        }
        map
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    proptest::proptest! {
        #[test]
        fn it_is_a_map_in_order(steps in proptest::collection::vec((1..40_u32, 0..5_u8), 0..80)) {
            let mut map: IdMap<BlockId, u8> = IdMap::default();
            let mut like: BTreeMap<BlockId, u8> = BTreeMap::new();
            for (number, value) in steps {
                let id = BlockId::new(number).unwrap();
                if value == 0 {
                    proptest::prop_assert_eq!(map.remove(id), like.remove(&id));
                } else {
                    proptest::prop_assert_eq!(map.insert(id, value), like.insert(id, value));
                }
                proptest::prop_assert_eq!(map.get(id), like.get(&id));
                proptest::prop_assert!(map.iter().eq(like.iter().map(|(id, value)| (*id, value))));
            }
        }
    }
}
