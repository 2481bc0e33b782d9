//! Rules on a run of a tank and its hottest day: what each says of what happens in it.

use crate::audit::rule::{Judges, rule};

rule! {
    /// ## Finding
    /// The pressure of the tank falls below {limit}: the burner starves.
    /// ## What it checks
    /// Pressure of the tank while it is drawn from against the pressure asked for, or that of the air.
    /// ## Why it matters
    /// Drawing chills the liquid, and its pressure falls. Below the need the burner starves; below the pressure of the
    /// air, air gets in.
    /// ## What to do
    /// Shorten the draw, or take one of the remedies. Rows after this time are as if it could still be drawn.
    BELOW_NEED, "RUN001", "tank-pressure-below-need", Run, [Warning],
    Words("the pressure asked for, or that of the air");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The tank runs empty at {measured}: the flame goes out when it is not expected to.
    /// ## What it checks
    /// Whether the tank is empty before the run ends.
    /// ## Why it matters
    /// The flame goes out when it is not expected to.
    /// ## What to do
    /// Start fuller, or stop before.
    EMPTY, "RUN002", "tank-empty", Run, [Warning], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The liquid falls below the dip tube at {measured}: it passes vapour from here, and flow and mixture change at
    /// once.
    /// ## What it checks
    /// Whether a tank that liquid is drawn from still has some above the dip tube's end.
    /// ## Why it matters
    /// Vapour through parts made for liquid feeds a fraction of the fuel.
    /// ## What to do
    /// Stop before the level reaches the end of the dip tube.
    NO_LIQUID, "RUN003", "no-liquid-left-to-draw", Run, [Warning], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// Liquid fills the tank: it is at {measured}, its pressure rises by several bar a kelvin, and its relief valve
    /// throws liquid.
    /// ## What it checks
    /// Whether liquid fills the tank at any time of the run.
    /// ## Why it matters
    /// Liquid has nowhere to grow: a full tank bursts, or its relief valve throws liquid.
    /// ## What to do
    /// Take out fuel, or keep it cooler.
    LIQUID_FULL, "RUN004", "tank-liquid-full", Run, [Danger], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The contents chill to {measured}, below {limit}: steel not made for the cold turns brittle.
    /// ## What it checks
    /// Temperature of the contents against the lowest given for the tank, or the range of the equation of state.
    /// ## Why it matters
    /// Steel not made for the cold turns brittle, and beyond their range the models say nothing.
    /// ## What to do
    /// Stop before, or draw less.
    TOO_COLD, "RUN005", "tank-too-cold", Run, [Warning], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The last liquid evaporates at {measured}: from here the pressure falls with every gram drawn.
    /// ## What it checks
    /// Whether the last liquid of a tank evaporates in the run.
    /// ## Why it matters
    /// Liquid holds the pressure up; gas alone does not.
    /// ## What to do
    /// Stop before, or start fuller.
    LIQUID_GONE, "RUN006", "last-liquid-gone", Run, [Caution], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// Gas in the tank condenses at {measured}: what is drawn and how the pressure falls change there.
    /// ## What it checks
    /// Whether gas in a tank without liquid chills until some of it condenses.
    /// ## Why it matters
    /// What is drawn and how the pressure falls change there; worth knowing when the run is compared with a gauge.
    /// ## What to do
    /// Expect a change there on the gauge: the run counts what condenses.
    CONDENSING, "RUN007", "gas-turns-wet", Run, [Notice], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The wetted wall of the tank falls to {measured}; below {limit} ice builds up, and the tank gives less than
    /// computed for a clear wall.
    /// ## What it checks
    /// The wetted wall of the tank at its coldest against the freezing point of water.
    /// ## Why it matters
    /// Ice keeps the heat of the air from the tank: it gives less than computed for a clear wall.
    /// ## What to do
    /// Run it again with a frost layer: frost insulates. Never heat a cylinder with a flame, hot water or tape not
    /// listed for it.
    WALL_FROSTS, "RUN008", "wall-frosts", Run, [Notice], Published("alduchov1996");
    Judges::Run
}

rule! {
    /// ## Finding
    /// On the hottest day the tank stands at {measured} and is rated for {limit}: it vents or bursts.
    /// ## What it checks
    /// Pressure of the tank on the hottest day against its rating.
    /// ## Why it matters
    /// A tank above its rating vents or bursts.
    /// ## What to do
    /// Use another tank, less fuel or shade: do not fill this one.
    HOT_ABOVE_RATING, "RUN009", "above-rating-on-the-hottest-day", Run, [Danger], Words("given");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The relief valve opens at {limit}; on the hottest day the tank stands at {measured}, so it vents a jet of fuel
    /// that any flame finds.
    /// ## What it checks
    /// Pressure of the tank on the hottest day against the set pressure of its relief valve.
    /// ## Why it matters
    /// A relief valve that opens vents a jet of fuel that any flame finds.
    /// ## What to do
    /// Shade the tank, fill it less, and see that the relief valve discharges outdoors.
    RELIEF_OPENS, "RUN010", "relief-opens-on-the-hottest-day", Run, [Warning], Words("given");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The tank is liquid-full at {measured}, and the hottest day brings {limit}: it bursts, or its relief valve throws
    /// liquid.
    /// ## What it checks
    /// Temperature at which the liquid fills the tank against the hottest day.
    /// ## Why it matters
    /// Liquid has nowhere to grow: a full tank bursts, or its relief valve throws liquid.
    /// ## What to do
    /// Fill less: keep to the filling limit of the local code.
    FULL_WHEN_HOT, "RUN011", "liquid-full-on-the-hottest-day", Run, [Danger], Words("our choice");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The contents leave the range of the property models at {measured}: what follows is not computed.
    /// ## What it checks
    /// Whether the contents leave the range of the property models in the run.
    /// ## Why it matters
    /// The rows end there: pressure and temperature from there on are not computed.
    /// ## What to do
    /// Stop before: what happens from here on is not known.
    OUT_OF_RANGE, "RUN012", "contents-outside-the-models", Run, [Warning], Words("the balances of the run");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The tank holds {measured} and may hold {limit}: what is above it takes the room that the liquid grows into on a
    /// warm day.
    /// ## What it checks
    /// Fuel in the tank against its filling limit, by volume or by weight.
    /// ## Why it matters
    /// What is above the limit is the room that the liquid grows into on a warm day.
    /// ## What to do
    /// Have fuel taken out before it warms up.
    OVERFILLED, "RUN013", "filled-beyond-the-limit", Run, [Warning],
    Words("80 % of the volume at 15 degC is common practice; the code in force decides");
    Judges::Run
}

rule! {
    /// ## Finding
    /// The wetted wall of the tank falls to {measured}, below the {limit}: water runs off it.
    /// ## What it checks
    /// The wetted wall of the tank at its coldest against the dew point of the air, above the freezing point of water.
    /// ## Why it matters
    /// A wet cylinder drips, and water in valves and plugs does harm later.
    /// ## What to do
    /// Keep valves and wiring clear of the water that runs off the tank.
    WALL_WET, "RUN014", "wall-below-dew-point", Run, [Notice], Published("alduchov1996");
    Judges::Run
}
