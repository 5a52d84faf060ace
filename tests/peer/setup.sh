#!/bin/sh
# Makes the Python environment of the peer computation in .venv, beside this file.
set -eu
cd "$(dirname "$0")"
if [ ! -x .venv/bin/python ]; then
    python3 -m venv .venv
fi
.venv/bin/python -m pip install --quiet --disable-pip-version-check --requirement requirements.txt
