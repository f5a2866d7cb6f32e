# Shared by deploy/start and deploy/test: makes a virtual environment from a lock and installs the project into it.

fail() {
    printf '%s\n' "$*" >&2
    exit 1
}

# make_environment DIRECTORY LOCK [OPTION OF PIP INSTALL…]
make_environment() {
    local directory=$1 lock=$2 python=${PYTHON:-python3}
    shift 2
    "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null ||
        fail "Python 3.11 or newer is needed; set PYTHON to its command (tried: $python)."
    if [ ! -x "$directory/bin/pip" ] && ! "$python" -m venv "$directory"; then
        fail "No virtual environment could be made; on Debian install the package python3-venv."
    fi
    if ! cmp --silent "$lock" "$directory/installed.lock"; then
        "$directory/bin/python" -m pip install -qq --require-hashes --no-deps "$@" -r "$lock"
        "$directory/bin/python" -m pip install -qq --no-deps --no-build-isolation --editable .
        cp "$lock" "$directory/installed.lock"
    fi
}
