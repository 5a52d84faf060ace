# Sourced by ./demo and ./check: makes sure that Rust and the Debian packages named are there.
# As root, or with sudo that asks for no password, missing packages are installed; elsewhere they
# are named and the command stops.

stop() {
    printf '%s\n' "$@" >&2
    exit 1
}

need_rust() {
    command -v cargo >/dev/null 2>&1 ||
        stop "Rust is not installed: 'cargo' was not found." \
             "Install Rust 1.95 or newer (your distribution or rustup), then run this again."
}

# need_packages PACKAGE...
need_packages() {
    command -v dpkg-query >/dev/null 2>&1 || {
        printf 'Not a Debian system: please make sure the equivalents of these are installed:\n  %s\n' "$*"
        return 0
    }
    local missing=() package
    for package in "$@"; do
        dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
            missing+=("$package")
    done
    [ "${#missing[@]}" -eq 0 ] && return 0

    local as_root=()
    if [ "$(id -u)" -ne 0 ]; then
        if sudo -n true 2>/dev/null; then
            as_root=(sudo -n)
        else
            stop "These system packages are missing. Install them, then run this again:" \
                 "  sudo apt-get install --no-install-recommends ${missing[*]}"
        fi
    fi
    printf 'Installing system packages: %s\n' "${missing[*]}"
    local log
    log=$(mktemp)
    if ! { "${as_root[@]}" apt-get update -qq &&
           DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -y -qq \
               --no-install-recommends "${missing[@]}"; } >"$log" 2>&1; then
        tail -n 20 "$log" >&2
        stop "The packages above could not be installed."
    fi
    rm -f "$log"
}

# What the build needs (the HDF5 library is built from source), and what a window needs to open.
BUILD_PACKAGES=(cmake g++ libasound2-dev make pkg-config)
WINDOW_PACKAGES=(libgl1 libegl1 libgl1-mesa-dri libx11-6 libx11-xcb1 libxcursor1 libxi6 libxrandr2
    libxkbcommon0 libxkbcommon-x11-0)
# What the checks need besides: a view of what is synced to disk, a virtual display and its tools,
# software rendering, Python's virtual environments, Rust's library sources, an emulator; what tells
# the window's elements to a screen reader.
CHECK_PACKAGES=(strace xvfb xauth xdotool imagemagick mesa-vulkan-drivers poppler-utils python3-venv
    rustc-web rust-web-src qemu-system-arm at-spi2-core dbus-daemon gir1.2-atspi-2.0 libglib2.0-bin
    python3-gi)
