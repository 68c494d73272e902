//! Spreading things along a line: each as near as can be to where it wants to be, in order and without overlap.

/// One thing on the line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    /// Where its beginning wants to be; `None` if it does not matter.
    pub at: Option<i32>,
    /// How much it matters that it stands there.
    pub weight: i32,
    /// How long it is, with its margin to the next.
    pub length: i32,
}

/// Where each thing begins. The order is kept. What wants the same room is pooled, and the pool stands where the
/// weightier of its things get what they want, so that as few as can be are out of line.
pub(super) fn spread(wishes: &[Wish]) -> Vec<i32> {
    // What follows is pulled back by the lengths before it, so that only the order remains to be kept.
    let mut offsets = Vec::with_capacity(wishes.len());
    let mut filled = 0_i32;
    for wish in wishes {
        offsets.push(filled);
        filled = filled.saturating_add(wish.length);
    }
    // Pools of things that touch.
    let mut pools: Vec<Pool> = Vec::new();
    for (wish, offset) in wishes.iter().zip(&offsets) {
        let at = wish.at.map(|at| (at.saturating_sub(*offset), wish.weight));
        let mut pool = Pool { wishes: at.into_iter().collect(), things: 1 };
        // A thing without a wish follows what is before it.
        while let Some(last) = pools
            .pop_if(|last| pool.wishes.is_empty() || last.wishes.is_empty() || last.place() > pool.place())
        {
            pool = last.with(pool);
        }
        pools.push(pool);
    }
    let mut places = Vec::with_capacity(wishes.len());
    let mut offsets = offsets.into_iter();
    for pool in pools {
        let start = pool.place();
        places.extend(offsets.by_ref().take(pool.things).map(|offset| start.saturating_add(offset)));
    }
    places
}

/// Things that touch: where they want the pool to begin, with weights, and how many things there are.
struct Pool {
    wishes: Vec<(i32, i32)>,
    things: usize,
}

impl Pool {
    /// The lowest place at which at least half of the weight is satisfied or passed.
    fn place(&self) -> i32 {
        let whole: i32 = self.wishes.iter().map(|wish| wish.1).sum();
        let mut passed = 0;
        for (at, weight) in &self.wishes {
            passed += weight;
            if 2 * passed >= whole {
                return *at;
            }
        }
        0
    }
    fn with(mut self, other: Self) -> Self {
        self.wishes.extend(other.wishes);
        self.wishes.sort_unstable();
        self.things += other.things;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(at: i32, length: i32) -> Wish {
        Wish { at: Some(at), weight: 1, length }
    }

    #[test]
    fn what_has_room_stands_where_it_wants() {
        assert_eq!(spread(&[at(0, 4), at(10, 4), at(14, 4)]), [0, 10, 14]);
    }

    #[test]
    fn of_what_wants_the_same_room_as_many_as_can_be_get_it() {
        // Wishes less the lengths before them are 10, 6 and 2, of which 6 is the middle one.
        assert_eq!(spread(&[at(10, 4), at(10, 4), at(10, 4)]), [6, 10, 14]);
        // The heavier one stays and the other gives way.
        assert_eq!(spread(&[at(10, 4), Wish { weight: 3, ..at(10, 4) }]), [6, 10]);
        assert_eq!(spread(&[Wish { weight: 3, ..at(10, 4) }, at(10, 4)]), [10, 14]);
    }

    #[test]
    fn what_wants_nothing_follows() {
        let free = Wish { at: None, weight: 1, length: 3 };
        assert_eq!(spread(&[at(5, 4), free, at(20, 4)]), [5, 9, 20]);
        assert_eq!(spread(&[free, at(20, 4)]), [17, 20]);
        assert_eq!(spread(&[free, free]), [0, 3]);
    }
}
