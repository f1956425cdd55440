#!/usr/bin/env bash
# Draws the picture in README.md, the first page of the corridor's report: bash examples/draw-picture.sh
# Needs pdftoppm (poppler-utils), which tests/run.sh installs.
set -euo pipefail

examples=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")" && pwd -P)
bash "$examples/set-up.sh" test
work=$(mktemp -d)
trap 'rm -rf -- "$work"' EXIT
status=0
"$examples/../.venv/bin/wallwalk" check "$examples/110-link-corridor.yaml" -o "$work/report.pdf" >/dev/null || status=$?
[ "$status" -le 1 ] || exit "$status"
pdftoppm -png -r 80 -f 1 -l 1 -singlefile "$work/report.pdf" "$examples/report"
echo "$examples/report.png"
