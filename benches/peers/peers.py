"""The work of our benches done with CoolProp, Cantera and fluids; prints both times and their ratio.

Arguments: output of `cargo bench`, path of our program. Every Python figure includes the call (about 0.1 us).
Inputs change from call to call over 200 values, as in our benches.
"""
import json
import multiprocessing
import os
import re
import subprocess
import sys
import time

import cantera
import CoolProp
import numpy
from CoolProp.CoolProp import AbstractState
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar

RIG = "examples/coupon-soak-rig.toml"
SAMPLES = 10_000
UNITS = {"ns": 1e-9, "µs": 1e-6, "us": 1e-6, "ms": 1e-3, "s": 1.0}


def ours(text):
    """Median time in seconds by name of the bench."""
    found, name = {}, ""
    for line in text.splitlines():
        head, _, tail = line.partition("time:")
        if not tail:
            name = line.strip()
            continue
        name = head.strip() or name
        low, low_unit, mid, unit, *_ = re.findall(r"[\d.]+|[nµum]?s\b", tail)
        found[name] = float(mid) * UNITS[unit]
    return found


def each(work, budget_s=1.0, values=200):
    """Best time of one call of `work(x)` in seconds, over passes of that many values of x between 0 and 1."""
    values = [((k * 37) % values) / values for k in range(values)]
    best, end = float("inf"), time.perf_counter() + budget_s
    while True:
        start = time.perf_counter()
        for x in values:
            work(x)
        best = min(best, (time.perf_counter() - start) / len(values))
        if time.perf_counter() > end:
            return best


def process(command, repeats=5):
    """Best time of a whole process."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        subprocess.run(command, check=False, capture_output=True)
        best = min(best, time.perf_counter() - start)
    return best


def properties():
    s = AbstractState("HEOS", "Propane")
    b = AbstractState("HEOS", "Propane&n-Butane")
    b.set_mole_fractions([0.7, 0.3])

    # both phases with density, enthalpy and entropy, as our call gives them; one side alone takes 0.4 us
    def both_sides(inputs, first, second):
        for q in (0.0, 1.0):
            s.update(inputs, *(first(q), second(q)))
            s.rhomass(), s.hmass(), s.smass()

    def state(t, inputs, first, second):
        t.update(inputs, first, second)
        t.rhomass(), t.hmass(), t.smass(), t.cpmass(), t.speed_sound()

    s.update(CoolProp.PT_INPUTS, 4e5, 300.0)
    entropy, enthalpy = s.smass(), s.hmass()
    qt, pq, pt = CoolProp.QT_INPUTS, CoolProp.PQ_INPUTS, CoolProp.PT_INPUTS
    ps, hp = CoolProp.PSmass_INPUTS, CoolProp.HmassP_INPUTS
    yield "propane/saturation at T", lambda x: both_sides(qt, lambda q: q, lambda q: 250.0 + 60.0 * x)
    yield "propane/saturation at p", lambda x: both_sides(pq, lambda q: 2e5 + 1.2e6 * x, lambda q: q)
    yield "propane/gas at (p,T)", lambda x: state(s, pt, 2e5 + 3e5 * x, 300.0)
    yield "propane/liquid at (p,T)", lambda x: state(s, pt, 1.5e6 + 3e5 * x, 290.0)
    yield "propane/gas at (p,s)", lambda x: state(s, ps, 2e5 + 2e5 * x, entropy)
    yield "propane/gas at (p,h)", lambda x: state(s, hp, enthalpy, 2e5 + 2e5 * x)
    yield "propane 70 n-butane 30/bubble point at T", lambda x: b.update(qt, 0.0, 250.0 + 60.0 * x)
    yield "propane 70 n-butane 30/gas at (p,T), phase found", lambda x: state(b, pt, 1e5 + 1e5 * x, 300.0)


def nozzle():
    """Largest mass flux along the isentrope of propane gas: one bounded minimisation, no grid."""
    s = AbstractState("HEOS", "Propane")

    def point(x):
        p0 = 2.5e5 + 2e5 * x
        s.update(CoolProp.PT_INPUTS, p0, 293.15)
        h0, s0 = s.hmass(), s.smass()

        def minus_flux(p):
            s.update(CoolProp.PSmass_INPUTS, p, s0)
            return -s.rhomass() * (2.0 * max(h0 - s.hmass(), 0.0)) ** 0.5

        minimize_scalar(minus_flux, bounds=(0.3 * p0, 0.9 * p0), method="bounded")

    yield "nozzle point/propane gas, choked, upstream state included", point


def flame():
    gas = cantera.Solution("gri30.yaml")

    def point(_):
        gas.set_equivalence_ratio(1.0, "C3H8", "O2:1, N2:3.76")
        gas.TP = 288.15, 1.1e5
        gas.equilibrate("HP")

    yield "one flame, propane, phi 1", point


# the tank of our bench: a cylinder of 27 L with 10 kg, drawn at 0.4 g/s for two hours
VOLUME, CHARGE, WARM, AMBIENT, UA, WALL, DRAW, LONG = 0.0272, 10.0, 288.15, 288.15, 5.0, 5500.0, 4e-4, 7200.0


def pure_tank(_):
    """Mass and temperature of liquid, vapour and wall together; slopes of the energy by saturation beside T."""
    s = AbstractState("HEOS", "Propane")

    def sides(t):
        s.update(CoolProp.QT_INPUTS, 0.0, t)
        liquid = 1.0 / s.rhomass(), s.umass()
        s.update(CoolProp.QT_INPUTS, 1.0, t)
        return *liquid, 1.0 / s.rhomass(), s.umass(), s.hmass()

    def energy(m, t):
        vl, ul, vv, uv, h = sides(t)
        vapour = (VOLUME - m * vl) / (vv - vl)
        return (m - vapour) * ul + vapour * uv + WALL * t, (vv * ul - vl * uv) / (vv - vl), h

    def slope(_, y):
        m, t = y
        _, by_mass, h = energy(m, t)
        by_t = (energy(m, t + 0.01)[0] - energy(m, t - 0.01)[0]) / 0.02
        return [-DRAW, (UA * (AMBIENT - t) - DRAW * h + DRAW * by_mass) / by_t]

    return solve_ivp(slope, (0.0, LONG), [CHARGE, WARM], method="RK45", rtol=1e-6, atol=1e-8).y[1, -1]


def blend_tank(_):
    """Moles of both components and temperature; vapour and liquid by bubble points of the liquid."""
    s = AbstractState("HEOS", "Propane&n-Butane")
    z = numpy.array([0.6, 0.4])
    s.set_mole_fractions(z)
    moles = CHARGE / s.molar_mass()
    liquid = z.copy()

    def split(n, t):
        """Energy, and composition and enthalpy of the vapour."""
        nonlocal liquid
        total = n.sum()
        for _ in range(30):
            s.set_mole_fractions(liquid)
            s.update(CoolProp.QT_INPUTS, 0.0, t)
            rho_l, rho_v = s.saturated_liquid_keyed_output(CoolProp.iDmolar), s.saturated_vapor_keyed_output(CoolProp.iDmolar)
            y = numpy.array(s.mole_fractions_vapor())
            vapour = (VOLUME - total / rho_l) / (1.0 / rho_v - 1.0 / rho_l)
            x = (n - vapour * y) / (total - vapour)
            far = abs(x - liquid).max()
            liquid = x
            if far < 1e-8:
                break
        u_l, u_v = s.saturated_liquid_keyed_output(CoolProp.iUmolar), s.saturated_vapor_keyed_output(CoolProp.iUmolar)
        h = s.saturated_vapor_keyed_output(CoolProp.iHmolar)
        return (total - vapour) * u_l + vapour * u_v + WALL * t, y, h

    masses = numpy.array([0.04409562, 0.0581222])

    def slope(_, state):
        n, t = state[:2], state[2]
        e, y, h = split(n, t)
        drawn = DRAW / (masses @ y)
        by_t = (split(n, t + 0.01)[0] - e) / 0.01
        step = 1e-4 * moles
        along = (split(n - step * y, t)[0] - e) / step
        return [*(-drawn * y), (UA * (AMBIENT - t) - drawn * h - drawn * along) / by_t]

    start = [*(moles * z), WARM]
    return solve_ivp(slope, (0.0, LONG), start, method="RK45", rtol=1e-5, atol=1e-7).y[2, -1]


def tank():
    yield "two hours of propane", pure_tank
    yield "two hours of a binary", blend_tank


def samples_of(job):
    """Flow, equivalence ratio and exit temperature of every duty for a share of the samples.

    The holes alone, at the pressure each duty needs: less than our program does, which solves the train too.
    """
    duties, holes, diameter, stoichiometric, count, seed = job
    random = numpy.random.default_rng(seed)
    s = AbstractState("HEOS", "Propane")
    gas = cantera.Solution("gri30.yaml")
    found = numpy.empty((count, len(duties), 3))
    for i in range(count):
        air, drop, warm, hole, coefficient = random.uniform(-1.0, 1.0, 5)
        for k, d in enumerate(duties):
            p0 = d["chamber"] + (d["upstream"] - d["chamber"]) * (1.0 + 0.05 * drop)
            s.update(CoolProp.PT_INPUTS, p0, 288.15 + 4.0 * warm)
            h0, s0 = s.hmass(), s.smass()

            def flux(p):
                s.update(CoolProp.PSmass_INPUTS, p, s0)
                return s.rhomass() * (2.0 * max(h0 - s.hmass(), 0.0)) ** 0.5

            if d["chamber"] > 0.6 * p0:
                best = flux(d["chamber"])
            else:
                choked = minimize_scalar(lambda p: -flux(p), bounds=(0.4 * p0, 0.7 * p0), method="bounded")
                best = flux(max(choked.x, d["chamber"]))
            area = holes * numpy.pi / 4.0 * (diameter * (1.0 + 0.02 * hole)) ** 2
            flow = d["coefficient"] * (1.0 + 0.02 * coefficient) * area * best
            phi = stoichiometric * flow / (d["air"] * (1.0 + 0.06 * air))
            gas.set_equivalence_ratio(phi, "C3H8", "O2:0.2095, N2:0.7905")
            gas.TP = d["air_temperature"], d["chamber"]
            gas.equilibrate("HP")
            found[i, k] = flow, phi, gas.T
    return found


def tolerance(program):
    """Time of the samples on all cores, the duties as our program solves them."""
    answer = subprocess.run([program, "audit", RIG, "--format", "json"], check=False, capture_output=True)
    solved = json.loads(answer.stdout)
    holes = solved["injector"]
    duties = [
        {
            "chamber": d["chamber_pressure_pa"],
            "air": d["air_flow_kg_s"],
            "air_temperature": d["air_temperature_k"],
            "upstream": h["upstream_pressure_pa"],
            "coefficient": h["discharge_coefficient"],
        }
        for d, h in zip(solved["duties"], holes["duties"], strict=True)
    ]
    cores = os.cpu_count()
    job = (duties, holes["holes"], holes["hole_diameter_m"], 15.67, SAMPLES // cores)
    start = time.perf_counter()
    with multiprocessing.Pool(cores) as pool:
        found = numpy.concatenate(pool.map(samples_of, [(*job, seed) for seed in range(cores)]))
    numpy.percentile(found, [5, 50, 95], axis=0)
    return time.perf_counter() - start


def show(name, own, peer, unit, scale):
    print(f"{name:60} {own * scale:10.3f} {peer * scale:10.3f} {unit:3} {peer / own:8.1f}")


def main():
    log, program = sys.argv[1:3]
    with open(log, encoding="utf-8") as file:
        own = ours(file.read())
    print(f"Python {sys.version.split()[0]}, CoolProp {CoolProp.__version__}, Cantera {cantera.__version__}")
    print(f"{'work':60} {'ours':>10} {'peer':>10}     {'ratio':>8}")
    for work in (properties, nozzle, flame):
        for name, call in work():
            if name not in own:
                sys.exit(f"our benches have no `{name}`: {sorted(own)}")
            show(name, own[name], each(call), "us", 1e6)
    for name, call in tank():
        show(name, own[name], each(call, values=5), "ms", 1e3)
    many = process([program, "tolerance", RIG, "--samples", str(SAMPLES)], repeats=3)
    show(f"tolerance, {SAMPLES} samples of four duties, whole process", many, tolerance(program), "s", 1.0)
    sizing = "valve --fuel propane --upstream 4bara --upstream-temperature 20degC --downstream 3bara --flow 1g/s"
    peer = (
        "from fluids.control_valve import size_control_valve_g as f;"
        "f(T=293.15, MW=44.1, mu=8e-6, gamma=1.14, Z=0.93, P1=4e5, P2=3e5, Q=5e-4, D1=.008, D2=.008, d=.006,"
        "FL=.9, Fd=.46, xT=.7)"
    )
    show("valve sizing, whole process", process([program, *sizing.split()]), process([sys.executable, "-c", peer]), "ms", 1e3)
    show(
        "start and one property, whole process",
        process([program, "state", "propane", "--temperature", "20degC", "--pressure", "3bara"]),
        process([sys.executable, "-c", "import CoolProp.CoolProp as c;c.PropsSI('D','T',293.15,'P',3e5,'Propane')"]),
        "ms",
        1e3,
    )


if __name__ == "__main__":
    main()
