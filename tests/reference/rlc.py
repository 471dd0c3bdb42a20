"""Reference values for the discharge of a bank through a coil.

Integrates the series circuit with a general-purpose solver, independently of the closed forms:

    python rlc.py > rlc.csv        (scipy 1.17)

State: bank voltage v, current i, and the integral of i squared.
    dv/dt = -i/C,   di/dt = (v - R i)/L
"""

import math

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

COLUMNS = (
    "volts,ohms,henries,farads,damping,peak_s,peak_a,half_peak_i_a,double_peak_i_a,double_peak_v_v,"
    "above_half_peak_s,joule_integral_a2s"
)


def case(volts, ohms, henries, farads):
    def slope(_, y):
        v, i, _ = y
        return [-i / farads, (v - ohms * i) / henries, i * i]

    alpha = ohms / (2 * henries)
    omega0 = 1 / math.sqrt(henries * farads)
    # Long enough for the slower of the two decays to leave less than 1e-10 of the energy.
    slowest = alpha if alpha <= omega0 else alpha - math.sqrt(alpha**2 - omega0**2)
    end = 14 / slowest
    fast = min(1 / omega0, henries / ohms)
    options = {"method": "DOP853", "rtol": 3e-14, "atol": 1e-15, "dense_output": True}

    def turns(_, y):
        return y[0] - ohms * y[1]

    turns.direction = -1
    run = solve_ivp(slope, (0, end), [volts, 0.0, 0.0], events=turns, max_step=fast / 2, **options)
    assert run.success
    sol = run.sol
    guess = run.t_events[0][0]
    peak_t = brentq(lambda t: sol(t)[0] - ohms * sol(t)[1], guess * 0.99, guess * 1.01, xtol=1e-16, rtol=1e-14)
    peak = sol(peak_t)[1]
    rise = brentq(lambda t: sol(t)[1] - peak / 2, 0, peak_t, xtol=1e-16, rtol=1e-14)
    after = peak_t
    while sol(after)[1] > peak / 2:
        after += fast / 4
    fall = brentq(lambda t: sol(t)[1] - peak / 2, peak_t, after, xtol=1e-16, rtol=1e-14)
    ratio = ohms / (2 * math.sqrt(henries / farads))
    kind = "critical" if abs(ratio - 1) < 1e-9 else "under" if ratio < 1 else "over"
    half, double = sol(peak_t / 2), sol(peak_t * 2)
    return (volts, ohms, henries, farads, kind, peak_t, peak, half[1], double[1], double[0], fall - rise, sol(end)[2])


def main():
    cases = []
    # Small and strong coils on the banks in use.
    coils = [(1.2, 12e-3), (3.0, 4e-3), (4.5, 10e-3), (6.0, 90e-3), (8.0, 5e-3), (16.0, 20e-3)]
    banks = [(12.0, 1000e-6), (24.0, 2200e-6), (21.2, 4700e-6), (33.0, 10_000e-6), (45.0, 22_000e-6)]
    cases += [(v, r, l, c) for r, l in coils for v, c in banks]
    # Critical, and close to it on either side.
    for v, l, c in [(24.0, 10e-3, 4700e-6), (16.0, 2e-3, 1000e-6), (45.0, 50e-3, 22_000e-6)]:
        critical = 2 * math.sqrt(l / c)
        cases += [(v, critical * k, l, c) for k in (0.999, 1.0, 1.001)]
    print(COLUMNS)
    for values in cases:
        print(",".join(v if isinstance(v, str) else repr(float(v)) for v in case(*values)))


main()
