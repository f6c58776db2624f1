#!/usr/bin/env python3
"""The reference library's speed at the first group of electrical.rs, on the same machine.

    pip install pvlib==0.16.1
    OMP_NUM_THREADS=1 python3 tests/bench/max_power_pvlib.py

Ten thousand random panels, drawn as in electrical.rs; the best of twenty runs of each method.
"""

import time

import numpy as np
from pvlib import pvsystem, singlediode

N = 10_000
random = np.random.default_rng(7)
photocurrent = random.uniform(0.5, 14.0, N)
saturation_current = np.exp(random.uniform(np.log(1e-12), np.log(1e-8), N))
resistance_series = random.uniform(0.05, 0.6, N)
resistance_shunt = random.uniform(80.0, 2000.0, N)
a = random.uniform(0.9, 2.0, N)
panels = (photocurrent, saturation_current, resistance_series, resistance_shunt, a)

METHODS = {
    "bishop88_mpp, newton": lambda: singlediode.bishop88_mpp(*panels, method="newton"),
    "bishop88_mpp, brentq": lambda: singlediode.bishop88_mpp(*panels, method="brentq"),
    "singlediode, lambertw (all five points)":
        lambda: pvsystem.singlediode(*panels, method="lambertw"),
}

for name, run in METHODS.items():
    times = []
    for _ in range(3 if "brentq" in name else 20):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    best = min(times)
    print(f"{name}: {best * 1e3:.1f} ms, {N / best / 1e6:.3f} million a second")
