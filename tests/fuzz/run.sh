#!/usr/bin/env bash
# Builds fuzz targets with the toolchain that is there and runs each for a while, two at once or as
# many as BLANKWRIGHT_FUZZ_JOBS says:
#   tests/fuzz/run.sh [SECONDS] [TARGET...]
# What is found lies in artifacts/TARGET; put it into corpus/TARGET once it is mended. The seeds are
# the samples and the corpus of small files; the runs begin from the same number each time.
set -euo pipefail
cd "$(dirname "$0")"
seconds=${1:-60}
shift || true
all=(open_any_bytes shop_any_bytes svg_any_bytes dxf_any_bytes picture_any_bytes value_any_text
  trim_any_readings edit_any_sequence print_any_knife desk_any_recovery)
if [ $# -gt 0 ]; then all=("$@"); fi
host=$(rustc -vV | sed -n 's/^host: //p')
# What cargo-fuzz passes for `--sanitizer none --no-trace-compares`: the code is safe Rust, so that a
# sanitizer would have nothing to find, and comparing costs most of the time.
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
--cfg fuzzing"
bins=()
features=
for target in "${all[@]}"; do
  bins+=(--bin "$target")
  # What takes long to compile, only for its own targets.
  case $target in
    trim_* | edit_* | print_*) features+=commands, ;;
    desk_*) features+=desk, ;;
    picture_*) features+=pictures, ;;
  esac
done
# On one thread an input takes the same way through the program each time.
export RAYON_NUM_THREADS=1
# The versions are those of the program; what fuzzing needs besides is added.
cp ../../Cargo.lock Cargo.lock
cargo build --release --target "$host" --no-default-features --features "$features" "${bins[@]}"
built=${CARGO_TARGET_DIR:-target}/$host/release

seeds() {
  case $1 in
    open_any_bytes | desk_any_recovery) echo ../../samples ../../assets/starters ;;
    shop_any_bytes) echo ../../samples ;;
    svg_any_bytes) echo ../corpus/svg ;;
    picture_any_bytes) echo ../../samples ;;
  esac
}

one() {
  mkdir -p "corpus/$1" "artifacts/$1" "found/$1"
  local more=() long=6000
  case $1 in svg_* | dxf_*) more=(-dict=drawing.dict) ;; open_* | shop_* | desk_*) more=(-dict=blank.dict) ;; esac
  # A few of these run in a second: inputs would stay shorter than one edit takes for hours.
  # Weighing inputs by how rare their features are takes a quarter of the time with so many features.
  case $1 in edit_* | print_*) more=(-len_control=0 -entropic=0) ;; esac
  case $1 in open_* | desk_*) long=20000 ;; picture_*) long=60000 ;; edit_* | print_*) long=600 ;; value_*) long=60 ;; esac
  # shellcheck disable=SC2046
  "$built/$1" "found/$1" "corpus/$1" $(seeds "$1") -seed=1 -max_total_time="$seconds" -timeout=25 \
    -rss_limit_mb=2048 -max_len=$long -print_final_stats=1 -artifact_prefix="artifacts/$1/" \
    "${more[@]}" >"artifacts/$1.log" 2>&1
  local code=$?
  printf '%-20s exit %d  %s  %s\n' "$1" $code \
    "$(grep -o 'stat::number_of_executed_units: *[0-9]*' "artifacts/$1.log" | grep -o '[0-9]*$') executions" \
    "$(grep -o 'cov: [0-9]*' "artifacts/$1.log" | tail -n 1)"
  if [ $code -ne 0 ]; then
    grep -E "panicked|ERROR|SUMMARY" -A 3 "artifacts/$1.log" | head -n 30
  fi
  return $code
}
export -f one seeds
export seconds built
printf '%s\n' "${all[@]}" | xargs -P "${BLANKWRIGHT_FUZZ_JOBS:-2}" -I{} bash -c 'one {}'
