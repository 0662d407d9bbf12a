#!/bin/sh
# Make the virtual environment with the program and one of its extras: shop to run the bench, dev to work on it.
set -eu
venv=$1
extra=$2
begun=$(date +%s)
python=${PYTHON:-python3}

if ! "$python" -c 'import ensurepip, venv' 2>/dev/null; then
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
        apt-get update -qq
        DEBIAN_FRONTEND=noninteractive apt-get install -y -qq python3-venv
    else
        echo "This Python cannot make a virtual environment. Install Debian's package python3-venv, then run this again." >&2
        exit 1
    fi
fi
if ! "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))'; then
    echo "Python 3.11 or newer is needed; $("$python" --version) was found. Say which to use: make PYTHON=python3.12 ..." >&2
    exit 1
fi
[ -x "$venv/bin/python" ] || "$python" -m venv "$venv"
"$venv/bin/pip" install -q --disable-pip-version-check -c constraints.txt -e ".[$extra]"
echo "Set up in $(($(date +%s) - begun)) s: $(du -sm "$venv" | cut -f 1) MB in $venv."
