#!/bin/sh
# Brings the one thing that pip cannot: libGL.so.1, the system library that the solid kernel is linked to.
# Does nothing where it is there. Installs a Debian package, as root or by sudo; otherwise it says what is missing.

has_libgl() { "$(dirname "$0")/.venv/bin/python" -c 'import ctypes; ctypes.CDLL("libGL.so.1")' 2>/dev/null; }

if [ "$(uname)" != Linux ] || has_libgl; then exit 0; fi

if [ "$(id -u)" = 0 ]; then as_root=; else as_root=sudo; fi
if command -v apt-get >/dev/null && { [ -z "$as_root" ] || command -v sudo >/dev/null; }; then
    echo "installing libgl1, which the solid kernel needs" >&2
    export DEBIAN_FRONTEND=noninteractive
    { $as_root apt-get update -qq && $as_root apt-get install -y -qq --no-install-recommends libgl1; } >/dev/null
fi
has_libgl && exit 0
echo "libGL.so.1 is missing, which the solid kernel needs. Install it as root; on Debian: apt-get install libgl1" >&2
exit 1
