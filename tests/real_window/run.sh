#!/usr/bin/env bash
# Goes through the window's main path with synthetic mouse and keys, under a virtual display.
#
#     tests/real_window/run.sh PROGRAM PICTURES
#
# Needs Debian's xvfb, xdotool, imagemagick, dbus-daemon, at-spi2-core, libglib2.0-bin, python3-gi and
# gir1.2-atspi-2.0.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)

if [ "${3:-}" != inside ]; then
    exec timeout 900 dbus-run-session -- \
        xvfb-run -a -s "-screen 0 1280x1024x24" "$here/run.sh" "$1" "$2" inside
fi
# A window tells its elements only once something asks for them, as a screen reader does.
/usr/libexec/at-spi-bus-launcher &
until gdbus call --session --dest org.a11y.Bus --object-path /org/a11y/bus \
    --method org.freedesktop.DBus.Properties.Set org.a11y.Status IsEnabled '<true>' >/dev/null 2>&1
do sleep 0.1; done
exec /usr/bin/python3 "$here/main_path.py" "$1" "$2"
