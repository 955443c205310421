#!/usr/bin/env bash
# Try Wadebook on a machine that has only Python >= 3.11:   bash deploy/demo.sh
#
# Serves an invented network to this machine alone, hands in two visits, asks the network, and leaves the
# service running. Its data lie in .demo/ and are made anew each time.
#   WADEBOOK_PORT=8080       its port; else 8000, or any that is free
#   WADEBOOK_DEMO_STOP=1     stop the service at the end
#   KEEP=1                   go on with the data of the last run
set -eu
cd "$(dirname "${BASH_SOURCE[0]}")/.."
# shellcheck source-path=SCRIPTDIR/.. source=deploy/python_env.sh
. deploy/python_env.sh

prepare_environment .venv deploy/requirements.txt
PATH="$PWD/.venv/bin:$PATH"

wanted_port=${WADEBOOK_PORT:-} stop_at_end=${WADEBOOK_DEMO_STOP:-}
unset "${!WADEBOOK_@}" # so that nobody's real database is filled with invented visits
export NO_PROXY=127.0.0.1 no_proxy=127.0.0.1

stop_service() { # the one whose number is in .demo/, if it still runs
    local number
    number=$(cat .demo/service.pid 2>/dev/null) || return 0
    # A number left by an old run may by now be another program's; a bare system has no ps.
    if { ps -p "$number" -o args= || tr '\0' ' ' <"/proc/$number/cmdline"; } 2>/dev/null | grep -q 'wadebook serve'; then
        kill "$number"
        while kill -0 "$number" 2>/dev/null; do sleep 0.1; done
    fi
    rm -f .demo/service.pid
}

stop_service
[ "${KEEP:-}" = 1 ] || rm -rf .demo
mkdir -p -m 700 .demo
port=$(python deploy/free_port.py "$wanted_port")
url=http://127.0.0.1:$port
export WADEBOOK_DATABASE_URL=sqlite:///.demo/wadebook.db WADEBOOK_HOST=127.0.0.1 WADEBOOK_PORT=$port
export WADEBOOK_RATE_PER_KEY=0 # the whole network is loaded with one key

wadebook migrate
coordinator=$(wadebook key create --role coordinator --label demo)

trap stop_service EXIT
nohup wadebook serve >.demo/service.log 2>&1 </dev/null &
echo $! >.demo/service.pid
for _ in $(seq 100); do
    if python -c 'import sys, urllib.request as r; r.urlopen(sys.argv[1], timeout=5)' "$url/readyz" 2>/dev/null; then
        ready=yes
        break
    fi
    kill -0 "$(cat .demo/service.pid)" 2>/dev/null || break
    sleep 0.2
done
if [ -z "${ready:-}" ]; then
    echo "The service did not start; .demo/service.log ends:" >&2
    tail -n 20 .demo/service.log >&2
    exit 1
fi

echo "Loading the demo network over HTTP"
WADEBOOK_KEY=$coordinator wadebook demo --url "$url"
lanternfield=$(wadebook key create --role school --school lanternfield --label demo)
pebblegate=$(wadebook key create --role school --school pebblegate --label demo)

WADEBOOK_KEY=$lanternfield python deploy/show_visit.py "$url" demo_data/submit_good.json
WADEBOOK_KEY=$pebblegate python deploy/show_visit.py "$url" demo_data/submit_faulty.json
WADEBOOK_KEY=$coordinator python deploy/show_network.py "$url" 0499010201 hornbeam 2026-04-01 2026-06-18

[ "$stop_at_end" = 1 ] && exit
trap - EXIT
cat <<END

The service is running:   $url   (how to use it: $url/docs)
  coordinator's key       $coordinator
  key of lanternfield     $lanternfield
Stop it:                  kill $(cat .demo/service.pid)     (its log: .demo/service.log)
END
