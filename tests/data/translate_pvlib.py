#!/usr/bin/env python3
"""Translates fitted parameters to other conditions with pvlib, for a check of our own translation.

    pip install pvlib==0.16.1
    python3 tests/data/translate_pvlib.py > tests/data/translate_pvlib.csv
"""

import csv
import pathlib
import sys

from pvlib import pvsystem

HERE = pathlib.Path(__file__).parent
CONDITIONS = [(1000, 25), (800, 46), (1000, 65), (200, 25), (1000, -20), (50, -35), (1300, 85)]

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["row", "irradiance", "temp_cell", "v_mp", "i_mp", "v_oc", "i_sc"])
rows = list(csv.DictReader(open(HERE / "cec_silicon_extract.csv", encoding="utf-8")))
for row in rows[::30]:
    value = {k: float(v) for k, v in row.items() if k != "technology"}
    for irradiance, temp_cell in CONDITIONS:
        parameters = pvsystem.calcparams_cec(
            irradiance, temp_cell, value["alpha_a_per_k"], value["a"], value["photocurrent"],
            value["saturation_current"], value["resistance_shunt"], value["resistance_series"],
            value["adjust_percent"])
        point = pvsystem.singlediode(*parameters, method="newton")
        out.writerow([row["row"], irradiance, temp_cell]
                     + [f"{point[k]:.10g}" for k in ("v_mp", "i_mp", "v_oc", "i_sc")])
