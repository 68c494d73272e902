//! The macro by which the keys of the table of factors are declared. The keys are in [`crate::factor_key`].

/// Declares the keys: name, key in the file, rule sets that use it, unit in which the value is kept.
macro_rules! factor_keys {
    ($($(#[$doc:meta])+ $name:ident = $key:literal, $sets:ident, $unit:ident;)+) => {
        /// A factor or limit. The unit is that of the value; a pure number may have a unit of its own,
        /// which then stands in the file.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum FactorKey { $($(#[$doc])+ $name,)+ }

        impl FactorKey {
            /// Every key.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As it stands in the file.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key),+ }
            }
            /// The rule sets that use it.
            pub const fn rule_sets(self) -> &'static [lineside_core::project::RuleSet] {
                match self { $(Self::$name => $sets),+ }
            }
            /// The unit in which its value is kept.
            pub const fn unit(self) -> lineside_core::units::Unit {
                match self { $(Self::$name => lineside_core::units::Unit::$unit),+ }
            }
        }
    };
}

pub(crate) use factor_keys;
