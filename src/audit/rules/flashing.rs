//! Liquid that boils in a part made for liquid.

use crate::audit::rule::rule;

rule! {
    /// ## Finding
    /// {It} flashes {measured} of its liquid {when}: the flow falls, and what comes out is neither liquid nor gas.
    /// ## What it checks
    /// Whether the liquid boils on its way through a part at any duty.
    /// ## Why it matters
    /// What flashes takes up to a hundred times the room: the flow falls, and what comes out is neither liquid nor gas.
    /// ## What to do
    /// Keep more pressure behind it, colder fuel or less loss. Or vaporise all of it on purpose.
    "LIQ001", "liquid-flashes", Liquid, [Warning], Choice("vapour pressure of the fuel"),
    levers ["pump.outlet_pressure" Up, "tube.bore" Up, "hose.bore" Up, "train.flow_coefficient" Up];
    reads: [Flashing],
    given: "flow_coefficient",
    limit: |f, _| f.limit_in_words("liquid all the way through")
}
