//! Every rule on small circuits: what must stay silent, what must speak, and the exact limit.
