//! Ordinary differential equations: Dormand-Prince 5(4) that stops on events.
