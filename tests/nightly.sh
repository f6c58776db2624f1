#!/usr/bin/env bash
# What is too long for every day: 2,000 random inventories against trying every wiring, and the
# integer programs that arise against both libraries. A slice of each is in `cargo test`.
# HiGHS takes part where it is built (by tests/highs.sh); nothing is built for it here.
set -euo pipefail
cd "$(dirname "$0")/.."

step() { printf '\n== %s\n' "$*"; "$@"; }

step nice cargo test -j 1 --locked --test search_exhaustive -- --ignored --nocapture
step nice cargo test -j 1 --locked --test solve_brute_force
step nice cargo test -j 1 --locked --lib second_opinion
built=$(find "${CARGO_TARGET_DIR:-target}" -path '*highs-sys-*/out/lib*' -print -quit 2>/dev/null || true)
if [ -n "$built" ]; then
  step nice cargo test -j 1 --locked --features highs --lib second_opinion
  step nice cargo test -j 1 --locked --features highs --test solve_brute_force libraries
else
  printf '\n== HiGHS is skipped: it is not built here (tests/highs.sh builds it)\n'
fi
