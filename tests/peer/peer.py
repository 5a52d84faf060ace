"""The measures of standing recordings, from their definitions, with numpy and scipy.

Written beside the Rust crate and sharing nothing with it but the definitions in analysis/docs.

    peer.py values RECORDING...    prints every measure of each recording as JSON
    peer.py time RECORDING         prints milliseconds per trial of the standard measures

Recordings are files of tests/open-data (BDS*.txt.gz); the body height is 1.65 m unless
RECORDING is given as FILE=HEIGHT.
"""

import json
import sys
import time

import numpy as np
from scipy import signal, spatial, stats

FS = 100.0
GRAVITY, PENDULUM = 9.81, 0.66


def read(path):
    """Millimetres, column 0 medio-lateral; the file has centimetres, x antero-posterior."""
    table = np.loadtxt(path, delimiter="\t", skiprows=1, usecols=(8, 7))
    return 10.0 * table


def standard(cop):
    """Zero-phase 10 Hz Butterworth, then without the first 5 s."""
    corner = np.arctan(np.tan(np.pi * 10 / FS) / (np.sqrt(2) - 1) ** 0.25) * FS / np.pi
    b, a = signal.butter(2, corner, fs=FS)
    filtered = signal.filtfilt(b, a, cop, axis=0, padtype="odd", padlen=round(FS))
    return filtered[5 * int(FS) :]


def diameter(points):
    return np.sqrt(spatial.distance.pdist(points, "sqeuclidean").max())


def farthest_apart(blocks, width):
    """The largest distance within each `width` blocks that follow each other."""
    count, length, _ = blocks.shape
    far = np.zeros((count, width))
    for i, block in enumerate(blocks):
        reach = blocks[i : i + width].reshape(-1, 2)
        squared = spatial.distance.cdist(block, reach, "sqeuclidean")
        nearest_first = squared.max(axis=0).reshape(-1, length).max(axis=1)
        far[i, : len(nearest_first)] = nearest_first
    last = count - width + 1
    inside = [far[i : last + i, : width - i].max(axis=1) for i in range(width)]
    return np.sqrt(np.max(inside, axis=0))


def displacement(cop):
    n = len(cop)
    t = (n - 1) / FS
    d = cop - cop.mean(axis=0)
    r = np.hypot(d[:, 0], d[:, 1])
    steps = np.diff(cop, axis=0)
    path = np.hypot(steps[:, 0], steps[:, 1]).sum()
    along = np.abs(steps).sum(axis=0)
    k = 2 * stats.f.ppf(0.95, 2, n - 2) * (n - 1) / (n - 2) * (n + 1) / n
    values, vectors = np.linalg.eigh(np.cov(cop.T))
    swept = np.abs(d[1:, 0] * d[:-1, 1] - d[:-1, 0] * d[1:, 1]).sum() / 2
    hull = spatial.ConvexHull(cop)
    return {
        "duration_s": t,
        "path_length": path,
        "path_length_ml": along[0],
        "path_length_ap": along[1],
        "mean_velocity": path / t,
        "mean_velocity_ml": along[0] / t,
        "mean_velocity_ap": along[1] / t,
        "mean_distance": r.mean(),
        "rms_distance": np.sqrt((r**2).mean()),
        "rms_ml": d[:, 0].std(),
        "rms_ap": d[:, 1].std(),
        "range_ml": np.ptp(cop[:, 0]),
        "range_ap": np.ptp(cop[:, 1]),
        "range_max": diameter(cop[hull.vertices]),
        "ellipse_area": np.pi * k * np.sqrt(values.prod()),
        "ellipse_semi_major": np.sqrt(k * values[1]),
        "ellipse_semi_minor": np.sqrt(k * values[0]),
        "ellipse_angle_deg": np.degrees(np.arctan2(vectors[1, 1], vectors[0, 1])) % 180,
        "hull_area": hull.volume,
        "sway_area_rate": swept / t,
        "rotation_frequency": path / t / (2 * np.pi * r.mean()),
    }


def frequency(cop):
    length = 2 * (len(cop) // 4)
    f, p = signal.welch(
        cop, FS, window="hann", nperseg=length, noverlap=length // 2, detrend="constant", axis=0
    )
    inside = (0.15 - 1e-9 <= f) & (f <= 5 + 1e-9)
    band, density = f[inside], p[inside]
    out, power, means = {}, [], []
    for column, axis in enumerate(("ml", "ap")):
        q = density[:, column]
        m0, m1, m2 = (np.trapezoid(band**order * q, band) for order in range(3))
        running = np.concatenate(([0], np.cumsum((q[1:] + q[:-1]) / 2 * np.diff(band))))
        out[f"power_{axis}"] = m0
        out[f"mean_frequency_{axis}"] = m1 / m0
        out[f"median_frequency_{axis}"] = np.interp(0.5 * m0, running, band)
        out[f"f95_{axis}"] = np.interp(0.95 * m0, running, band)
        out[f"centroidal_frequency_{axis}"] = np.sqrt(m2 / m0)
        out[f"frequency_dispersion_{axis}"] = np.sqrt(1 - m1**2 / (m0 * m2))
        power.append(m0)
        means.append(m1 / m0)
    out["mean_frequency"] = np.average(means, weights=power)
    full = [np.trapezoid(f * q, f) / np.trapezoid(q, f) for q in p.T]
    out["mean_frequency_full_band"] = np.average(full, weights=p.sum(axis=0))
    return out


def body_and_wobble(cop, height):
    n = len(cop)
    mean = cop.mean(axis=0)
    doubled = np.concatenate((cop, cop[::-1])) - mean
    f = np.fft.rfftfreq(2 * n, 1 / FS)
    gain = 1 / (1 + (2 * np.pi * f) ** 2 / (GRAVITY / (PENDULUM * height)))
    body = np.fft.irfft(np.fft.rfft(doubled, axis=0) * gain[:, None], 2 * n, axis=0)[:n] + mean
    rms, apart = body.std(axis=0), (cop - body).std(axis=0)
    second = int(FS)
    wobble = farthest_apart(body[: n // second * second].reshape(-1, second, 2), 5)
    return {
        "body_rms_ml": rms[0],
        "body_rms_ap": rms[1],
        "cop_body_rms_ml": apart[0],
        "cop_body_rms_ap": apart[1],
        "wobble_median": np.median(wobble),
        "wobble_p95": np.percentile(wobble, 95),
        "wobble_windows": len(wobble),
        "share_under": (wobble < 6.35).mean(),
        "share_inside": ((6.35 <= wobble) & (wobble <= 25.4)).mean(),
        "share_over": (25.4 < wobble).mean(),
    }


def measures(cop, height):
    return displacement(cop) | frequency(cop) | body_and_wobble(cop, height)


def sample_entropy(x):
    """By all pairs: patterns of 2, tolerance 0.2 standard deviations, largest difference."""
    r = 0.2 * x.std()
    n = len(x) - 2
    near = np.abs(x[:, None] - x[None, :]) <= r
    two = near[:n, :n] & near[1 : n + 1, 1 : n + 1]
    three = two & near[2 : n + 2, 2 : n + 2]
    upper = np.triu_indices(n, 1)
    return np.log(two[upper].sum() / three[upper].sum())


def window_lengths(n):
    return np.unique(np.floor(np.geomspace(16, n // 4, 20) + 0.5).astype(int))


def fluctuation_exponent(x):
    profile = np.cumsum(x - x.mean())
    lengths = window_lengths(len(x))
    fluctuation = []
    for length in lengths:
        windows = profile[: len(profile) // length * length].reshape(-1, length)
        places = np.arange(length)
        line = np.polynomial.polynomial.polyfit(places, windows.T, 1)
        off = windows - np.polynomial.polynomial.polyval(places, line)
        fluctuation.append(np.sqrt((off**2).mean()))
    return np.polyfit(np.log(lengths), np.log(fluctuation), 1)[0]


def diffusion(cop, fs):
    lags = np.arange(1, round(10 * fs) + 1)
    squared = np.array([((cop[lag:] - cop[:-lag]) ** 2).sum(axis=1).mean() for lag in lags])
    t = lags / fs
    short, long = t <= 0.6 + 1e-9, 2 - 1e-9 <= t
    a, b = (np.polyfit(t[where], squared[where], 1) for where in (short, long))
    out = {"diffusion_short_slope": a[0], "diffusion_long_slope": b[0]}
    crossing = (b[1] - a[1]) / (a[0] - b[0])
    if crossing > 0:
        out["diffusion_critical_time"] = crossing
        out["diffusion_critical_distance"] = a[1] + a[0] * crossing
    return out


def structure(processed):
    slow = processed[::4]
    out = {}
    for column, axis in enumerate(("ml", "ap")):
        out[f"sample_entropy_{axis}"] = sample_entropy(slow[:, column])
        out[f"fluctuation_exponent_{axis}"] = fluctuation_exponent(slow[:, column])
    return out | diffusion(slow, 25.0)


def general_library(processed):
    """The same two from a general library of time-series measures, where it defines them alike."""
    import nolds

    out = {}
    for column, axis in enumerate(("ml", "ap")):
        x = processed[::4, column]
        out[f"sample_entropy_{axis}"] = nolds.sampen(
            x, emb_dim=2, tolerance=0.2 * x.std(), closed=True
        )
        out[f"fluctuation_exponent_{axis}"] = nolds.dfa(
            x, nvals=window_lengths(len(x)), overlap=False, order=1, fit_exp="poly"
        )
    return out


def values(arguments):
    result = {}
    for argument in arguments:
        path, _, height = argument.partition("=")
        height = float(height or 1.65)
        cop = read(path)
        processed = standard(cop)
        result[path] = {
            "as_recorded": measures(cop, height),
            "standard": measures(processed, height),
            "structure": structure(processed),
            "general_library": general_library(processed),
        }
    json.dump(result, sys.stdout, default=float)


def timing(path):
    cop = read(path)
    best = np.inf
    for _ in range(50):
        start = time.perf_counter()
        measures(standard(cop), 1.65)
        best = min(best, time.perf_counter() - start)
    print(f"{1e3 * best:.3f}")


if __name__ == "__main__":
    if len(sys.argv) > 2 and sys.argv[1] == "values":
        values(sys.argv[2:])
    elif len(sys.argv) == 3 and sys.argv[1] == "time":
        timing(sys.argv[2])
    else:
        sys.exit(__doc__)
