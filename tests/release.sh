#!/usr/bin/env bash
# What is shipped answers as what is tested: every scenario, by every command, byte for byte, with one
# thread and with two. Prints the size of the release binary and how long it takes to start.
set -euo pipefail
cd "$(dirname "$0")/.."

cargo build --locked
cargo build --locked --release
target=${CARGO_TARGET_DIR:-target}
tested=$(realpath "$target/debug/sungraft")
shipped=$(realpath "$target/release/sungraft")
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT

n=0
# Asks both the same thing: what they print, and how they end, must be the same.
same() {
  local first="$place/tested" second="$place/shipped" one=0 other=0
  RAYON_NUM_THREADS=1 "$tested" "$@" >"$first" 2>"$first.talk" || one=$?
  RAYON_NUM_THREADS=2 "$shipped" "$@" >"$second" 2>"$second.talk" || other=$?
  if [ "$one" -ne "$other" ] || ! cmp "$first" "$second" || ! cmp "$first.talk" "$second.talk"; then
    printf 'not the same: sungraft %s (ends with %s and %s)\n' "$*" "$one" "$other" >&2
    exit 1
  fi
  [ -s "$first" ] || { printf 'no answer: sungraft %s\n' "$*" >&2; exit 1; }
  n=$((n + 1))
}

for site in scenarios/*.yaml; do
  for format in table json csv; do
    same advise "$site" --format "$format"
    same check "$site" --format "$format"
    if grep -q '^phases:' "$site"; then same phases "$site" --format "$format"; fi
  done
  same lesson "$site"
done
for format in table json csv; do
  same match --sites scenarios/reseller/customers --stock scenarios/reseller/stock.csv --format "$format"
  same match --sites scenarios/reseller/customers --stock scenarios/reseller/stock.csv --for margin --format "$format"
done
printf '%s answers are the same from both builds\n' "$n"

printf 'release binary: %s bytes\n' "$(stat -c %s "$shipped")"
starts=50
begin=$(date +%s%N)
for _ in $(seq "$starts"); do "$shipped" --version >"$place/version"; done
end=$(date +%s%N)
printf 'start to end of --version: %s us on average of %s\n' "$(((end - begin) / starts / 1000))" "$starts"
cat "$place/version"
