//! Three complete systems with mistakes on purpose: every value, every row of the tables of runs, every
//! finding and the closest calls, by hand-worked figures. A: a nickel-iron cabin, B: a lithium home with
//! utility, generator and bypass (both NEC 2023), C: a lead-acid hut (IEC).

#[cfg(test)]
mod found;
#[cfg(test)]
mod labels;
mod remedy;
#[cfg(test)]
mod system_a;
#[cfg(test)]
mod system_b;
#[cfg(test)]
mod system_c;
