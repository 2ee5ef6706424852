#!/bin/sh
# See to it that what tests and reads the JavaScript is here: javascript.sh node|tools
#
# node   Node.js alone, which runs the tests of the guide's modules
# tools  also the linter and the type check, in node_modules, at the versions and hashes
#        that package-lock.json names
# A second call with nothing changed only compares a stamp. Lumenkeep itself needs none
# of this: a browser reads the modules as they lie here.
set -eu

level=${1:-tools}
case $level in
    node | tools) ;;
    *) echo "javascript.sh: say node or tools, not '$level'." >&2; exit 2 ;;
esac
cd "$(dirname "$0")/.."

stop() { # what is wrong, then how to mend it
    printf '\n%s\n  mend: %s\n\n' "$1" "$2" >&2
    exit 1
}

has() {
    command -v "$1" >/dev/null 2>&1
}

install() { # Debian's own packages, where we may
    if [ "$(id -u)" = 0 ] && [ -e /etc/debian_version ] && has apt-get; then
        echo "No $1 here yet: installing it for the JavaScript's tests and checks ..."
        export DEBIAN_FRONTEND=noninteractive
        apt-get update -qq
        apt-get install -y -qq --no-install-recommends "$1" >/dev/null
    fi
}

if ! has node; then
    # The packages' names: nodejs holds node, npm holds npm.
    install nodejs || true
    has node || stop "The JavaScript is tested and checked by Node.js, and none was found." \
        "install Node.js 18 or newer (Debian, Ubuntu, as root: apt-get install nodejs npm). To use Lumenkeep it is not needed."
fi
if [ "$level" = node ]; then
    exit 0
fi

wanted=$(cat package.json package-lock.json .npmrc scripts/javascript.sh | cksum)
if [ "$(cat node_modules/.ready 2>/dev/null)" = "$wanted" ]; then
    exit 0
fi
if ! has npm; then
    install npm || true
    has npm || stop "npm, which installs the linter and the type check, was not found." \
        "install it (Debian, Ubuntu, as root: apt-get install npm), then run make lint again."
fi
echo "Installing the JavaScript's linter and type check ..."
npm ci --silent ||
    stop "The packages of package-lock.json could not be installed." \
        "check that this machine reaches an npm registry (npm config get registry), then run npm ci to see more; if it speaks of a hash, run make lock."
printf '%s\n' "$wanted" >node_modules/.ready
