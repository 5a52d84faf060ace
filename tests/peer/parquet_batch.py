"""Times the work of `footing export --parquet` done once more with general-purpose libraries.

    parquet_batch.py TRIALS OUT.parquet

Reads the trial files of a folder with h5py, computes the same standard measures with numpy and
scipy, one thread, and writes one row a trial with pyarrow. Trials without gaps at 100 Hz only, as
`acquisition/examples/batch_of_trials.rs` makes them.
"""

import pathlib
import sys
import time

import h5py
import numpy as np
import pyarrow
import pyarrow.parquet

import peer


def main(folder, out):
    begun = time.perf_counter()
    rows = []
    for path in sorted(pathlib.Path(folder).glob("*.h5")):
        with h5py.File(path) as file:
            cop = np.array(file["cop"])
        values = peer.measures(peer.standard(cop), 1.68)
        rows.append({"trial": path.stem} | {key: float(value) for key, value in values.items()})
    pyarrow.parquet.write_table(pyarrow.Table.from_pylist(rows), out)
    seconds = time.perf_counter() - begun
    print(f"{len(rows)} trials, {len(rows[0]) - 1} measures, {seconds:.2f} s")


if __name__ == "__main__":
    main(*sys.argv[1:])
