//! Sums over a month or a year.

use lineside_core::units::{AmpHours, Hours, Irradiation, Liters, WattHours};

macro_rules! totals {
    ($($(#[$doc:meta])* $field:ident: $type:ty,)+) => {
        /// Sums over a month or a year. Energies are what flowed, losses what was lost by each part's own law.
        #[derive(Clone, Copy, Debug, Default, PartialEq)]
        pub struct Totals { $($(#[$doc])* pub $field: $type,)+ }

        impl Totals {
            /// Adds another.
            pub fn add(&mut self, other: &Self) {
                $(self.$field += other.$field;)+
            }
        }
    };
}

totals! {
    /// Sun on the level.
    level_sun: Irradiation,
    /// Sun on the planes of the arrays, by array power.
    plane_sun: Irradiation,
    /// What the modules could have given.
    sun_potential: WattHours,
    /// What they gave.
    sun_used: WattHours,
    /// What controllers and PV inverters could not pass, at their outputs.
    sun_limited: WattHours,
    /// What nobody could take, at the outputs of the controllers.
    curtailed: WattHours,
    /// What a tracking controller would have had over what a switching one has.
    tracking_missed: WattHours,
    /// AC loads that could not wait.
    ac_demand: WattHours,
    /// What they got.
    ac_served: WattHours,
    /// DC loads.
    dc_demand: WattHours,
    /// What they got.
    dc_served: WattHours,
    /// Loads that could wait.
    waiting_demand: WattHours,
    /// What they got.
    waiting_served: WattHours,
    /// Standing use of controllers, monitor and battery management.
    standing: WattHours,
    /// Unmet critical AC loads.
    unmet_critical: WattHours,
    /// Unmet normal AC loads.
    unmet_normal: WattHours,
    /// Unmet DC loads.
    unmet_dc: WattHours,
    /// What could wait and was never served.
    unmet_waiting: WattHours,
    /// Hours in which a load that could not wait went short.
    unmet_hours: Hours,
    /// From the utility.
    import: WattHours,
    /// To the utility.
    export: WattHours,
    /// From the generator.
    generator: WattHours,
    /// Running hours of the generator, cool-down included.
    generator_hours: Hours,
    /// Of these, in the hours that should be quiet.
    noise_hours: Hours,
    /// Of these, below the load at which it should not run for long.
    low_load_hours: Hours,
    /// Starts of the generator.
    generator_starts: u32,
    /// Fuel.
    fuel: Liters,
    /// Into the bank, at its terminals.
    charge: WattHours,
    /// Out of the bank, at its terminals.
    discharge: WattHours,
    /// Charge put into the bank.
    charged: AmpHours,
    /// Charge taken out of the bank.
    discharged: AmpHours,
    /// Charge that went into gas.
    gassing: AmpHours,
    /// Lost in conductors of the arrays.
    wire_loss: WattHours,
    /// Lost in controllers.
    controller_loss: WattHours,
    /// Lost in PV inverters.
    pv_inverter_loss: WattHours,
    /// Lost in inverters, idle draw included.
    inverter_loss: WattHours,
    /// Lost in chargers.
    charger_loss: WattHours,
    /// Lost in the bank while it works, and in its cables.
    battery_loss: WattHours,
    /// Lost in the bank at rest.
    self_discharge: WattHours,
}

impl Totals {
    /// Everything that went unmet and could not wait.
    pub fn unmet(&self) -> WattHours {
        self.unmet_critical + self.unmet_normal + self.unmet_dc
    }
    /// Everything that could not wait.
    pub fn demand(&self) -> WattHours {
        self.ac_demand + self.dc_demand
    }
    /// Everything that loads got.
    pub fn served(&self) -> WattHours {
        self.ac_served + self.dc_served + self.waiting_served
    }
    /// Everything that was put in: sun, generator, utility.
    pub fn supplied(&self) -> WattHours {
        self.sun_used + self.generator + self.import
    }
    /// Everything that was lost.
    pub fn lost(&self) -> WattHours {
        self.wire_loss
            + self.controller_loss
            + self.pv_inverter_loss
            + self.inverter_loss
            + self.charger_loss
            + self.battery_loss
            + self.self_discharge
    }
}
