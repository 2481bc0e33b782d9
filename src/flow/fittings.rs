//! Loss coefficients of bends and fittings.
