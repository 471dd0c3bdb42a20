"""Reference values for charging a bank through a bridge rectifier and a resistor, without smoothing.

Steps through the circuit itself, pulse by pulse, with no averaging:

    python charging.py > charging.csv        (numpy)

    C dv/dt = max(0, Vp |sin wt| - 2 Vd - v)/R,   Vd = 0.7 V

by the fourth-order Runge-Kutta rule in steps of 10 microseconds. The supply's phase at the start is
unknown to a builder, so each case is run from eight phases; the file holds the mean and both extremes.
"""

import numpy as np

FRACTIONS = (0.5, 0.9, 0.95)
CASES = [
    (rms, hertz, ohms, micro * 1e-6)
    for rms, hertz, ohms, micro in [
        (12.0, 50.0, 47.0, 4700.0),
        (12.0, 50.0, 220.0, 2200.0),
        (12.0, 60.0, 100.0, 2200.0),
        (14.0, 50.0, 100.0, 4700.0),
        (14.0, 60.0, 33.0, 10_000.0),
        (15.0, 50.0, 220.0, 1000.0),
        (15.0, 60.0, 560.0, 2200.0),
        (16.0, 50.0, 22.0, 10_000.0),
        (16.0, 50.0, 47.0, 4700.0),
        (16.0, 50.0, 100.0, 4700.0),
        (16.0, 50.0, 220.0, 2200.0),
        (16.0, 60.0, 47.0, 4700.0),
        (16.0, 60.0, 100.0, 2200.0),
        (16.0, 60.0, 150.0, 6800.0),
        (18.0, 50.0, 47.0, 2200.0),
        (18.0, 50.0, 100.0, 4700.0),
        (18.0, 60.0, 220.0, 4700.0),
        (24.0, 50.0, 100.0, 2200.0),
        (24.0, 50.0, 47.0, 10_000.0),
        (24.0, 60.0, 220.0, 2200.0),
    ]
]
PHASES = 8
STEP = 1e-5


def main():
    rms, hertz, ohms, farads = (np.repeat(np.array(column), PHASES) for column in zip(*CASES))
    phase = np.tile(np.arange(PHASES) / PHASES * np.pi, len(CASES))
    peak, drop, tau, omega = rms * np.sqrt(2), 1.4, ohms * farads, 2 * np.pi * hertz
    final = peak - drop

    def slope(t, v):
        return np.maximum(0, peak * np.abs(np.sin(omega * t + phase)) - drop - v) / tau

    v = np.zeros_like(rms)
    reached = {fraction: np.full_like(rms, np.nan) for fraction in FRACTIONS}
    n = 0
    while np.isnan(reached[FRACTIONS[-1]]).any():
        t = n * STEP
        k1 = slope(t, v)
        k2 = slope(t + STEP / 2, v + STEP / 2 * k1)
        k3 = slope(t + STEP / 2, v + STEP / 2 * k2)
        k4 = slope(t + STEP, v + STEP * k3)
        after = v + STEP / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        for fraction, times in reached.items():
            target = final * fraction
            now = np.isnan(times) & (after >= target)
            times[now] = t + STEP * (target - v)[now] / (after - v)[now]
        v = after
        n += 1

    print("rms_v,hertz,ohms,farads,fraction,mean_s,least_s,most_s")
    for index, case in enumerate(CASES):
        runs = slice(index * PHASES, (index + 1) * PHASES)
        for fraction in FRACTIONS:
            times = reached[fraction][runs]
            row = (*case, fraction, times.mean(), times.min(), times.max())
            print(",".join(f"{float(value):.9g}" for value in row))


main()
