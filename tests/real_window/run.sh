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
    exec timeout 900 dbus-run-session -- "$here/run.sh" "$1" "$2" inside
fi
# The display takes a free number itself: looking for one first leaves time for another to take it.
# It does not begin anew when the last program leaves, which would turn the next one away.
exec 3< <(exec Xvfb -displayfd 1 -noreset -screen 0 1280x1024x24 2>/dev/null)
trap "kill $!" EXIT
read -r number <&3
export DISPLAY=:$number
# A window tells its elements only once something asks for them, as a screen reader does.
/usr/libexec/at-spi-bus-launcher &
until gdbus call --session --dest org.a11y.Bus --object-path /org/a11y/bus \
    --method org.freedesktop.DBus.Properties.Set org.a11y.Status IsEnabled '<true>' >/dev/null 2>&1
do sleep 0.1; done
/usr/bin/python3 "$here/main_path.py" "$1" "$2"
