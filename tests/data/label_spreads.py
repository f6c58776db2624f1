#!/usr/bin/env python3
"""Spread of the figures that a meter does not show, over silicon modules of two open tables.

    python3 tests/data/label_spreads.py > tests/data/label_spreads.csv

Reads `cec_silicon_extract.csv` (what labels say) and `sandia_silicon.csv` (what was measured
outdoors), each table with equal weight: a panel that lost its label is as likely old as new.
For each figure: the weighted median, the weighted 2.5 % and 97.5 % quantiles, and the standard
deviation of the normal distribution whose 95 % range reaches the farther of the two.
"""

import csv
import pathlib

HERE = pathlib.Path(__file__).parent


def rows(name):
    with open(HERE / name, encoding="utf-8") as file:
        return list(csv.DictReader(file))


def figures(v_mp, v_oc, i_mp, i_sc, alpha, beta, gamma):
    """Vmp/Voc, Imp/Isc, alpha, beta and gamma - beta [%/K]."""
    return {
        "vmp_per_voc": v_mp / v_oc, "imp_per_isc": i_mp / i_sc,
        "alpha_percent_per_k": alpha, "beta_percent_per_k": beta,
        "gamma_minus_beta_percent_per_k": gamma - beta,
    }


cec, sandia = [], []
for row in rows("cec_silicon_extract.csv"):
    x = {k: float(v) for k, v in row.items() if k != "technology"}
    cec.append(figures(x["v_mp"], x["v_oc"], x["i_mp"], x["i_sc"],
                       100 * x["alpha_a_per_k"] / x["i_sc"], 100 * x["beta_v_per_k"] / x["v_oc"],
                       x["gamma_percent_per_k"]))
for row in rows("sandia_silicon.csv"):
    x = {k: float(v) for k, v in row.items()}
    sandia.append(figures(x["v_mp"], x["v_oc"], x["i_mp"], x["i_sc"],
                          x["alpha_percent_per_k"], x["beta_percent_per_k"], x["gamma_percent_per_k"]))


def quantile(pairs, p):
    """The value at which the weights below it first reach p; (value, weight) ascending."""
    total = 0.0
    for value, weight in pairs:
        total += weight
        if total >= p:
            return value
    return pairs[-1][0]


print("figure,median,quantile_0_025,quantile_0_975,sd")
for key in cec[0]:
    pairs = sorted([(x[key], 0.5 / len(cec)) for x in cec] + [(x[key], 0.5 / len(sandia)) for x in sandia])
    low, median, high = (quantile(pairs, p) for p in (0.025, 0.5, 0.975))
    print(f"{key},{median:.5f},{low:.5f},{high:.5f},{max(median - low, high - median) / 1.96:.5f}")
