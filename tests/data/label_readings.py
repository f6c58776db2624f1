#!/usr/bin/env python3
"""What a perfect meter would show on modules of two open tables, computed with pvlib.

    pip install pvlib==0.16.1
    python3 tests/data/label_readings.py > tests/data/label_readings.csv

CEC rows: the single-diode model with the table's own parameters (`calcparams_cec`), loaded at 0.8 Voc.
Sandia rows: Sandia's array performance model fitted to each module's outdoor measurements (`sapm`,
no single-diode model at all), loaded at its own maximum power. Each in three lights, by turns.
"""

import csv
import pathlib
import sys

from pvlib import pvsystem

HERE = pathlib.Path(__file__).parent
LIGHTS = [(640, 38), (930, 52), (450, 31)]

out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("table,row,label_v_mp,label_i_mp,label_v_oc,label_i_sc,irradiance,temp_cell,v_oc,i_sc,load_v,load_a".split(","))


def write(table, row, label, light, figures):
    out.writerow([table, row] + [f"{x:.6g}" for x in label] + list(light) + [f"{x:.7g}" for x in figures])


with open(HERE / "cec_silicon_extract.csv", encoding="utf-8") as file:
    for row in csv.DictReader(file):
        x = {k: float(v) for k, v in row.items() if k != "technology"}
        for light in LIGHTS:
            parameters = pvsystem.calcparams_cec(
                *light, x["alpha_a_per_k"], x["a"], x["photocurrent"], x["saturation_current"],
                x["resistance_shunt"], x["resistance_series"], x["adjust_percent"])
            point = pvsystem.singlediode(*parameters, method="newton")
            load_v = 0.8 * point["v_oc"]
            load_a = pvsystem.i_from_v(load_v, *parameters, method="newton")
            write("cec", row["row"], [x["v_mp"], x["i_mp"], x["v_oc"], x["i_sc"]], light,
                  [point["v_oc"], point["i_sc"], load_v, load_a])

# The rows that extract_sandia.py takes, in its order and with its numbers.
modules = pvsystem.retrieve_sam("SandiaMod")
wanted = {int(row["row"]): row for row in csv.DictReader(open(HERE / "sandia_silicon.csv", encoding="utf-8"))}
for n, name in enumerate(modules.columns, start=1):
    if n not in wanted:
        continue
    module = modules[name]
    label = [float(wanted[n][k]) for k in ("v_mp", "i_mp", "v_oc", "i_sc")]
    for light in LIGHTS:
        point = pvsystem.sapm(light[0], light[1], module)
        write("sandia", n, label, light, [point[k] for k in ("v_oc", "i_sc", "v_mp", "i_mp")])
