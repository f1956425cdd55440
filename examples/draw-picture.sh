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
pdftoppm -png -r 80 -f 1 -l 1 -singlefile "$work/report.pdf" "$work/report"
pdftotext -layout -f 1 -l 1 "$work/report.pdf" "$work/report.txt"
# The words of the page go into the picture, by which a test sees whether it is current.
"$examples/../.venv/bin/python" - "$work/report.png" "$work/report.txt" "$examples/report.png" <<'PYTHON'
import sys
from pathlib import Path

from PIL import Image
from PIL.PngImagePlugin import PngInfo

picture, text, target = sys.argv[1:]
words = PngInfo()
words.add_itxt("Page", Path(text).read_text(encoding="utf-8"), zip=True)
Image.open(picture).save(target, pnginfo=words, optimize=True)
PYTHON
echo "$examples/report.png"
