#!/bin/sh
# See to it that a Chromium is here for the browser tests; never skip them silently.
set -eu

found() {
    for name in "${CHROMIUM:-}" chromium chromium-browser google-chrome; do
        if [ -n "$name" ] && command -v "$name" >/dev/null 2>&1; then
            return 0
        fi
    done
    return 1
}

if found; then
    exit 0
fi
if [ "$(id -u)" = 0 ] && [ -e /etc/debian_version ] && command -v apt-get >/dev/null; then
    echo "No chromium here yet: installing it for the browser tests ..."
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq
    # Without a font the pages have no text to look at.
    apt-get install -y -qq --no-install-recommends chromium fonts-liberation >/dev/null
    if found; then
        exit 0
    fi
fi
cat >&2 <<'END'

The browser tests need Chromium, and none was found.
  mend: install it (Debian, Ubuntu: apt-get install chromium), or say where it is:
        CHROMIUM=/path/to/chromium make test
        To run everything else: make test-fast

END
exit 1
