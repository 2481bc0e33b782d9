//! Real-gas and two-phase flow through a hole or nozzle.
