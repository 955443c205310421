#!/usr/bin/env bash
# Write the locks anew from pyproject.toml; needs uv.   bash deploy/lock.sh [--upgrade]
# One lock serves every Python and system; no address of an index is written into it.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

build_backend=$(python3 -c 'import tomllib; print(*tomllib.load(open("pyproject.toml", "rb"))["build-system"]["requires"], sep="\n")')

lock() { # lock FILE ARGUMENTS...
    local file=$1
    shift
    uv pip compile pyproject.toml - --universal --python-version 3.11 --fork-strategy fewest \
        --generate-hashes --no-emit-index-url --no-emit-find-links \
        --custom-compile-command "bash deploy/lock.sh" --quiet --output-file "$file" "$@" <<<"$build_backend"
}

lock deploy/requirements-test.txt --extra test "$@"
lock deploy/requirements.txt --constraint deploy/requirements-test.txt "$@"
