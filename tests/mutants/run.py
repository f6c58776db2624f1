#!/usr/bin/env python3
"""Mutation tests: what breaks the electrical model, the limits, the audit or the bounds, and is it noticed?

    python3 tests/mutants/run.py [--work DIR] [--sample N] [--seed S] [--sort edge] [--only FILE:LINE]

Copies the package to DIR/tree, weaves every mutant into it behind a switch (tests/mutants/weaver),
builds the tests once, and runs them with one mutant on at a time until a test fails. Mutants that do
not compile are left out. Of each folder a seeded sample is drawn. What was found goes to
DIR/found.tsv, line by line, and what survived is told at the end; docs/mutants.md says why it does.
"""

import argparse
import itertools
import json
import os
import random
import re
import select
import shutil
import signal
import subprocess
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent

# What is mutated, by groups of which each has its own sample.
GROUPS = {
    "electrical": ["src/electrical"],
    "limits": ["src/plan/limits", "src/plan/evaluate.rs", "src/plan/battery.rs", "src/plan/outputs.rs"],
    "audit": ["src/plan/audit"],
    "bounds": ["src/solve"],
}
# Words for people and second programs beside the search: no figure depends on them.
LEFT_OUT = ["src/solve/watch.rs", "src/solve/second_opinion.rs", "src/solve/double.rs", "tests.rs", "audit/error.rs"]
# Quick guesses, of which no bound depends: a worse guess is a longer search.
LEFT_OUT += ["master/dive.rs", "master/around.rs", "master/shares.rs", "master/shares/batches.rs"]
LEFT_OUT += [f"master/crowd/{name}.rs" for name in ("dive", "exchange", "finish", "known", "regret", "mod")]

# What is run, the quickest first: a test binary, its arguments, and the groups that it can notice
# anything of (none named: all).
LIB = "sungraft"
STEPS = [
    ("plan", [], ""),
    ("golden_electrical", [], "electrical limits"),
    ("cold_and_code", [], "electrical limits"),
    ("properties_electrical", [], "electrical"),
    ("reference_single_panel", [], "electrical"),
    ("reference_arrays", [], "electrical"),
    ("cable", [], "electrical"),
    ("fit_never_fails", [], "electrical"),
    ("search_exhaustive", ["degenerate", "lengthening", "steep"], ""),
    (LIB, ["electrical::", "plan::", "solve::", "patterns::", "--skip", "second_opinion", "--skip", "master"], ""),
    ("audit_attacked", [], "electrical limits audit"),
    ("solve_brute_force", ["with_effort", "listed", "libraries", "one_rate"], "bounds"),
    ("label", [], "electrical"),
    (LIB, ["solve::master", "second_opinion"], "bounds"),
    (LIB, ["broken_search"], "audit bounds"),
]


def rust_files():
    for group, places in GROUPS.items():
        for place in places:
            path = ROOT / place
            files = sorted(path.rglob("*.rs")) if path.is_dir() else [path]
            for file in files:
                name = str(file.relative_to(ROOT))
                if not any(name.endswith(end) for end in LEFT_OUT):
                    yield group, name


def copy(tree):
    """A fresh copy; files that did not change keep their times, so that cargo builds little."""
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, check=True, capture_output=True, text=True)
    for name in listed.stdout.splitlines():
        source, target = ROOT / name, tree / name
        if not source.is_file():
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        if not target.exists() or source.read_bytes() != target.read_bytes():
            shutil.copyfile(source, target)


def weave(work, files):
    tree = work / "tree"
    copy(tree)
    environment = {**os.environ, "CARGO_TARGET_DIR": str(work / "weaver")}
    subprocess.run(
        ["cargo", "run", "-q", "--manifest-path", str(HERE / "weaver/Cargo.toml"), "--", str(tree), str(work / "list.tsv"), str(work / "forbidden.tsv"), *files],
        env=environment,
        check=True,
    )


def cargo(work, *words):
    """Messages of cargo about the woven tree."""
    # Our own code hardly optimised, so that the build is quick; what it depends on as it is.
    environment = {**os.environ, "CARGO_TARGET_DIR": str(work / "target"), "CARGO_PROFILE_DEV_OPT_LEVEL": "1", "CARGO_INCREMENTAL": "0", "RUSTFLAGS": "--cap-lints allow"}
    done = subprocess.run(["nice", "cargo", *words, "--message-format=json", "-j", "2"], cwd=work / "tree", env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")], done.returncode


def forbid_what_does_not_compile(work, files):
    (work / "forbidden.tsv").touch()
    for _ in range(40):
        weave(work, files)
        messages, code = cargo(work, "check", "--lib")
        if code == 0:
            return
        mutants = dict(line.split("\t", 1) for line in (work / "list.tsv").read_text().splitlines())
        bad = set()
        for message in messages:
            if message.get("reason") != "compiler-message" or message["message"]["level"] != "error":
                continue
            for span in message["message"]["spans"]:
                if not span["is_primary"]:
                    continue
                lines = (work / "tree" / span["file_name"]).read_text().splitlines()
                before = "\n".join(lines[: span["line_start"] - 1] + [lines[span["line_start"] - 1][: span["column_end"]]])
                ids = re.findall(r"mutant::(?:on|scaled)\((\d+)u32", before)
                if ids:
                    bad.add(ids[-1])
        if not bad:
            raise SystemExit("the woven tree does not compile, and no mutant is to blame")
        with open(work / "forbidden.tsv", "a") as out:
            out.writelines(mutants[i] + "\n" for i in sorted(bad))
        print(f"{len(bad)} mutants do not compile", flush=True)
    raise SystemExit("mutants that do not compile: no end")


def build_tests(work):
    words = ["test", "--no-run", "--lib"]
    for name in sorted({step[0] for step in STEPS} - {LIB}):
        words += ["--test", name]
    messages, code = cargo(work, *words)
    if code != 0:
        raise SystemExit("the tests do not build")
    built = {}
    for message in messages:
        if message.get("reason") == "compiler-artifact" and message.get("executable") and message["profile"]["test"]:
            built[message["target"]["name"]] = message["executable"]
    return built


def run_test(work, binary, words, mutant, most):
    """Does a test fail with this mutant on? Its name, or `timeout`; None if all pass."""
    environment = {**os.environ, "MUTANT": str(mutant), "RUST_BACKTRACE": "0", "CARGO_MANIFEST_DIR": str(work / "tree"), "PROPTEST_FAILURE_PERSISTENCE": "off"}
    child = subprocess.Popen(["nice", binary, *words], cwd=work / "tree", env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, start_new_session=True)
    end, text, failed = time.monotonic() + most, b"", None
    while failed is None:
        ready, _, _ = select.select([child.stdout], [], [], max(0.0, end - time.monotonic()))
        chunk = os.read(child.stdout.fileno(), 65536) if ready else None
        if chunk is None:
            failed = "timeout"
        elif chunk == b"":
            break
        else:
            text += chunk
            found = re.search(rb"test (\S+)[^\n]* \.\.\. FAILED", text)
            failed = found.group(1).decode() if found else None
    if failed is not None:
        os.killpg(child.pid, signal.SIGKILL)
    child.wait()
    return failed if failed is not None else (None if child.returncode == 0 else "aborted")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--work", type=Path, default=ROOT / "target/mutants")
    parser.add_argument("--sample", type=int, default=40, help="mutants of each group")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--sort", help="mutants of this sort alone; without it all but `edge`")
    parser.add_argument("--only", help="mutants of FILE:LINE alone")
    parser.add_argument("--part", default="1/1", help="K/N: every N-th of them, from the K-th on")
    parser.add_argument("--built", action="store_true", help="the tests are built already")
    args = parser.parse_args()
    work = args.work.resolve()
    work.mkdir(parents=True, exist_ok=True)
    group_of = {name: group for group, name in rust_files()}
    if args.built:
        built = json.loads((work / "built.json").read_text())
    else:
        forbid_what_does_not_compile(work, list(group_of))
        built = build_tests(work)
        (work / "built.json").write_text(json.dumps(built))
    forbidden = set((work / "forbidden.tsv").read_text().splitlines())
    mutants = [line.split("\t") for line in (work / "list.tsv").read_text().splitlines() if line.split("\t", 1)[1] not in forbidden]

    limits = {}

    def most(step):
        """Longest that a step may take; without a mutant it must pass."""
        name, words, _ = step
        key = f"{name} {' '.join(words)}"
        if key not in limits:
            start = time.monotonic()
            failed = run_test(work, built[name], words, 0, 1800)
            if failed:
                raise SystemExit(f"{key} fails without any mutant: {failed}")
            limits[key] = 30 + 6 * (time.monotonic() - start)
            print(f"{key}: {time.monotonic() - start:.1f} s without a mutant", flush=True)
        return limits[key]

    wanted = lambda m: m[3] == args.sort if args.sort else m[3] != "edge"
    drawn = []
    for group in GROUPS:
        own = [m for m in mutants if group_of[m[1]] == group and wanted(m)]
        if args.only:
            drawn.append([m for m in own if f"{m[1]}:{m[2]}" == args.only])
        else:
            drawn.append(random.Random(f"{args.seed} {group}").sample(own, min(args.sample, len(own))))
        print(f"{group}: {len(own)} mutants", flush=True)

    # In turn from each group, so that a run that is ended early has some of all.
    drawn = [m for turn in itertools.zip_longest(*drawn) for m in turn if m]
    part, parts = map(int, args.part.split("/"))
    drawn = drawn[part - 1 :: parts]
    tally = {group: [0, 0] for group in GROUPS}
    survivors = []
    with open(work / "found.tsv", "a") as out:
        for mutant in drawn:
            start, failed = time.monotonic(), None
            group = group_of[mutant[1]]
            for step in (step for step in STEPS if group in (step[2] or group)):
                failed = run_test(work, built[step[0]], step[1], mutant[0], most(step))
                if failed:
                    failed = f"{step[0]}: {failed}"
                    break
            tally[group][failed is None] += 1
            if failed is None:
                survivors.append(mutant)
            line = "\t".join([failed or "SURVIVED", *mutant[1:]])
            print(f"{time.monotonic() - start:.0f} s {line}", flush=True)
            out.write(line + "\n")
            out.flush()
    for group, (caught, survived) in tally.items():
        print(f"{group}: {caught} caught, {survived} survived")
    caught = sum(c for c, _ in tally.values())
    print(f"{caught} of {len(drawn)} caught ({100 * caught / max(1, len(drawn)):.1f} %)")
    for mutant in survivors:
        print("survived: " + " | ".join(mutant[1:]))


if __name__ == "__main__":
    main()
