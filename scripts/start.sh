# Finds a Python that is new enough and hands the command over to it.
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd) || exit 1
for python in python3 python3.14 python3.13 python3.12 python3.11 python; do
    if "$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
        exec "$python" "$here" "$@"
    fi
done
echo "Python 3.11 or newer is missing: install it (on Debian: apt install python3 python3-venv) and run this again." >&2
exit 1
