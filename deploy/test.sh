#!/usr/bin/env bash
# Check and test Wadebook on a machine that has only Python >= 3.11:   bash deploy/test.sh [pytest arguments]
#
# The environment lies in .venv-test/, apart from the one of deploy/demo.sh: the demo so proves that the
# service runs without the test tools. It may lie in a private folder, also of root: what another account
# must reach (PostgreSQL's programs and data) tests/postgres_server.py puts in the temporary folder.
# PostgreSQL: WADEBOOK_TEST_POSTGRES_URL, else an installed one, else the one from the lock.
set -u
cd "$(dirname "${BASH_SOURCE[0]}")/.." || exit 1
# shellcheck source-path=SCRIPTDIR/.. source=deploy/python_env.sh
. deploy/python_env.sh

if [ "${CI:-}" = true ]; then
    unset FORCE_COLOR CLICOLOR_FORCE
    export NO_COLOR=1 TERM=dumb PY_COLORS=0
fi

unset PYTHONDONTWRITEBYTECODE # else each of the forty starts of the service in the tests compiles it anew

prepare_environment .venv-test deploy/requirements-test.txt || exit 1
# shellcheck disable=SC1091
. .venv-test/bin/activate

failed=()
check() { # check NAME COMMAND...: run it under a heading, remember a failure, go on
    local name=$1
    shift
    printf '\n== %s: %s\n' "$name" "$*"
    "$@" || failed+=("$name")
}

check format ruff format --check .
check lint ruff check .
check types mypy service
check layers lint-imports
# A module stays on one worker, where the large loads are made once; tests/scheduling.py names the long ones.
check tests python -m pytest -n auto --dist loadscope "$@"

if [ ${#failed[@]} -gt 0 ]; then
    printf '\nFailed: %s\n' "${failed[*]}"
    exit 1
fi
