#!/usr/bin/env python3
"""Reads a trial file with h5py, without any of this project's code.

Usage: read_trial.py TRIAL.h5 [..]

Checks the digest in front of each file, that every dataset is guarded by a checksum and says its
units and axes, and prints all datasets and attributes. Exits with 1 if a check fails.
Needs: python3, h5py, numpy. The layout is told in acquisition/docs/trial-file.md.
"""

import hashlib
import sys

import h5py
import numpy as np

BLOCK_BYTES = 512


def digest_problems(path):
    with open(path, "rb") as file:
        block = file.read(BLOCK_BYTES)
        content = file.read()
    lines = block.rstrip(b"\0").decode("ascii").splitlines()
    stated = dict(line.split(": ", 1) for line in lines[1:])
    found = hashlib.sha256(content).hexdigest()
    if stated["sha256 of the content"] != found:
        yield f"digest: stated {stated['sha256 of the content']}, found {found}"
    if int(stated["bytes of content"]) != len(content):
        yield f"length: stated {stated['bytes of content']}, found {len(content)}"


def shown(value):
    if isinstance(value, bytes):
        return repr(value.decode("utf-8"))
    return repr(value)


def describe(name, item):
    """Prints one group or dataset, and gives what is missing from it."""
    kind = f"{item.shape} {item.dtype}" if isinstance(item, h5py.Dataset) else "group"
    print(f"/{name}: {kind}")
    for key in sorted(item.attrs):
        print(f"    {key} = {shown(item.attrs[key])}")
    if not isinstance(item, h5py.Dataset):
        return
    values = item[()]
    if values.size and np.issubdtype(values.dtype, np.number):
        print(f"    first {values[0]}, last {values[-1]}")
    for needed in ["units", "axes"] + (["columns"] if item.ndim == 2 else []):
        if needed not in item.attrs:
            yield f"/{name} has no attribute {needed}"
    if not item.fletcher32:
        yield f"/{name} has no checksum"


def problems(path):
    yield from digest_problems(path)
    with h5py.File(path, "r") as file:
        if file.userblock_size != BLOCK_BYTES:
            yield f"the user block has {file.userblock_size} bytes"
        yield from describe("", file)
        items = []
        file.visititems(lambda name, item: items.append((name, item)))
        for name, item in items:
            yield from describe(name, item)
        n_samples = file["raw/time_us"].shape[0]
        for name in ["raw/sequence", "raw/counts", "raw/status", "force", "cop"]:
            if name in file and file[name].shape[0] != n_samples:
                yield f"/{name} has {file[name].shape[0]} rows for {n_samples} samples"


def main():
    failed = False
    for path in sys.argv[1:]:
        print(f"== {path}")
        for problem in problems(path):
            print(f"PROBLEM: {problem}")
            failed = True
    return 1 if failed or len(sys.argv) < 2 else 0


if __name__ == "__main__":
    sys.exit(main())
