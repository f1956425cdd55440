#!/usr/bin/env bash
# Make this checkout ready to run on Debian 12+ or Ubuntu: bash examples/set-up.sh [test]
# Installs what is missing and nothing else; with everything in place it says nothing and is quick.
set -euo pipefail

repo=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)
venv="$repo/.venv"
stamp="$venv/set-up-stamp"
extra="${1:-plain}"
# An activated .venv must not be the Python that rebuilds itself.
PATH=${PATH//"$venv/bin:"/}

stop() {
    printf 'set-up: %s\n' "$@" >&2
    exit 1
}

# Show a command's output only when it fails.
quietly() {
    local output status=0
    output=$("$@" 2>&1 </dev/null) || status=$?
    [ "$status" -eq 0 ] || printf '%s\n' "$output" >&2
    return "$status"
}

find_python() {
    local name
    for name in python3 python3.14 python3.13 python3.12 python3.11; do
        if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            command -v "$name"
            return
        fi
    done
    return 1
}

is_installed() {
    [[ $(dpkg-query --show --showformat='${Status}' "$1" 2>/dev/null) == *' ok installed' ]]
}

# Name each Debian package that is needed and not there, one a line.
list_missing_packages() {
    # WeasyPrint draws through these libraries, and without a font it draws empty boxes.
    local package packages=(libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-open-sans fonts-dejavu-core)
    # The tests look at the PDF with pdftotext and pdftoppm, and at the form with two browsers;
    # what drives Chromium is a Node that needs libatomic. openssl verifies what is signed with a key.
    [ "$extra" = plain ] || packages+=(poppler-utils chromium firefox-esr libatomic1 openssl)
    for package in "${packages[@]}"; do
        is_installed "$package" || echo "$package"
    done
    # pip cannot reach its index without certificates to trust.
    [ -e /etc/ssl/certs/ca-certificates.crt ] || echo ca-certificates
    # Debian leaves ensurepip out of Python; an existing .venv no longer needs it.
    if ! has_working_venv && ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then
        "$python" -c 'import sys; print("python{}.{}-venv".format(*sys.version_info))'
    fi
}

install_packages() {
    local as_root=()
    local install=(apt-get install --yes --no-install-recommends "$@")
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || stop "these system packages are missing: $*" \
            "run this as root, then start again:  apt-get update && ${install[*]}"
        as_root=(sudo)
    fi
    echo "Installing system packages: $*"
    # One unreachable source must not stop the others; the install itself decides.
    quietly "${as_root[@]}" apt-get update || echo "set-up: apt-get update had trouble (above); going on" >&2
    # A machine just started may still hold the lock for its own updates.
    quietly "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive "${install[@]}" -o DPkg::Lock::Timeout=120 ||
        stop "apt-get could not install: $*" "run this as root, then start again:  apt-get update && ${install[*]}"
}

# A .venv whose Python is gone, or was replaced by another version, cannot import its own pip.
has_working_venv() {
    "$venv/bin/python" -I -c 'import sys, pip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

[ "$extra" = plain ] || [ "$extra" = test ] || stop "unknown argument \"$extra\"; write test, or nothing"
python=$(find_python) || stop "Python 3.11 or newer is needed and was not found" \
    "on Debian 12 or newer, or Ubuntu 24.04 or newer:  apt-get install python3"

if command -v apt-get >/dev/null; then
    mapfile -t missing < <(list_missing_packages)
    [ "${#missing[@]}" -eq 0 ] || install_packages "${missing[@]}"
elif [ ! -e "$stamp" ]; then
    echo "set-up: no apt-get here; please see that Pango, HarfBuzz and a font are installed" >&2
fi

# The place counts too: a checkout that was moved has a .venv that points at the old one.
wanted="$(sha256sum <"$repo/pyproject.toml") $repo"
found=$(cat "$stamp" 2>/dev/null || true)
if ! has_working_venv || [[ -n $found && $found != *" $repo "* ]]; then
    echo "Making $venv"
    rm -rf -- "$venv"
    quietly "$python" -m venv "$venv" || stop "could not make $venv (see above)"
    found=''
fi

if [ "$found" != "$wanted $extra" ] && [ "$found" != "$wanted test" ]; then
    echo "Installing wallwalk and what it needs into .venv"
    rm -f -- "$stamp"
    what=.
    [ "$extra" = plain ] || what=".[$extra]"
    cd -- "$repo"
    quietly "$venv/bin/python" -m pip install --no-input --disable-pip-version-check --editable "$what" ||
        stop "pip could not install wallwalk (see above); is this machine online?"
    # Written last, so that an install cut short is done again.
    echo "$wanted $extra" >"$stamp"
fi
