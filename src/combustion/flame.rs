//! Adiabatic flame at constant pressure by chemical equilibrium.
