//! Drills that can be bought, and how far a drilled hole strays from its name.
