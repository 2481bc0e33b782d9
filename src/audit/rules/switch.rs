//! Rules on a plan of a switch to another fuel: what each says of what the plan remarks.

use crate::audit::rule::{Judges, rule};
use crate::convert::concern::ConcernKind;

rule! {
    /// ## What it checks
    /// Whether each duty has a fuel flow with the new fuel, at its heat, air and equivalence ratio.
    /// ## Why it matters
    /// A duty without a fuel flow cannot be run, and nothing else of the plan holds for it.
    /// ## What to do
    /// Give the duty more air or less heat, or keep its equivalence ratio.
    DUTY_NOT_RUN, "CNV001", "duty-not-run", Switch, [Warning], Words("balance of heat and air");
    Judges::Switch(ConcernKind::DutyNotRun)
}

rule! {
    /// ## What it checks
    /// Gas at the exit of each duty with the new fuel against the temperature limits of the rig file.
    /// ## Why it matters
    /// Another fuel burns hotter at the same mixture, and steel that stood the old one scales, creeps or melts.
    /// ## What to do
    /// Run the duty leaner or with more air.
    HOTTER_THAN_MATERIAL, "CNV002", "hotter-than-material", Switch, [Warning], Words("rig file, [[limits]]");
    Judges::Switch(ConcernKind::HotterThanMaterial)
}

rule! {
    /// ## What it checks
    /// What the new fuel wets in each part that stays, against a table of what is in usual use with it.
    /// ## Why it matters
    /// A seal that stood the old fuel swells, hardens or dissolves in the new one, and then the part leaks.
    /// ## What to do
    /// Replace these parts; ask the makers of all others for the exact compound.
    MATERIAL, "CNV003", "material-to-avoid", Switch, [Warning], Unconfirmed("materials-memory");
    Judges::Switch(ConcernKind::Material)
}

rule! {
    /// ## What it checks
    /// Whether a plain or swirl nozzle for the new fuel can be drilled, and whether the drill is a fine one.
    /// ## Why it matters
    /// Finer drills break, finer holes clog, and the flow of such a hole is anybody's guess until it is measured.
    /// ## What to do
    /// Lower the feed pressure, use one nozzle, or vaporise the fuel in tubes.
    NOZZLE_MAKING, "CNV004", "nozzle-hard-to-make", Switch, [Warning, Caution], Unconfirmed("iso235");
    Judges::Switch(ConcernKind::NozzleMaking)
}

rule! {
    /// ## What it checks
    /// Drop over the proposed nozzles at each duty against the least that such a nozzle sprays with.
    /// ## Why it matters
    /// The drop falls with the square of the flow. A nozzle with too little of it dribbles: large drops, fuel on the wall
    /// of the can, and fire where they land.
    /// ## What to do
    /// Equal nozzles of which some are shut at the small duties, spill-return nozzles, or a higher feed pressure.
    WEAK_SPRAY, "CNV005", "weak-spray", Switch, [Warning], Words("common practice, no source");
    Judges::Switch(ConcernKind::WeakSpray)
}

rule! {
    /// ## What it checks
    /// Share of the fuel that is still liquid at the end of the can, against 1 %; a warning above 5 %.
    /// ## Why it matters
    /// What is liquid there burns behind the can or on whatever it hits, and smokes.
    /// ## What to do
    /// Finer drops (more pressure, more nozzles), a longer can or a hotter primary zone, or vaporiser tubes.
    DROPS_OUTLIVE_CAN, "CNV006", "drops-outlive-can", Switch, [Warning, Caution], Words("our choice");
    Judges::Switch(ConcernKind::DropsOutliveCan)
}

rule! {
    /// ## What it checks
    /// The fuel on the coldest day of the site against the highest flash point that its sources give.
    /// ## Why it matters
    /// Below its flash point a fuel gives too little vapour to catch; what does not light pools in the duct until it does.
    /// ## What to do
    /// Its vapour alone does not light: a fine spray right at a strong spark, a gas pilot, or preheated fuel; drain what
    /// did not light before the next try.
    COLD_LIGHT_OFF, "CNV007", "below-flash-point", Switch, [Caution], Words("highest flash point of the fuel's sources");
    Judges::Switch(ConcernKind::ColdLightOff)
}

rule! {
    /// ## What it checks
    /// Whether the vapour over the new fuel in its tank lies between the flammability limits, as it stands or on the
    /// coldest and hottest day.
    /// ## Why it matters
    /// A spark in such a tank, from static while it is filled as much as from a tool, bursts it.
    /// ## What to do
    /// Bond and earth the tank, a flame arrester in its vent, no ignition source near, never fill it hot or near the fire.
    ULLAGE_BURNS, "CNV008", "tank-vapour-burns", Switch, [Warning], Words("limits of the fuel's sources");
    Judges::Switch(ConcernKind::UllageBurns)
}

rule! {
    /// ## What it checks
    /// Head that the suction line leaves at the pump, today and on the hottest day, against what the pump needs with a
    /// margin.
    /// ## Why it matters
    /// A pump with too little of it boils the fuel in its inlet: the flow falters, and the pump wears.
    /// ## What to do
    /// Put the pump below the tank, shade and cool the tank, or widen and shorten the suction line.
    SUCTION_HEAD, "CNV009", "suction-head-short", Switch, [Warning], Published("tp410");
    Judges::Switch(ConcernKind::SuctionHead)
}

rule! {
    /// ## What it checks
    /// Vapour pressure of the new fuel in a line near the fire on the hottest day, against half the pressure of the air; a
    /// warning above that of the air.
    /// ## Why it matters
    /// Fuel that boils in its line stops the flow, and comes back all at once.
    /// ## What to do
    /// Keep lines away from the fire, keep pump pressure up to the nozzle, return the surplus to the tank.
    VAPOUR_LOCK, "CNV010", "boils-in-hot-line", Switch, [Warning, Caution], Words("our choice");
    Judges::Switch(ConcernKind::VapourLock)
}

rule! {
    /// ## What it checks
    /// Kinematic viscosity of the new fuel on the coldest day against what pumps and nozzles of burners take.
    /// ## Why it matters
    /// Thick fuel starves the pump, sprays in large drops and lights badly.
    /// ## What to do
    /// Use a thinner grade, warm tank and line, or do not start that cold; look up the cloud point of the batch.
    THICK_WHEN_COLD, "CNV011", "thick-when-cold", Switch, [Caution], Words("common practice, no source");
    Judges::Switch(ConcernKind::ThickWhenCold)
}

rule! {
    /// ## What it checks
    /// Wobbe index of the new gas over that of the old, against 95 to 105 %.
    /// ## Why it matters
    /// Holes and pressure as they are give another heat and another mixture.
    /// ## What to do
    /// Other holes or another pressure before them: the tables have the sums.
    OTHER_WOBBE, "CNV012", "other-wobbe-index", Switch, [Caution], Words("common practice, no source");
    Judges::Switch(ConcernKind::OtherWobbe)
}

rule! {
    /// ## What it checks
    /// Coldest temperature at which the tank of the new gas still feeds every duty, at rest, against the coldest day.
    /// ## Why it matters
    /// Colder than that the burner starves.
    /// ## What to do
    /// The tank chills further while it is drawn from: warm water bath, liquid draw with a vaporiser, a lighter blend, or
    /// larger holes at a lower pressure.
    SUPPLY_TOO_WEAK, "CNV013", "supply-too-weak", Switch, [Warning],
    Words("vapour pressure against what train and holes need");
    Judges::Switch(ConcernKind::SupplyTooWeak)
}

rule! {
    /// ## What it checks
    /// Pressure of the new gas in the tank of the rig file on the hottest day against the tank's rating.
    /// ## Why it matters
    /// A cylinder made for a weaker gas blows off or bursts.
    /// ## What to do
    /// The cylinder must be one made and marked for the new gas.
    TANK_RATING, "CNV014", "tank-rating", Switch, [Warning], Words("rig file, [tank] rating");
    Judges::Switch(ConcernKind::TankRating)
}

rule! {
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
    /// ## What it checks
    /// Burning velocity of the new gas against 1.2 times that of the old.
    /// ## Why it matters
    /// A faster flame flashes back where the old one stood still.
    /// ## What to do
    /// The flame sits nearer to the holes and may flash back through premixed passages: look at quenching distance and
    /// liner heat.
    FASTER_FLAME, "CNV016", "faster-flame", Switch, [Caution], Words("our choice");
    Judges::Switch(ConcernKind::FasterFlame)
}

rule! {
    /// ## What it checks
    /// Whether the new gas sinks in air and the old one rose.
    /// ## Why it matters
    /// Detectors and openings that were right for the old gas are at the wrong end of the room.
    /// ## What to do
    /// Leaks now flow down: detectors low, no pits, drains or cellar openings near, ventilate at the floor.
    HEAVIER_THAN_AIR, "CNV017", "heavier-than-air", Switch, [Warning], Words("molar masses");
    Judges::Switch(ConcernKind::HeavierThanAir)
}

rule! {
    /// ## What it checks
    /// What each part sees with the new supply, running and with the flow stopped, against its rating.
    /// ## Why it matters
    /// A part above its rating leaks or bursts.
    /// ## What to do
    /// Parts made for the pressure that they see, or a lower pressure and larger holes.
    PART_RATING, "CNV018", "part-rating", Switch, [Warning], Words("rig file, max_pressure and max_inlet of the parts");
    Judges::Switch(ConcernKind::PartRating)
}

rule! {
    /// ## What it checks
    /// What comes on each part if the regulator before it alone fails open on the new supply, against its rating.
    /// ## Why it matters
    /// Regulators fail open with dirt on the seat; what stands behind then sees all that the supply has.
    /// ## What to do
    /// A relief behind the regulator, a high-pressure cut-off, or parts rated for the supply.
    FAILED_OPEN, "CNV019", "rating-behind-failed-regulator", Switch, [Warning],
    Words("rig file, max_pressure and max_inlet of the parts");
    Judges::Switch(ConcernKind::FailedOpen)
}

rule! {
    /// ## What it checks
    /// Whether the pressure of the new supply on the hottest day can be worked out.
    /// ## Why it matters
    /// Without it nobody knows whether cylinder and parts stand it.
    /// ## What to do
    /// Ask the maker of the cylinder what it can have on the hottest day, and have every part up to the regulator rated
    /// for that.
    HOTTEST_NOT_KNOWN, "CNV020", "hottest-day-not-known", Switch, [Warning], Words("property model of the new fuel");
    Judges::Switch(ConcernKind::HottestNotKnown)
}
