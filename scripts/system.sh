#!/bin/sh
# Debian packages the tests need beside Python: a browser, a database server, a page printer.
set -eu
missing=
command -v chromium >/dev/null || missing="$missing chromium"
ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
command -v pdftoppm >/dev/null || missing="$missing poppler-utils"
ls /usr/lib/*/libatomic.so.1 >/dev/null 2>&1 || missing="$missing libatomic1"  # of the node that drives the browser
[ -z "$missing" ] && exit 0
if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
    echo "Missing:$missing. Install them with your system's package manager (on Debian, as root: apt-get install$missing), then run this again." >&2
    exit 1
fi
apt-get update -qq
# shellcheck disable=SC2086
DEBIAN_FRONTEND=noninteractive apt-get install -y -qq $missing
