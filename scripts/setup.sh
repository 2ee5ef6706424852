#!/bin/sh
# Lay the project's Python environment in .venv: setup.sh run|dev|bench
#
# Every package is installed at the version and hash that requirements/ names.
# A second call with nothing changed only compares a stamp, so it is instant.
set -eu

level=${1:-run}
case $level in
    run | dev | bench) ;;
    *) echo "setup.sh: say run, dev or bench, not '$level'." >&2; exit 2 ;;
esac
cd "$(dirname "$0")/.."
root=$(pwd -P)

stop() { # what is wrong, then how to mend it
    printf '\n%s\n  mend: %s\n\n' "$1" "$2" >&2
    exit 1
}

is_new_enough() {
    "$1" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null
}

python=
for name in ${PYTHON:-python3 python3.14 python3.13 python3.12 python3.11}; do
    if command -v "$name" >/dev/null 2>&1 && is_new_enough "$name"; then
        python=$name
        break
    fi
done
if [ -z "$python" ]; then
    found=$("${PYTHON:-python3}" --version 2>/dev/null || echo "no Python at all")
    stop "Lumenkeep needs Python 3.11 or newer; this machine answers: $found." \
        "install Python 3.11 or newer, then run make setup again (PYTHON=/path/to/python3 make setup picks one by hand)."
fi
if ! "$python" -c 'import venv, ensurepip' 2>/dev/null; then
    stop "This Python cannot make a virtual environment: its venv module is missing." \
        "on Debian or Ubuntu, as root: apt-get install python3-venv; elsewhere, install a complete Python 3.11 or newer."
fi

# An environment made by another Python, or moved from another folder, is made anew.
maker="$("$python" -c 'import sys; print(sys.version, sys.prefix)') $root"
if [ -e .venv ] && { [ "$(cat .venv/.made-by 2>/dev/null)" != "$maker" ] ||
    ! .venv/bin/python -c '' 2>/dev/null; }; then
    echo "The environment in .venv was made elsewhere: making it anew."
    rm -rf .venv
fi

wanted=$(cat pyproject.toml scripts/setup.sh requirements/uv.txt \
    requirements/build.txt requirements/run.txt "requirements/$level.txt" | cksum)
if [ "$(cat ".venv/.ready-$level" 2>/dev/null)" = "$wanted" ]; then
    exit 0
fi

if [ ! -e .venv ]; then
    echo "Making .venv ..."
    "$python" -m venv --without-pip .venv
    printf '%s\n' "$maker" >.venv/.made-by
fi

# uv installs the rest; it lives in a small environment of its own inside .venv.
uv=.venv/uv/bin/uv
uv_wanted=$(cksum <requirements/uv.txt)
if [ "$(cat .venv/.ready-uv 2>/dev/null)" != "$uv_wanted" ]; then
    echo "Fetching uv ..."
    rm -rf .venv/uv
    "$python" -m venv .venv/uv
    .venv/uv/bin/python -m pip install --quiet --quiet --disable-pip-version-check \
        --require-hashes --requirement requirements/uv.txt ||
        stop "uv, the installer, could not be fetched." \
            "check that this machine reaches a Python package index, then run make setup again."
    printf '%s\n' "$uv_wanted" >.venv/.ready-uv
fi

echo "Installing packages ($level) ..."
export UV_PYTHON_DOWNLOADS=never VIRTUAL_ENV="$root/.venv"
# A hospital's network often signs with its own certificate, known to the system only.
if [ -s /etc/ssl/certs/ca-certificates.crt ] || [ -d /etc/pki/tls/certs ] ||
    [ "$(uname)" = Darwin ]; then
    export UV_SYSTEM_CERTS="${UV_SYSTEM_CERTS:-true}"
fi
"$uv" pip install --quiet --require-hashes --requirement "requirements/$level.txt" ||
    stop "The packages of requirements/$level.txt could not be installed." \
        "read the lines above; if they speak of a connection, try again; if of a hash, run make lock."
"$uv" pip install --quiet --no-deps --editable . \
    --build-constraints requirements/build.txt ||
    stop "Lumenkeep itself could not be installed." "read the lines above."

printf '%s\n' "$wanted" >".venv/.ready-$level"
echo "Ready: .venv/bin/lumenkeep"
