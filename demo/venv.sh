# Read by demo/run and tests/run, which set root to the checkout: makes root/.venv and installs shopledger into it.

die() {
    echo "$*" >&2
    exit 1
}

# Print the first Python on the path that is new enough.
find_python() {
    for candidate in python3 python3.13 python3.12 python3.11; do
        if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then
            echo "$candidate"
            return 0
        fi
    done
    return 1
}

make_venv() {
    [ -x "$root/.venv/bin/python" ] && return 0
    python=$(find_python) || die "shopledger needs Python 3.11 or later, and none was found as python3." \
        "Install one (for example from your system's packages) and run this again."
    echo "Making $root/.venv with $("$python" --version) ..." >&2
    "$python" -m venv "$root/.venv" || {
        rm -rf "$root/.venv"
        die "The virtual environment could not be made. Where Python comes in parts, install python3-venv and run this again."
    }
}

# Print what an install depends on; an editable install follows the source by itself.
wanted() {
    cksum <"$root/pyproject.toml"
}

is_installed() {
    [ -f "$root/.venv/installed-$1" ] && [ "$(cat "$root/.venv/installed-$1")" = "$(wanted)" ]
}

# install plain: what the program needs; install test: that and what its tests need.
install() {
    make_venv
    is_installed test && return 0
    is_installed "$1" && return 0
    what=$root
    [ "$1" = test ] && what="$root[test]"
    echo "Installing shopledger ($1); the first time takes a minute ..." >&2
    "$root/.venv/bin/python" -m pip install --quiet --disable-pip-version-check --editable "$what" >&2 ||
        die "The installation failed; the lines above say why. Mend that and run this again."
    wanted >"$root/.venv/installed-$1"
}
