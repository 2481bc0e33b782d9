//! Rules on a plan of a switch to another fuel: what each says of what the plan remarks.

use crate::audit::rule::{Judges, rule};
use crate::convert::concern::ConcernKind;

rule! {
    /// ## Finding
    /// {It} cannot be run on the new fuel: {measured}.
    /// ## What it checks
    /// Whether each duty has a fuel flow on the new fuel, at its heat, air and equivalence ratio.
    /// ## Why it matters
    /// A duty without a fuel flow cannot be run, and nothing else of the plan holds for it.
    /// ## What to do
    /// Give the duty more air or less heat, or keep its equivalence ratio.
    DUTY_NOT_RUN, "CNV001", "duty-not-run", Switch, [Warning], Words("balance of heat and air");
    Judges::Switch(ConcernKind::DutyNotRun)
}

rule! {
    /// ## Finding
    /// {It} sees {measured} on the new fuel, above its limit of {limit}: it scales, creeps or melts.
    /// ## What it checks
    /// Exit gas of each duty on the new fuel, against the temperature limits of the rig file.
    /// ## Why it matters
    /// Another fuel burns hotter at the same mixture. Steel that withstood the old one scales, creeps or melts.
    /// ## What to do
    /// Run the duty leaner or with more air.
    HOTTER_THAN_MATERIAL, "CNV002", "hotter-than-material", Switch, [Warning], Words("rig file, [[limits]]");
    Judges::Switch(ConcernKind::HotterThanMaterial)
}

rule! {
    /// ## Finding
    /// The new fuel wets {measured}: these swell, harden or dissolve in it, and the part leaks.
    /// ## What it checks
    /// What the new fuel wets in each part that stays, against a table of materials in usual use with it.
    /// ## Why it matters
    /// A seal that withstood the old fuel swells, hardens or dissolves in the new one, and the part leaks.
    /// ## What to do
    /// Replace these parts. Ask the makers of all others for the exact compound.
    MATERIAL, "CNV003", "material-to-avoid", Switch, [Warning], Unconfirmed("materials-memory");
    Judges::Switch(ConcernKind::Material)
}

rule! {
    /// ## Finding
    /// No plain or swirl nozzle of this flow can be drilled: it takes less than {limit}.
    /// ## What it checks
    /// Whether a plain or swirl nozzle for the new fuel can be drilled, and whether the drill is a fine one.
    /// ## Why it matters
    /// Fine drills break, fine holes clog, and nobody knows the flow of such a hole until it is measured.
    /// ## What to do
    /// Lower the feed pressure, use one nozzle, or vaporise the fuel in tubes.
    NOZZLE_MAKING, "CNV004", "nozzle-hard-to-make", Switch, [Warning, Caution], Unconfirmed("iso235");
    Judges::Switch(ConcernKind::NozzleMaking)
}

rule! {
    /// ## Finding
    /// The drop over the nozzles falls to {measured}, under {limit}: they dribble, and fuel burns where it lands.
    /// ## What it checks
    /// Drop over the proposed nozzles at each duty, against the least that such a nozzle needs to spray.
    /// ## Why it matters
    /// The drop falls with the square of the flow. A nozzle with too little of it dribbles: large drops, fuel on the
    /// wall of the can, and fire where they land.
    /// ## What to do
    /// Fit equal nozzles and shut some at the small duties, fit spill-return nozzles, or raise the feed pressure.
    WEAK_SPRAY, "CNV005", "weak-spray", Switch, [Warning], Words("common practice, no source");
    Judges::Switch(ConcernKind::WeakSpray)
}

rule! {
    /// ## Finding
    /// {Measured} of the fuel is still liquid at the end of the can, over {limit}: it burns behind the can, and
    /// smokes.
    /// ## What it checks
    /// Share of the fuel that is still liquid at the end of the can, against 1 %; a warning above 5 %.
    /// ## Why it matters
    /// What is still liquid there burns behind the can or on whatever it hits, and smokes.
    /// ## What to do
    /// Make the drops finer with more pressure or more nozzles, lengthen the can, heat the primary zone, or fit
    /// vaporiser tubes.
    DROPS_OUTLIVE_CAN, "CNV006", "drops-outlive-can", Switch, [Warning, Caution], Words("our choice");
    Judges::Switch(ConcernKind::DropsOutliveCan)
}

rule! {
    /// ## Finding
    /// On the coldest day the fuel stands at {measured}, below its flash point of {limit}: it hardly lights, and
    /// pools in the duct.
    /// ## What it checks
    /// The fuel on the coldest day of the site, against the highest flash point that its sources give.
    /// ## Why it matters
    /// Below its flash point a fuel gives too little vapour to catch. What does not light pools in the duct until it
    /// does.
    /// ## What to do
    /// Put a fine spray right at a strong spark, light by a gas pilot, or preheat the fuel. Drain what did not light
    /// before the next try.
    COLD_LIGHT_OFF, "CNV007", "below-flash-point", Switch, [Caution], Words("highest flash point of the fuel's sources");
    Judges::Switch(ConcernKind::ColdLightOff)
}

rule! {
    /// ## Finding
    /// The vapour over the fuel in the tank can burn: a spark there bursts the tank.
    /// ## What it checks
    /// Whether the vapour over the new fuel in its tank lies between the flammability limits, as it stands or on the
    /// coldest and hottest day.
    /// ## Why it matters
    /// A spark bursts such a tank, from static while filling as much as from a tool.
    /// ## What to do
    /// Bond and earth the tank, fit a flame arrestor in its vent, and keep ignition away. Never fill it hot or near
    /// the fire.
    ULLAGE_BURNS, "CNV008", "tank-vapour-burns", Switch, [Warning], Words("limits of the fuel's sources");
    Judges::Switch(ConcernKind::UllageBurns)
}

rule! {
    /// ## Finding
    /// The suction line leaves the pump {measured} of head, under {limit}: fuel boils in its inlet and the flow
    /// falters.
    /// ## What it checks
    /// Head that the suction line leaves at the pump, today and on the hottest day, against what the pump needs with
    /// a margin.
    /// ## Why it matters
    /// With too little head the fuel boils in the inlet of the pump. The flow falters, and the pump wears.
    /// ## What to do
    /// Put the pump below the tank, shade and cool the tank, or widen and shorten the suction line.
    SUCTION_HEAD, "CNV009", "suction-head-short", Switch, [Warning], Published("tp410");
    Judges::Switch(ConcernKind::SuctionHead)
}

rule! {
    /// ## Finding
    /// In a line near the fire the fuel reaches {measured} of vapour pressure on the hottest day, over {limit}: it
    /// boils and stops the flow.
    /// ## What it checks
    /// Vapour pressure of the new fuel in a line near the fire on the hottest day, against half the air pressure; a
    /// WARNING above the air pressure.
    /// ## Why it matters
    /// Fuel that boils in its line stops the flow, and comes back all at once.
    /// ## What to do
    /// Keep lines away from the fire, keep pump pressure up to the nozzle, and return the surplus to the tank.
    VAPOUR_LOCK, "CNV010", "boils-in-hot-line", Switch, [Warning, Caution], Words("our choice");
    Judges::Switch(ConcernKind::VapourLock)
}

rule! {
    /// ## Finding
    /// On the coldest day the fuel has {measured}, over {limit}: it starves the pump, sprays in large drops and
    /// lights badly.
    /// ## What it checks
    /// Kinematic viscosity of the new fuel on the coldest day against what pumps and nozzles of burners take.
    /// ## Why it matters
    /// Thick fuel starves the pump, sprays in large drops and lights badly.
    /// ## What to do
    /// Use a thinner grade, warm tank and line, or do not start in that cold. Look up the cloud point of the batch.
    THICK_WHEN_COLD, "CNV011", "thick-when-cold", Switch, [Caution], Words("common practice, no source");
    Judges::Switch(ConcernKind::ThickWhenCold)
}

rule! {
    /// ## Finding
    /// The new gas has {measured} of the old Wobbe index, outside {limit}: these holes at this pressure give another
    /// heat and mixture.
    /// ## What it checks
    /// Wobbe index of the new gas against that of the old, from 95 to 105 %.
    /// ## Why it matters
    /// The same holes at the same pressure give another heat and another mixture.
    /// ## What to do
    /// Drill other holes, or set another pressure before them. The tables have the sums.
    OTHER_WOBBE, "CNV012", "other-wobbe-index", Switch, [Caution], Words("common practice, no source");
    Judges::Switch(ConcernKind::OtherWobbe)
}

rule! {
    /// ## Finding
    /// The new gas feeds every duty down to {limit}, and the coldest day has {measured}: the burner starves.
    /// ## What it checks
    /// Coldest temperature at which the tank of the new gas at rest still feeds every duty, against the coldest day.
    /// ## Why it matters
    /// In more cold the burner starves.
    /// ## What to do
    /// Use a warm water bath, liquid draw with a vaporiser, a lighter blend, or larger holes at a lower pressure. The
    /// tank chills further while it is drawn from.
    SUPPLY_TOO_WEAK, "CNV013", "supply-too-weak", Switch, [Warning],
    Words("vapour pressure against what train and holes need");
    Judges::Switch(ConcernKind::SupplyTooWeak)
}

rule! {
    /// ## Finding
    /// On the hottest day the new gas stands at {measured} in the tank, above its rating of {limit}: it blows off or
    /// bursts.
    /// ## What it checks
    /// Pressure of the new gas in the tank of the rig file on the hottest day against the tank's rating.
    /// ## Why it matters
    /// A cylinder made for a weaker gas blows off or bursts.
    /// ## What to do
    /// Use a cylinder made and marked for the new gas.
    TANK_RATING, "CNV014", "tank-rating", Switch, [Warning], Words("rig file, [tank] rating");
    Judges::Switch(ConcernKind::TankRating)
}

rule! {
    /// ## Finding
    /// The new gas reaches the holes {measured} above its dew point, under {limit}: drops carry many times the fuel.
    /// ## What it checks
    /// Superheat of the new gas before the holes at each duty, against what a draught takes from a ring.
    /// ## Why it matters
    /// Drops in a hole made for gas carry many times its fuel.
    /// ## What to do
    /// Lower the pressure before the holes, or warm gas, line and ring.
    CONDENSES, "CNV015", "condenses-in-injector", Switch, [Warning], Words("common practice, no source");
    Judges::Switch(ConcernKind::Condenses)
}

rule! {
    /// ## Finding
    /// The new gas burns at {measured}, over {limit}, 1.2 times that of the old: the flame may flash back.
    /// ## What it checks
    /// Burning velocity of the new gas against 1.2 times that of the old.
    /// ## Why it matters
    /// A faster flame sits nearer to the holes, and flashes back where the old one stood.
    /// ## What to do
    /// Check the quenching distance of premixed passages, and the heat on the liner.
    FASTER_FLAME, "CNV016", "faster-flame", Switch, [Caution], Words("our choice");
    Judges::Switch(ConcernKind::FasterFlame)
}

rule! {
    /// ## Finding
    /// The new gas has {measured} and sinks, where the old one rose: detectors and openings are at the wrong end of
    /// the room.
    /// ## What it checks
    /// Whether the new gas sinks in air and the old one rose.
    /// ## Why it matters
    /// Detectors and openings that were right for the old gas are at the wrong end of the room.
    /// ## What to do
    /// Put detectors low, keep pits, drains and cellar openings away, and ventilate at the floor.
    HEAVIER_THAN_AIR, "CNV017", "heavier-than-air", Switch, [Warning], Words("molar masses");
    Judges::Switch(ConcernKind::HeavierThanAir)
}

rule! {
    /// ## Finding
    /// On the new supply parts see {measured}, above their rating of {limit}: they leak or burst.
    /// ## What it checks
    /// What each part sees on the new supply, running and with the flow stopped, against its rating.
    /// ## Why it matters
    /// A part above its rating leaks or bursts.
    /// ## What to do
    /// Fit parts rated for the pressure they see, or lower the pressure and drill larger holes.
    PART_RATING, "CNV018", "part-rating", Switch, [Warning], Words("rig file, max_pressure and max_inlet of the parts");
    Judges::Switch(ConcernKind::PartRating)
}

rule! {
    /// ## Finding
    /// On the new supply parts see {measured}, above their rating of {limit}: they leak or burst.
    /// ## What it checks
    /// What comes on each part if only the regulator before it fails open on the new supply, against its rating.
    /// ## Why it matters
    /// Dirt on the seat makes a regulator fail open. Parts behind it then see all that the supply has.
    /// ## What to do
    /// Fit a relief valve behind the regulator, a high-pressure cut-off, or parts rated for the supply.
    FAILED_OPEN, "CNV019", "rating-behind-failed-regulator", Switch, [Warning],
    Words("rig file, max_pressure and max_inlet of the parts");
    Judges::Switch(ConcernKind::FailedOpen)
}

rule! {
    /// ## Finding
    /// The pressure of the new supply on the hottest day is not known: {measured}.
    /// ## What it checks
    /// Whether the pressure of the new supply on the hottest day can be computed.
    /// ## Why it matters
    /// Without it nobody knows whether cylinder and parts withstand it.
    /// ## What to do
    /// Ask the maker of the cylinder for the highest pressure on the hottest day. Have every part up to the regulator
    /// rated for it.
    HOTTEST_NOT_KNOWN, "CNV020", "hottest-day-not-known", Switch, [Warning], Words("property model of the new fuel");
    Judges::Switch(ConcernKind::HottestNotKnown)
}
