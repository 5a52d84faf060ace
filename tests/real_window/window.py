"""A real window, seen as a screen reader sees it and used with synthetic mouse and keys.

Elements are found by their accessible names over AT-SPI, the open accessibility standard of the
desktop; clicks and keys come from xdotool, as a person's would. Python's standard library and the
system's own bindings only.
"""

import pathlib
import subprocess
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

PATIENCE_S = 90.0
LOOK_EVERY_S = 0.1
# Hands are no faster, and the window takes one click a frame. What follows is waited for apart.
HAND_S = 0.2
# The bar of screens above what scrolls, in pixels.
BAR_HEIGHT = 45


class NotThere(AssertionError):
    """Something that the window should show, and does not within PATIENCE_S."""


class Element:
    """One thing on the window, with its place in it in pixels."""

    def __init__(self, node, name, role):
        self.node, self.name, self.role = node, name, role
        place = node.get_extents(Atspi.CoordType.WINDOW)
        self.middle = (place.x + place.width // 2, place.y + place.height // 2)
        self.has_size = 0 < place.width and 0 < place.height

    def has(self, state):
        return self.node.get_state_set().contains(state)


class Window:
    """The running program, and a folder that takes a picture of each step."""

    def __init__(self, command, pictures):
        self.pictures = pathlib.Path(pictures)
        self.pictures.mkdir(parents=True, exist_ok=True)
        self.n_pictures = 0
        self.program = subprocess.Popen(command)
        Atspi.init()
        self.id = self._wait("the window", self._window_id)
        xdotool("windowfocus", "--sync", self.id)
        sizes = xdotool("getwindowgeometry", "--shell", self.id)
        told = dict(line.split("=") for line in sizes.split())
        self.size = int(told["WIDTH"]), int(told["HEIGHT"])

    def _window_id(self):
        found = subprocess.run(
            ["xdotool", "search", "--onlyvisible", "--name", "."], capture_output=True, text=True
        ).stdout.split()
        return found[-1] if found else None

    def _wait(self, what, look):
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            if self.program.poll() is not None:
                raise NotThere(f"the program ended with {self.program.returncode} before {what}")
            found = look()
            if found:
                return found
            time.sleep(LOOK_EVERY_S)
        self.picture("missing")
        raise NotThere(f"{what}; there is:\n" + "\n".join(f"{e.role}: {e.name}" for e in self.elements()))

    def elements(self):
        """Everything with a name, in the order a screen reader goes through it."""
        found = []
        waiting = [Atspi.get_desktop(0)]
        while waiting:
            node = waiting.pop()
            try:
                children = [node.get_child_at_index(i) for i in range(node.get_child_count())]
                waiting.extend(reversed([child for child in children if child is not None]))
                name = node.get_name()
                if name:
                    found.append(Element(node, name, node.get_role_name()))
            except GLib.Error:
                # It went away while it was being looked at.
                continue
        return found

    def find(self, begins, ends="", roles=()):
        """The first element whose name begins and ends so, and that can be used."""
        def look():
            for element in self.elements():
                fits = element.name.startswith(begins) and element.name.endswith(ends)
                fits = fits and (not roles or element.role in roles)
                if fits and element.has_size and element.has(Atspi.StateType.ENABLED):
                    return element
            return None
        return self._wait(f"an element named {begins!r} ... {ends!r} {roles}", look)

    def waits_for(self, text):
        """Waits until some name holds `text`."""
        self._wait(f"the words {text!r}", lambda: any(text in e.name for e in self.elements()))

    def _in_view(self, begins, ends, roles):
        """Turns the wheel until the element lies inside the window, and at rest."""
        before = None
        for _ in range(60):
            element = self.find(begins, ends, roles)
            if BAR_HEIGHT < element.middle[1] < self.size[1] - 8:
                if element.middle == before:
                    return element
                before = element.middle
                time.sleep(LOOK_EVERY_S)
                continue
            half = self.size[1] // 2
            xdotool("mousemove", "--window", self.id, self.size[0] // 2, half)
            by_hand("click", 5 if half < element.middle[1] else 4)
        raise NotThere(f"{begins!r} cannot be scrolled into view")

    def click(self, begins, ends="", roles=()):
        self._click(self._in_view(begins, ends, roles))

    def _click(self, element):
        by_hand("mousemove", "--window", self.id, *element.middle)
        by_hand("click", 1)

    def show(self, screen):
        """Chooses a screen in the bar, which does not scroll."""
        self._click(self.find(screen, roles=("toggle button",)))

    def write(self, field, text):
        """Puts text in the place of what a field holds."""
        self.click(field, roles=("entry", "spin button"))
        self.key("ctrl+a")
        by_hand("type", "--delay", 15, text)

    def choose(self, field, option):
        self.click(field, roles=("combo box",))
        self.click(option)

    def key(self, key):
        by_hand("key", key)

    def go_to_by_keys(self, name):
        """Presses Tab until the element with this name has the focus."""
        for _ in range(200):
            focused = [e for e in self.elements() if e.has(Atspi.StateType.FOCUSED)]
            if any(element.name == name for element in focused):
                return
            self.key("Tab")
        raise NotThere(f"{name!r} is not reached with the Tab key")

    def picture(self, name):
        self.n_pictures += 1
        path = self.pictures / f"{self.n_pictures:02d}-{name}.png"
        subprocess.run(["import", "-window", self.id, str(path)], check=True)

    def close(self):
        self.program.terminate()
        self.program.wait(timeout=20)


def xdotool(*arguments):
    command = ["xdotool", *map(str, arguments)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


def by_hand(*arguments):
    xdotool(*arguments)
    time.sleep(HAND_S)
