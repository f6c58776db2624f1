"""How the time of an answer grows with panels, kinds, ports and the width of the window.

    python3 tests/bench/scaling.py target/release/sungraft docs/pictures/scaling.svg > table.md

Runs the program on made-up sites: one input, and two inputs with half the ports each, all panels spare.
Measured is the processor time of the whole process (user and system; the fastest of RUNS), which other
work on the machine disturbs less than the time on the wall. Prints a table; draws it as SVG.
"""

import json
import math
import os
import resource
import subprocess
import sys
import tempfile

RUNS = int(os.environ.get("RUNS", "2"))

# Invented: id, Vmp, Imp, Voc, Isc, cells, %/K of Voc and Pmax. The order is that in which kinds come in.
KINDS = [
    ("barn-250", 30.5, 8.2, 37.6, 8.71, 60, -0.32, -0.43),
    ("pole-50", 17.8, 2.81, 21.8, 3.03, 36, -0.34, -0.45),
    ("field-400", 31.0, 12.9, 37.1, 13.7, 54, -0.27, -0.35),
    ("hut-100", 18.0, 5.56, 22.3, 5.9, 36, -0.32, -0.43),
    ("mast-175", 35.8, 4.89, 44.2, 5.3, 72, -0.34, -0.45),
    ("roof-200", 20.4, 9.8, 24.3, 10.2, 36, -0.30, -0.38),
    ("quay-330", 34.2, 9.65, 41.3, 10.2, 60, -0.28, -0.36),
    ("ridge-120", 17.4, 6.9, 21.4, 7.4, 36, -0.33, -0.44),
]
BASE = {"panels": 16, "kinds": 5, "ports": 8, "top": 138.0}
SERIES = {
    "panels": [8, 12, 16, 20, 24, 28],
    "kinds": [2, 3, 4, 5, 6],
    "ports": [2, 4, 8, 12],
    "top": [60.0, 100.0, 138.0, 180.0, 240.0],
}
TITLES = {
    "panels": "panels",
    "kinds": "kinds",
    "ports": "ports in all",
    "top": "top of the window [V]",
}


def site(panels, kinds, ports, top, inputs):
    lines = ["site:", "  name: Made-up lot", "  coldest_c: -15", "  hottest_c: 33", "kinds:"]
    for name, v_mp, i_mp, v_oc, i_sc, cells, voc_t, pmax_t in KINDS[:kinds]:
        lines += [
            f"  - id: {name}",
            f"    pmax_w: {v_mp * i_mp:.2f}",
            f"    vmp_v: {v_mp}",
            f"    imp_a: {i_mp}",
            f"    voc_v: {v_oc}",
            f"    isc_a: {i_sc}",
            f"    voc_percent_per_c: {voc_t}",
            "    isc_percent_per_c: 0.05",
            f"    pmax_percent_per_c: {pmax_t}",
            f"    cells: {cells}",
            "    bypass_diodes: 3",
        ]
    lines += [
        "controllers:",
        "  - id: acre",
        "    type: mppt",
        "    battery_v: 24",
        "    charge_a: 400",
        f"    max_pv_v: {top + 12:.0f}",
        f"    window_v: [30, {top:.0f}]",
        "    max_pv_a: 300",
        f"    inputs: {inputs}",
        f"    string_ports: {ports // inputs}",
        "installed: []",
        "spares:",
    ]
    for k, kind in enumerate(KINDS[:kinds]):
        count = panels // kinds + (1 if k < panels % kinds else 0)
        if count:
            lines += [f"  - kind: {kind[0]}", f"    count: {count}"]
    return "\n".join(lines) + "\n"


def run(program, text):
    """Seconds of processor time, and the answer."""
    with tempfile.NamedTemporaryFile("w", suffix=".yaml") as file:
        file.write(text)
        file.flush()
        best = math.inf
        for _ in range(RUNS):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            command = [program, "advise", file.name, "--touch", "free", "--format", "json"]
            done = subprocess.run(command, capture_output=True, check=True)
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            spent = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
            best = min(best, spent)
    return best, json.loads(done.stdout)


def measure(program):
    found, known = {}, {}
    for what, values in SERIES.items():
        for value in values:
            for inputs in (1, 2):
                size = {**BASE, what: value}
                text = site(inputs=inputs, **size)
                if text not in known:
                    known[text] = run(program, text)
                seconds, answer = known[text]
                plan = answer["plans"][answer["best"]]
                gap = 100 * (plan["bound_watts"] / plan["watts"] - 1)
                found[what, value, inputs] = (seconds, plan["proven"], gap)
                print(what, value, inputs, f"{seconds:.2f} s", f"{gap:.3f} %", file=sys.stderr)
    return found


def table(found):
    print("| | one input: time | bound above the plan | two inputs: time | bound above the plan |")
    print("|---|---|---|---|---|")
    for what, values in SERIES.items():
        for value in values:
            row = [f"{TITLES[what]}: {value:g}"]
            for inputs in (1, 2):
                seconds, _, gap = found[what, value, inputs]
                row += [f"{seconds:.2f} s", f"{gap:.2f} %"]
            print("| " + " | ".join(row) + " |")


def drawing(found):
    width, height, left, top = 150, 190, 52, 34
    seconds = [s for s, _, _ in found.values()]
    low = math.floor(math.log10(max(min(seconds), 1e-3)))
    high = math.ceil(math.log10(max(seconds)))
    up = lambda s: top + height * (high - math.log10(max(s, 10.0**low))) / (high - low)
    svg = []
    for at, (what, values) in enumerate(SERIES.items()):
        x0 = left + at * (width + 22)
        across = lambda v: x0 + 8 + (width - 16) * (v - values[0]) / (values[-1] - values[0])
        svg.append(f'<rect x="{x0}" y="{top}" width="{width}" height="{height}" fill="none" stroke="#111"/>')
        for power in range(low, high + 1):
            y = up(10.0**power)
            svg.append(f'<path d="M{x0} {y:.1f}h{width}" stroke="#111" stroke-width="0.4" stroke-dasharray="1 3"/>')
            if at == 0:
                svg.append(f'<text x="{x0 - 6}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:g}</text>')
        for value in (values[0], values[-1], BASE[what]):
            svg.append(f'<text x="{across(value):.1f}" y="{top + height + 15}" text-anchor="middle">{value:g}</text>')
        svg.append(f'<text x="{x0 + width / 2}" y="{top + height + 32}" text-anchor="middle">{TITLES[what]}</text>')
        for inputs, dash in ((1, ""), (2, ' stroke-dasharray="6 3"')):
            points = [(across(v), up(found[what, v, inputs][0]), found[what, v, inputs][1]) for v in values]
            path = " ".join(f"{x:.1f},{y:.1f}" for x, y, _ in points)
            svg.append(f'<polyline points="{path}" fill="none" stroke="#111" stroke-width="1.4"{dash}/>')
            fill = "#111" if inputs == 1 else "#fff"
            for x, y, proven in points:
                svg.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.2" fill="{fill}" stroke="#111"/>')
                if not proven:
                    svg.append(f'<path d="M{x - 6:.1f} {y - 6:.1f}l12 12m0 -12l-12 12" stroke="#111"/>')
    total = left + len(SERIES) * (width + 22)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{total}" height="{top + height + 64}" '
        f'font-family="sans-serif" font-size="12">'
        f'<rect width="100%" height="100%" fill="#fff"/>'
        f'<text x="{left}" y="20">Processor time of a whole answer [s]: one input (solid), two inputs '
        f"(dashed); a cross: not proven to 0.1 %</text>"
    )
    base = f"Elsewhere: {BASE['panels']} panels of {BASE['kinds']} kinds, {BASE['ports']} ports in all, window 30 to {BASE['top']:g} V."
    foot = f'<text x="{left}" y="{top + height + 54}">{base}</text></svg>'
    return "\n".join([head, *svg, foot]) + "\n"


def main():
    program, picture = sys.argv[1], sys.argv[2]
    found = measure(program)
    table(found)
    with open(picture, "w", encoding="utf-8") as file:
        file.write(drawing(found))


if __name__ == "__main__":
    main()
