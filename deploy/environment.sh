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
        # Unpacking takes a core, and no package needs another for it: each half has one.
        local install=("$directory/bin/python" -m pip install -qq --require-hashes --no-deps "$@") other
        "${install[@]}" -r <(half_of_lock 0 "$lock") &
        other=$!
        "${install[@]}" -r <(half_of_lock 1 "$lock")
        wait "$other"
        "$directory/bin/python" -m pip install -qq --no-deps --no-build-isolation --editable .
        cp "$lock" "$directory/installed.lock"
    fi
}

# half_of_lock HALF LOCK: every other package of a lock, with its hashes
half_of_lock() {
    awk -v half="$1" '/^[a-zA-Z0-9]/ { count++ } count % 2 == half' "$2"
}
