#!/bin/sh
# A PostgreSQL server for tests: a folder of its own, a unix socket in it and no network.
#   sh scripts/postgres.sh start FOLDER [quick]    prints the address of an empty database; quick: never waits for the disk
#   sh scripts/postgres.sh stop FOLDER
set -eu
doing=$1
folder=$2
durable=
[ "${3:-}" != quick ] || durable="-c fsync=off -c synchronous_commit=off -c full_page_writes=off"
initdb=$(ls /usr/lib/postgresql/*/bin/initdb 2>/dev/null | sort -V | tail -n 1)
[ -n "$initdb" ] || initdb=$(command -v initdb || true)
if [ -z "$initdb" ]; then
    echo "PostgreSQL is missing: sh scripts/system.sh installs it (on Debian: apt-get install postgresql)." >&2
    exit 1
fi
programs=$(dirname "$initdb")

# The server refuses to run as root.
as_server() {
    if [ "$(id -u)" = 0 ]; then
        (cd / && setpriv --reuid=postgres --regid=postgres --clear-groups -- "$@")
    else
        "$@"
    fi
}

case $doing in
start)
    mkdir -p "$folder"
    chmod 700 "$folder"
    [ "$(id -u)" != 0 ] || chown postgres:postgres "$folder"
    as_server "$programs/initdb" -D "$folder/data" -U postgres -A trust -E UTF8 --locale=C.UTF-8 --no-sync >"$folder.log" 2>&1
    as_server "$programs/pg_ctl" -D "$folder/data" -w -t 60 -l "$folder/server.log" \
        -o "-k '$folder' -c listen_addresses='' -c max_connections=60 -c shared_buffers=32MB $durable" start >>"$folder.log" 2>&1
    rm -f "$folder.log"
    as_server "$programs/createdb" -h "$folder" -U postgres snath
    echo "postgresql://postgres@/snath?host=$folder"
    ;;
stop)
    as_server "$programs/pg_ctl" -D "$folder/data" -m immediate stop >/dev/null 2>&1 || true
    rm -rf "$folder"
    ;;
*)
    echo "start or stop" >&2
    exit 2
    ;;
esac
