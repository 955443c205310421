#!/bin/sh
# Bring the database to the current schema, then serve. Any other command of wadebook runs as it is:
#   docker compose exec service wadebook key create --role coordinator --label office
set -eu
if [ "$1" = serve ]; then
    wadebook migrate # containers that start together wait for each other here
fi
exec wadebook "$@"
