"""Extracts of two TMY3 files and what another library makes of them.

pip install pvlib==0.16.1 pandas
python3 tests/data/extract_tmy3.py            writes tests/data/tmy3_*.csv
python3 tests/data/extract_tmy3.py --full DIR writes both years whole, for the ignored test of tests/energy
"""
import os
import sys

import numpy as np
import pandas as pd
import pvlib

SHIPPED = os.path.join(os.path.dirname(pvlib.__file__), "data")
HERE = os.path.dirname(os.path.abspath(__file__))
FILES = {"south": "723170TYA.CSV", "north": "703165TY.csv"}
COLUMNS = ["Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)"]


def lines_of(name):
    with open(os.path.join(SHIPPED, name)) as f:
        lines = f.read().splitlines()
    place, head = lines[0], lines[1].split(",")
    at = [head.index(c) for c in COLUMNS]
    rows = [",".join(line.split(",")[i] for i in at) for line in lines[2:]]
    return place, rows


def every_fifth_day(rows):
    """The third of each five days, which then stands for all five."""
    return [row for day in range(2, 365, 5) for row in rows[24 * day : 24 * day + 24]]


def five_times(rows, whole):
    """A whole year again: each extracted day five times, under the dates of the whole file."""
    year = []
    for day in range(365):
        for hour in range(24):
            kept = rows[24 * (day // 5) + hour].split(",", 1)
            date = whole[24 * day + hour].split(",", 1)[0]
            # The year of the day it comes from, which the sun hardly knows.
            year.append(date[:6] + kept[0][6:] + "," + kept[1])
    return year


def frame(rows):
    cells = [r.split(",") for r in rows]
    dates = [pd.Timestamp(f"{c[0][6:]}-{c[0][:2]}-{c[0][3:5]}") for c in cells]
    ends = [d + pd.Timedelta(hours=int(c[1][:2])) for d, c in zip(dates, cells)]
    values = np.array([[float(x) for x in c[2:6]] for c in cells])
    return pd.DatetimeIndex(ends), values, np.array([int(c[0][:2]) for c in cells])


def reference(place, rows, tilts):
    """Sun on the plane and energy of an array, month by month. [kWh/m²], [kWh]

    Four invented 100 W panels in two strings of two, 97 % of whose power comes out, at most 270 W;
    cells at NOCT 46 °C (Ross); Hay and Davies, reflectance 0.2; sun at the middle of the hour.
    """
    zone, lat, lon = (float(x) for x in place.split(",")[-4:-1])
    ends, values, month = frame(rows)
    ghi, dni, dhi, air = values.T
    middle = pd.DatetimeIndex(ends - pd.Timedelta(minutes=30)) - pd.Timedelta(hours=zone)
    middle = middle.tz_localize("UTC")
    sun = pvlib.solarposition.get_solarposition(middle, lat, lon)
    extra = np.asarray(pvlib.irradiance.get_extra_radiation(middle))
    out = []
    for tilt in tilts:
        total = pvlib.irradiance.get_total_irradiance(
            tilt, 180, sun.apparent_zenith.values, sun.azimuth.values, dni, ghi, dhi,
            dni_extra=extra, albedo=0.2, model="haydavies")
        plane = np.nan_to_num(np.clip(total["poa_global"], 0, None))
        cell = air + plane * (46 - 20) / 800
        lit = plane > 0
        five = pvlib.pvsystem.calcparams_cec(
            plane[lit], cell[lit], 0.05 / 100 * 5.90, 0.903883, 5.903358, 1.130516e-10, 514.80, 0.293014, 7.51)
        watts = np.zeros(len(plane))
        watts[lit] = 4 * pvlib.pvsystem.singlediode(*five)["p_mp"]
        kwh = np.minimum(0.97 * np.nan_to_num(watts), 270) / 1000
        for m in range(1, 13):
            out.append((tilt, m, plane[month == m].sum() / 1000, kwh[month == m].sum()))
    return out


def main():
    full = sys.argv[2] if len(sys.argv) == 3 and sys.argv[1] == "--full" else None
    head = ",".join(COLUMNS)
    for name, shipped in FILES.items():
        place, whole = lines_of(shipped)
        lat = float(place.split(",")[-3])
        tilts = [0.0, round(lat, 3), round(lat + 15, 3)]
        if full:
            with open(os.path.join(full, f"tmy3_{name}.csv"), "w") as f:
                f.write("\n".join([place, head, *whole]) + "\n")
            rows = reference(place, whole, tilts)
        else:
            kept = every_fifth_day(whole)
            with open(os.path.join(HERE, f"tmy3_{name}_fifth.csv"), "w") as f:
                f.write("\n".join([place, head, *kept]) + "\n")
            rows = reference(place, five_times(kept, whole), tilts)
        target = os.path.join(full or HERE, f"tmy3_{name}_pvlib.csv")
        with open(target, "w") as f:
            f.write("tilt_deg,month,plane_kwh_m2,kwh\n")
            for tilt, month, plane, kwh in rows:
                f.write(f"{tilt},{month},{plane:.4f},{kwh:.5f}\n")
        for tilt in tilts:
            print(name, tilt, round(sum(r[3] for r in rows if r[0] == tilt), 1), file=sys.stderr)


main()
