//! Checks against published figures and against general-purpose libraries; every file in
//! `tests/reference/` says where its numbers come from.
#[path = "reference/boiling_points.rs"]
mod boiling_points;
#[path = "reference/correlated.rs"]
mod correlated;
#[path = "reference/discharge.rs"]
mod discharge;
#[path = "reference/drills.rs"]
mod drills;
#[path = "reference/eos.rs"]
mod eos;
#[path = "reference/eos_papers.rs"]
mod eos_papers;
#[path = "reference/fittings.rs"]
mod fittings;
#[path = "reference/flame.rs"]
mod flame;
#[path = "reference/fuels.rs"]
mod fuels;
#[path = "reference/injector.rs"]
mod injector;
#[path = "reference/leak.rs"]
mod leak;
#[path = "reference/leak_emptying.rs"]
mod leak_emptying;
#[path = "reference/line.rs"]
mod line;
#[path = "reference/liquid_switch.rs"]
mod liquid_switch;
#[path = "reference/nozzle.rs"]
mod nozzle;
#[path = "reference/perfect_gas.rs"]
mod perfect_gas;
#[path = "reference/pressure_decay.rs"]
mod pressure_decay;
#[path = "reference/readme.rs"]
mod readme;
#[path = "reference/regulator.rs"]
mod regulator;
#[path = "reference/relief.rs"]
mod relief;
#[path = "reference/sources.rs"]
mod sources;
#[path = "reference/stoichiometry.rs"]
mod stoichiometry;
#[path = "reference/suction.rs"]
mod suction;
#[path = "reference/table.rs"]
mod table;
#[path = "reference/tank.rs"]
mod tank;
#[path = "reference/trade_tables.rs"]
mod trade_tables;
#[path = "reference/transport.rs"]
mod transport;
#[path = "reference/trapped.rs"]
mod trapped;
#[path = "reference/valve.rs"]
mod valve;
#[path = "reference/vapour_pressure.rs"]
mod vapour_pressure;
#[path = "reference/viscosity_papers.rs"]
mod viscosity_papers;
