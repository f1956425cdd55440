#!/usr/bin/env bash
# Looks for known faults of the packages wallwalk runs with, by pip-audit: bash tests/audit.sh
# It needs a way out to the services that keep advisories; a package that they do not answer for counts as not audited.
set -euo pipefail

repo=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
bash "$repo/examples/set-up.sh" test
work=$(mktemp -d)
trap 'rm -rf -- "$work"' EXIT
"$repo/.venv/bin/python" -m venv "$work/audit"
"$work/audit/bin/python" -m pip install --quiet --no-input --disable-pip-version-check pip-audit
"$repo/.venv/bin/python" "$repo/tests/dependencies.py" --installed >"$work/installed.txt"
"$work/audit/bin/pip-audit" --strict --progress-spinner off --no-deps --disable-pip --requirement "$work/installed.txt"
