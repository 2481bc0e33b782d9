//! Let-down at constant enthalpy, droop and lock-up of a regulator.
