#!/usr/bin/env python3
"""Takes label figures and fitted parameters of silicon modules from the CEC table in the pvlib wheel.

    pip download pvlib==0.16.1 --no-deps -d WHEELS
    python3 tests/data/extract_cec.py WHEELS/pvlib-0.16.1-py3-none-any.whl 300 > tests/data/cec_silicon_extract.csv
    python3 tests/data/extract_cec.py WHEELS/pvlib-0.16.1-py3-none-any.whl all > cec_silicon.csv

With a number N it takes N silicon rows at even distances, otherwise all of them. `row` counts the
data rows of the table from 1. Names are left out: an entry stands for its numbers only.
"""

import csv
import io
import sys
import zipfile

TABLE = "pvlib/data/sam-library-cec-modules-2019-03-05.csv"
COLUMNS = [
    ("Technology", "technology"), ("N_s", "cells"),
    ("I_sc_ref", "i_sc"), ("V_oc_ref", "v_oc"), ("I_mp_ref", "i_mp"), ("V_mp_ref", "v_mp"),
    ("alpha_sc", "alpha_a_per_k"), ("beta_oc", "beta_v_per_k"), ("gamma_r", "gamma_percent_per_k"),
    ("T_NOCT", "noct_c"), ("a_ref", "a"), ("I_L_ref", "photocurrent"),
    ("I_o_ref", "saturation_current"), ("R_s", "resistance_series"),
    ("R_sh_ref", "resistance_shunt"), ("Adjust", "adjust_percent"),
]


def main(wheel, how_many):
    with zipfile.ZipFile(wheel) as archive, archive.open(TABLE) as raw:
        rows = list(csv.DictReader(io.TextIOWrapper(raw, encoding="utf-8", errors="replace")))
    # The two rows below the header hold units and variables' names.
    silicon = [(n, row) for n, row in enumerate(rows[2:], start=1) if row["Technology"].endswith("c-Si")]
    if how_many != "all":
        n = int(how_many)
        silicon = [silicon[k * len(silicon) // n] for k in range(n)]
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["row"] + [name for _, name in COLUMNS])
    for n, row in silicon:
        out.writerow([n] + [row[column] for column, _ in COLUMNS])


if __name__ == "__main__":
    main(*sys.argv[1:])
