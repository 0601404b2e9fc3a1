#!/usr/bin/env bash
# A throw-away PostgreSQL on loopback: `start FOLDER` prints its SQLAlchemy URL, `stop FOLDER` ends it.
set -euo pipefail
action=$1 folder=$2 user=tubcare database=tubcare_test
export LC_ALL=C.UTF-8
commands=$(find /usr/lib/postgresql -mindepth 2 -maxdepth 2 -name bin 2>/dev/null | sort -V | tail -n 1)
[ -n "$commands" ] && PATH=$commands:$PATH

# The server refuses to run as root.
as_owner() { if [ "$(id -u)" = 0 ]; then runuser -u postgres -- "$@"; else "$@"; fi; }

case $action in
  start)
    mkdir -p "$folder"
    if [ "$(id -u)" = 0 ]; then chown postgres "$folder"; fi
    cd "$folder"
    port=$(python3 -c 'import socket; s = socket.create_server(("127.0.0.1", 0)); print(s.getsockname()[1])')
    as_owner initdb --pgdata data --username $user --auth trust --encoding UTF8 --no-sync >initdb.log
    options="-p $port -c listen_addresses=127.0.0.1 -c unix_socket_directories= -c fsync=off"
    as_owner pg_ctl --pgdata data --log "$folder/server.log" --wait --silent --options "$options" start >&2
    as_owner createdb --host 127.0.0.1 --port "$port" --username $user $database
    echo "postgresql+psycopg://$user@127.0.0.1:$port/$database"
    ;;
  stop)
    [ -f "$folder/data/postmaster.pid" ] || exit 0
    cd "$folder"
    as_owner pg_ctl --pgdata data --mode immediate --silent stop
    ;;
  *)
    echo "start or stop, not $action" >&2
    exit 2
    ;;
esac
