#!/usr/bin/env bash
# Lint, types and the whole suite: bash tests/run.sh [fast] [pytest arguments]
# WALLWALK_REFERENCE (reference folder) and WALLWALK_WHEEL (built wheel) reach the tests if they are set.
set -euo pipefail

repo=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
cd -- "$repo"
bash examples/set-up.sh test
# The tests run the command line by its name.
export PATH="$repo/.venv/bin:$PATH"

selection=()
# One process more than there are cores: tests of pages wait for their browser half of the time. The fast part has few.
jobs=$(($(nproc) + 1))
if [ "${1:-}" = fast ]; then
    selection=(-m "not slow")
    jobs=auto
    shift
fi

failed=()
# Every check runs, so that one run tells all there is to put right.
run() {
    local name=$1
    shift
    echo "--- $name"
    python -m "$@" || failed+=("$name")
}

run "lint" ruff check
run "format" ruff format --check
run "types" mypy
run "tests" pytest -n "$jobs" --dist worksteal "${selection[@]}" "$@"

if [ "${#failed[@]}" -gt 0 ]; then
    printf 'tests/run.sh: failed: %s\n' "${failed[@]}" >&2
    exit 1
fi
