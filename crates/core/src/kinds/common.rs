//! Choices that several kinds of block share.

use super::declare::choice;
use crate::units::{Hertz, Volts};

choice! {
    /// Whether something is built in.
    Fitted {
        /// It is.
        Yes = "yes", "fitted";
        /// It is not.
        No = "no", "not fitted";
    }
}

choice! {
    /// Open or closed, as drawn in normal service.
    Position {
        /// Current can pass.
        Closed = "closed", "closed";
        /// Current cannot pass.
        Open = "open", "open";
    }
}

choice! {
    /// Whether a DC device breaks current in one direction only.
    Polarity {
        /// Either direction.
        None = "none", "either direction";
        /// Only as marked.
        Sensitive = "sensitive", "polarity-sensitive";
    }
}

choice! {
    /// How much of its rating a device may carry for three hours or more.
    ContinuousDuty {
        /// 80 %.
        EightyPercent = "eighty_percent", "80 % continuous";
        /// 100 %, in a listed assembly.
        HundredPercent = "hundred_percent", "100 % rated";
    }
}

choice! {
    /// Whether a switch may be opened under load.
    LoadBreak {
        /// It may.
        Yes = "yes", "load-break";
        /// It may not.
        No = "no", "not load-break";
    }
}

choice! {
    /// An AC system of voltages.
    AcSystem {
        /// One line and neutral, 120 V.
        Single120 = "single_120", "120 V";
        /// Two lines and neutral, 120/240 V split-phase.
        Split120x240 = "split_120_240", "120/240 V";
        /// Two lines without neutral, 240 V.
        Single240 = "single_240", "240 V";
        /// One line and neutral, 230 V.
        Single230 = "single_230", "230 V";
        /// Three lines and neutral, 120/208 V.
        Three208 = "three_208", "120/208 V three-phase";
        /// Three lines and neutral, 230/400 V.
        Three400 = "three_400", "230/400 V three-phase";
    }
}

impl AcSystem {
    /// Voltage by which apparent power is divided to get the line current: line to neutral for one phase,
    /// line to line for split phase.
    pub fn current_voltage(self) -> Volts {
        Volts::new(match self {
            Self::Single120 => 120.0,
            Self::Split120x240 | Self::Single240 => 240.0,
            Self::Single230 => 230.0,
            // Three phases: the square root of three times the line voltage.
            Self::Three208 => 208.0 * SQRT_3,
            Self::Three400 => 400.0 * SQRT_3,
        })
    }
    /// Greatest voltage between any two conductors.
    pub fn line_voltage(self) -> Volts {
        Volts::new(match self {
            Self::Single120 => 120.0,
            Self::Split120x240 | Self::Single240 => 240.0,
            Self::Single230 => 230.0,
            Self::Three208 => 208.0,
            Self::Three400 => 400.0,
        })
    }
    /// Greatest voltage of a conductor to ground: to the neutral where there is one.
    pub const fn voltage_to_ground(self) -> Volts {
        Volts::new(match self {
            Self::Single120 | Self::Split120x240 | Self::Three208 => 120.0,
            Self::Single240 => 240.0,
            Self::Single230 | Self::Three400 => 230.0,
        })
    }
    /// Line conductors, none of which is grounded.
    pub const fn lines(self) -> u32 {
        match self {
            Self::Single120 | Self::Single230 => 1,
            Self::Split120x240 | Self::Single240 => 2,
            Self::Three208 | Self::Three400 => 3,
        }
    }
    /// Whether a neutral runs with the lines.
    pub const fn has_neutral(self) -> bool {
        match self {
            Self::Single240 => false,
            Self::Single120 | Self::Split120x240 | Self::Single230 | Self::Three208 | Self::Three400 => true,
        }
    }
    /// Conductors that carry current in a circuit of this system, the neutral of an unbalanced one-phase
    /// circuit included.
    pub const fn loaded_conductors(self) -> u32 {
        match self {
            Self::Single120 | Self::Single230 | Self::Single240 | Self::Split120x240 => 2,
            Self::Three208 | Self::Three400 => 3,
        }
    }
}

const SQRT_3: f64 = 1.732_050_807_568_877_2;

choice! {
    /// What a device's time curve is like.
    TripClass {
        /// Ordinary inverse-time breaker.
        InverseTime = "inverse_time", "inverse-time breaker";
        /// Hydraulic-magnetic breaker.
        HydraulicMagnetic = "hydraulic_magnetic", "hydraulic-magnetic breaker";
        /// Miniature breaker, type B.
        TypeB = "type_b", "miniature breaker type B";
        /// Miniature breaker, type C.
        TypeC = "type_c", "miniature breaker type C";
        /// Miniature breaker, type D.
        TypeD = "type_d", "miniature breaker type D";
    }
}

choice! {
    /// Whether a converter joins its two sides galvanically.
    Separation {
        /// It does: one pole goes through.
        None = "none", "not isolating";
        /// It does not.
        Galvanic = "galvanic", "isolating";
    }
}

choice! {
    /// In which conductor of a circuit the poles of a device stand.
    PolesIn {
        /// In every conductor that is not solidly grounded.
        Ungrounded = "ungrounded", "the ungrounded conductors";
        /// In the grounded conductor alone.
        Grounded = "grounded", "the grounded conductor alone";
        /// In every conductor, the grounded one included.
        All = "all", "all conductors";
    }
}

choice! {
    /// How the conductors of a DC system stand to ground.
    DcGrounding {
        /// One pole is joined to ground by a bonding jumper.
        Solid = "solid", "one pole solidly grounded";
        /// One pole is joined to ground through a device that detects or interrupts ground faults.
        Functional = "functional", "functionally grounded";
        /// Neither pole is joined to ground.
        Floating = "floating", "ungrounded";
    }
}

choice! {
    /// For which conductors terminals are marked.
    TerminalMarking {
        /// Copper, coarse strands.
        Copper = "copper", "copper";
        /// Copper, coarse or fine strands.
        CopperFine = "copper_fine", "copper, fine strands too";
        /// Copper or aluminum, coarse strands.
        CopperAluminum = "copper_aluminum", "copper or aluminum";
        /// Copper of any strands, or aluminum.
        Any = "any", "copper, fine strands too, or aluminum";
    }
}

impl TerminalMarking {
    /// Whether they may hold fine strands.
    pub const fn takes_fine_strands(self) -> bool {
        match self {
            Self::CopperFine | Self::Any => true,
            Self::Copper | Self::CopperAluminum => false,
        }
    }
}

/// 60 Hz, the frequency of the Americas.
pub const SIXTY_HERTZ: Hertz = Hertz::new(60.0);
