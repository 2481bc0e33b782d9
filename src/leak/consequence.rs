//! Everything a release does round it: jet, flame, room, screening value.

use super::fire::{JetFire, fire_of};
use super::jet::{ExpandedJet, JetReach, Notional, reach};
use super::room::{Room, RoomCourse, fill};
use super::screening::release_characteristic;
use super::{LeakError, LeakFuel, Release, Surroundings};
use crate::quantity::VolumeRate;

/// What a release does round it.
#[derive(Debug, Clone, PartialEq)]
pub struct Consequences {
    /// How far the free jet is above the lower limit; `None` for what does not burn, and for a liquid that
    /// makes a pool.
    pub jet: Option<JetReach>,
    /// The flame if it is lit; `None` for what does not burn.
    pub fire: Option<JetFire>,
    /// The room; `None` in the open.
    pub room: Option<RoomCourse>,
    /// Release characteristic of the area-classification standard, a screening value; `None` for what
    /// does not burn.
    pub characteristic: Option<VolumeRate>,
    /// A liquid that does not boil outside: it makes a pool, and only its vapour over it can be told.
    pub pool: bool,
}

/// What a release does round it.
///
/// A liquid that boils outside is taken as evaporated at once: the fastest a room can fill.
///
/// **Valid:** each part as its own function says. **Errors:** [`LeakError`].
/// **Source:** those of the parts.
///
/// # Errors
/// As above.
pub fn consequences(
    release: &Release,
    fuel: &LeakFuel,
    around: &Surroundings,
    room: Option<&Room>,
) -> Result<Consequences, LeakError> {
    let pool = release.liquid && !fuel.gas_outside;
    let jet = ExpandedJet::of(release, fuel, around, Notional::Birch1984)?;
    Ok(Consequences {
        jet: reach(release, fuel, around)?,
        fire: fire_of(release.flow, release.high, &jet, fuel, around),
        room: match room {
            Some(room) if !pool => Some(fill(room, release.flow, fuel)?),
            _ => None,
        },
        characteristic: if pool {
            None
        } else {
            release_characteristic(release.flow, fuel)
        },
        pool,
    })
}
