#!/usr/bin/env bash
# A second opinion from HiGHS on the integer programs that arise, beside microlp and our own search.
#
# HiGHS is built from source: it wants cmake, a C++ compiler and libclang, and takes minutes (6 minutes
# of one core here). So the feature `highs` is off by default and this script stands apart from .ci/run.
# On Debian 12 missing packages are installed; elsewhere install the same by their names there.
set -euo pipefail
cd "$(dirname "$0")/.."

missing=()
command -v cmake >/dev/null || missing+=(cmake)
command -v c++ >/dev/null || missing+=(g++)
ldconfig -p | grep -q 'libclang-\?[0-9.]*\.so' || missing+=(libclang1-14)
if [ "${#missing[@]}" -gt 0 ]; then
  printf 'missing: %s\n' "${missing[*]}"
  if ! command -v apt-get >/dev/null || [ "$(id -u)" -ne 0 ]; then
    printf 'install them first: apt-get install --no-install-recommends %s\n' "${missing[*]}" >&2
    exit 2
  fi
  apt-get update -q
  apt-get install -y -q --no-install-recommends "${missing[@]}"
fi

step() { printf '\n== %s\n' "$*"; "$@"; }

step nice cargo clippy -j 1 --all-targets --locked --features highs -- -D warnings
step nice cargo test -j 1 --locked --features highs --lib second_opinion
step nice cargo test -j 1 --locked --features highs --test solve_brute_force libraries
