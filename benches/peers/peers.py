"""The work of our benches done with CoolProp, Cantera and fluids; prints both times and their ratio.

Arguments: output of `cargo bench`, path of our program. Every Python figure includes the call (about 0.1 us).
Inputs change from call to call over 200 values, as in our benches.
"""
import re
import subprocess
import sys
import time

import cantera
import CoolProp
from CoolProp.CoolProp import AbstractState
from scipy.optimize import minimize_scalar

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


def each(work, budget_s=1.0):
    """Best time of one call of `work(x)` in seconds, over passes of 200 values of x between 0 and 1."""
    values = [((k * 37) % 200) / 200.0 for k in range(200)]
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
