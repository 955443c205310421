# shellcheck shell=bash
# Sourced by test.sh and demo.sh from the repository root: find a Python, make an environment with it.

# Print the command of the newest Python that is new enough and can make environments.
find_python() {
    local candidate seen="" candidates=(python3.13 python3.12 python3.11 python3.14 python3)
    if [ -n "${WADEBOOK_PYTHON:-}" ]; then candidates=("$WADEBOOK_PYTHON"); fi
    for candidate in "${candidates[@]}"; do
        "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || continue
        seen=$candidate
        "$candidate" -c 'import ensurepip, venv' 2>/dev/null || continue
        echo "$candidate"
        return
    done
    if [ -n "$seen" ]; then
        echo "$seen cannot make environments: install its venv package (on Debian: python3-venv)." >&2
    else
        echo "Wadebook needs Python 3.11 or newer. Tried: ${candidates[*]}" >&2
        echo "Install one, or name it: WADEBOOK_PYTHON=/path/to/python3.13" >&2
    fi
    return 1
}

# prepare_environment FOLDER LOCK: make FOLDER hold exactly what LOCK names, and this checkout.
# Nothing is done when it already does. A change of the lock, the project, the Python or the place of the
# checkout builds it anew, so that nothing old is left in it.
prepare_environment() {
    local folder=$1 lock=$2 python wanted
    python=$(find_python) || return 1
    wanted=$("$python" - "$lock" <<'PYTHON'
import hashlib, os, pathlib, sys, tomllib
project = tomllib.loads(pathlib.Path("pyproject.toml").read_text(encoding="utf-8"))
parts = [project["build-system"], project["project"], project["tool"]["setuptools"]]
parts += [pathlib.Path(sys.argv[1]).read_text(encoding="utf-8"), sys.version, sys.base_prefix, os.getcwd()]
print(hashlib.sha256(repr(parts).encode()).hexdigest())
PYTHON
) || return 1
    [ "$(cat "$folder/.holds" 2>/dev/null)" = "$wanted" ] && return

    echo "Making the environment $folder with $("$python" --version) (once, about a minute)"
    rm -rf "$folder"
    "$python" -m venv "$folder" || return 1
    echo '*' >"$folder/.gitignore"
    local install=("$folder/bin/python" -m pip install --disable-pip-version-check --no-input -qq)
    "${install[@]}" --require-hashes -r "$lock" || return 1
    # The build backend is in the lock too, so that nothing unhashed is fetched.
    "${install[@]}" --no-deps --no-build-isolation -e . || return 1
    echo "$wanted" >"$folder/.holds"
}
