#!/usr/bin/env bash
# Check every example survey, from a fresh machine to finished reports: bash examples/first-walk.sh
set -euo pipefail

examples=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")" && pwd -P)
out="$examples/out"
bash "$examples/set-up.sh"
mkdir -p -- "$out"

shopt -s nullglob
surveys=("$examples"/*.yaml)
[ "${#surveys[@]}" -gt 0 ] || { echo "first-walk: no surveys in $examples" >&2; exit 2; }

made=()
for survey in "${surveys[@]}"; do
    name=$(basename -- "$survey" .yaml)
    files=("$out/$name.pdf" "$out/$name.html" "$out/$name.json")
    # A report left by an earlier walk must not pass for this one's.
    rm -f -- "${files[@]}"
    printf '\n=== %s ===\n' "$name"
    status=0
    "$examples/../.venv/bin/wallwalk" check "$survey" -o "${files[0]}" -o "${files[1]}" -o "${files[2]}" || status=$?
    # 0 is pass and 1 is hold: both are answers.
    [ "$status" -le 1 ] || { echo "first-walk: wallwalk check $survey failed with exit code $status" >&2; exit "$status"; }
    for file in "${files[@]}"; do
        [ -s "$file" ] || { echo "first-walk: $file was not written" >&2; exit 2; }
        made+=("$file")
    done
done

printf '\nFiles made\n'
printf '%s\n' "${made[@]}"
