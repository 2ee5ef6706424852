#!/bin/sh
# Write requirements/*.txt and package-lock.json anew: every package by version and hash,
# no address.
#
# lock.sh            keep the versions that still fit
# lock.sh --upgrade  take the newest that fit
set -eu
cd "$(dirname "$0")/.."
uv=.venv/uv/bin/uv

lock() { # output file, then the rest of the arguments
    out=$1
    shift
    echo "  $out"
    "$uv" pip compile --quiet --universal --python-version 3.11 --generate-hashes \
        --no-header --no-emit-index-url --no-emit-find-links \
        --output-file "$out" "$@"
}

echo "Locking:"
lock requirements/uv.txt "$@" requirements/uv.in
lock requirements/build.txt "$@" requirements/build.in
lock requirements/run.txt "$@" pyproject.toml
# Each larger set starts from the smaller one, so all three agree on every version.
lock requirements/dev.txt "$@" --extra dev --constraints requirements/run.txt pyproject.toml
lock requirements/bench.txt "$@" --extra dev --extra bench --constraints requirements/dev.txt pyproject.toml

# The JavaScript's two tools: their versions are chosen by hand, in package.json.
if command -v npm >/dev/null 2>&1; then
    echo "  package-lock.json"
    npm install --package-lock-only --silent
    # Where a project asks for money is an address, too.
    .venv/bin/python - <<'END'
import json
from pathlib import Path

path = Path("package-lock.json")
lock = json.loads(path.read_text("utf-8"))
for package in lock["packages"].values():
    package.pop("funding", None)
path.write_text(json.dumps(lock, indent=2) + "\n", "utf-8")
END
else
    echo "  package-lock.json stays as it is: there is no npm here."
fi

if grep -n '://' requirements/*.txt package-lock.json; then
    echo "A lock file names an address (above); it must not be committed." >&2
    exit 1
fi
