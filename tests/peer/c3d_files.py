"""Makes the C3D files of acquisition/tests/c3d with ezc3d, a general-purpose library for the format.

    .venv/bin/python c3d_files.py FOLDER

Known forces act at known places of platforms of types 2, 3 and 4; forces and moments follow by
plain statics. Beside each file, a JSON file holds the places as they were put in and the centre of
pressure that ezc3d itself finds in the file, both in the room's axes, from the middle of the
platform, in millimetres.
"""

import json
import pathlib
import sys

import ezc3d
import numpy as np

N_FRAMES, PER_FRAME, FRAME_RATE = 12, 4, 25.0
HALF_X, HALF_Y = 232.0, 254.0


def places_and_forces():
    t = np.arange(N_FRAMES * PER_FRAME)
    place = np.array([40 * np.sin(t / 5.0) + 11, 25 * np.cos(t / 7.0) - 30, 0 * t])
    force = np.array([9 * np.sin(t / 3.0), 6 * np.cos(t / 4.0), -(650 + 20 * np.sin(t / 6.0))])
    return place, force


def write(path, kind, channels, corners, origin, matrix=None, units="mm", channel_units=()):
    file = ezc3d.c3d()
    file["parameters"]["POINT"]["RATE"]["value"] = [FRAME_RATE]
    file["parameters"]["POINT"]["UNITS"]["value"] = [units]
    n = len(channels)
    file["data"]["points"] = np.zeros((4, 0, N_FRAMES))
    file["data"]["analogs"] = channels.reshape((1, n, -1))
    analog = file["parameters"]["ANALOG"]
    analog["RATE"]["value"] = [FRAME_RATE * PER_FRAME]
    analog["LABELS"]["value"] = [f"channel {i + 1}" for i in range(n)]
    analog["UNITS"]["value"] = list(channel_units) or [""] * n
    # Whole numbers go where the library has prepared them; its other way makes floats of them.
    platform = file["parameters"]["FORCE_PLATFORM"]
    platform["USED"]["value"] = np.array([1])
    platform["TYPE"]["value"] = np.array([kind])
    platform["ZERO"]["value"] = np.array([1, 0])
    platform["CHANNEL"]["value"] = np.arange(1, n + 1).reshape((n, 1))
    file.add_parameter("FORCE_PLATFORM", "CORNERS", corners.T.reshape((3, 4, 1)))
    file.add_parameter("FORCE_PLATFORM", "ORIGIN", np.array(origin).reshape((3, 1)))
    if matrix is not None:
        file.add_parameter("FORCE_PLATFORM", "CAL_MATRIX", matrix.reshape((6, 6, 1)))
    file.write(str(path))
    found = ezc3d.c3d(str(path), extract_forceplat_data=True)
    return found["data"]["platform"][0]["center_of_pressure"]


def main(folder):
    folder = pathlib.Path(folder)
    place, force = places_and_forces()
    # The platform's axes: x and y span the surface, z points into the floor, so that it lies turned
    # about the room's x; then the whole is turned by 90 degrees about the room's z.
    local = np.array([[HALF_X, HALF_Y], [-HALF_X, HALF_Y], [-HALF_X, -HALF_Y], [HALF_X, -HALF_Y]])
    plain = np.array([[x, -y, 0.0] for x, y in local]) + [500, 300, 0]
    turned = np.array([[y, x, 0.0] for x, y in local]) + [-900, 20, 0]
    origin = np.array([1.5, -2.5, -41.0])
    moment = np.cross((place.T + origin), force.T).T
    six = np.vstack([force, moment])
    rng = np.random.default_rng(4)
    matrix = np.diag([1.5, 2.0, 2.5, 900.0, 800.0, 700.0]) + rng.uniform(-0.05, 0.05, (6, 6))
    a, b, az0 = 120.0, 200.0, -54.0
    about_cells = np.cross((place.T + [0, 0, az0]), force.T).T
    fz, mx, my = force[2], about_cells[0], about_cells[1]
    # Four vertical forces with the sum and the two moments; the fourth freedom is the twist, 0.
    fz1 = fz / 4 + mx / (4 * b) - my / (4 * a)
    fz2 = fz / 4 + mx / (4 * b) + my / (4 * a)
    fz3 = fz / 4 - mx / (4 * b) + my / (4 * a)
    fz4 = fz / 4 - mx / (4 * b) - my / (4 * a)
    eight = np.vstack([force[0] / 2, force[0] / 2, force[1] / 2, force[1] / 2, fz1, fz2, fz3, fz4])
    to_room = {
        "plain": lambda p: np.array([p[0], -p[1]]),
        "turned": lambda p: np.array([p[1], p[0]]),
    }
    centre = {"plain": np.array([500.0, 300.0]), "turned": np.array([-900.0, 20.0])}
    files = [
        ("type-2", "plain", 2, six, plain, origin, None, "mm", ()),
        ("type-2-turned", "turned", 2, six, turned, origin, None, "mm", ["N"] * 3 + ["Nmm"] * 3),
        ("type-3", "turned", 3, eight, turned, [a, b, az0], None, "mm", ()),
        ("type-4", "plain", 4, np.linalg.solve(matrix, six), plain, origin, matrix, "mm", ()),
    ]
    for name, lies, kind, channels, corners, about, matrix_of, units, channel_units in files:
        cop = write(folder / f"{name}.c3d", kind, channels, corners, about, matrix_of, units, channel_units)
        found = cop[:2] - centre[lies][:, None]
        put_in = to_room[lies](place)
        told = {"put_in_mm": put_in.T.tolist(), "ezc3d_mm": found.T.tolist()}
        (folder / f"{name}.json").write_text(json.dumps(told))
        print(name, "largest difference between the two, mm:", float(np.abs(found - put_in).max()))


if __name__ == "__main__":
    main(sys.argv[1])
