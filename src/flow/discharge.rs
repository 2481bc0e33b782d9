//! Discharge coefficients of holes, each inside its range, with a band.
