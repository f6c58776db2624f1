#!/usr/bin/env python3
"""Takes label figures and watts at other conditions from the Sandia table of measured modules.

    pip install pvlib==0.16.1
    python3 tests/data/extract_sandia.py > tests/data/sandia_silicon.csv

Watts come from Sandia's array performance model with coefficients fitted to each module's own
outdoor measurements, so they are independent of the single-diode model. `row` counts the modules
of the table from 1. Names are left out: an entry stands for its numbers only.
"""

import csv
import sys

from pvlib import pvsystem

CONDITIONS = [(1000, 65), (800, 46), (200, 25), (1000, -10)]

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["row", "v_mp", "i_mp", "v_oc", "i_sc", "alpha_percent_per_k", "beta_percent_per_k",
              "gamma_percent_per_k"] + [f"watts_{e}_{t}" for e, t in CONDITIONS])
table = pvsystem.retrieve_sam("SandiaMod")
for n, name in enumerate(table.columns, start=1):
    m = table[name]
    if m["Material"] not in ("c-Si", "mc-Si", "Si-Film", "EFG mc-Si"):
        continue
    i_mp, v_mp, v_oc, i_sc = m["Impo"], m["Vmpo"], m["Voco"], m["Isco"]
    row = [n, v_mp, i_mp, v_oc, i_sc, 100 * m["Aisc"], 100 * m["Bvoco"] / v_oc,
           100 * (m["Aimp"] + m["Bvmpo"] / v_mp)]
    row += [pvsystem.sapm(e, t, m)["p_mp"] for e, t in CONDITIONS]
    out.writerow([f"{float(x):.7g}" for x in row])
