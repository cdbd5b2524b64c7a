#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""The speed and memory rows of `bench/reach judge`; bench/reach starts it.

A phantom photo of 12 megapixels is judged by the program as a user would start it. Times are wall clock, the
least of several runs, with start and exit of the process; threads are limited by the cores that the process
may use. The decode is that of the program's own photo door, in a process of its own, decoding only.
"""
import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from reach_lines import Lines

ROOT = Path(__file__).resolve().parent.parent
RUNS = 5


def run(command, cores):
    """(wall s, CPU s, peak MB) of a command that must not fail; only `cores` may be used."""
    start = time.monotonic()
    process = subprocess.Popen([str(c) for c in command], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                               stderr=subprocess.PIPE, preexec_fn=lambda: os.sched_setaffinity(0, cores))
    words = process.stderr.read().decode(errors="replace")
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.monotonic() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"reach_speed: {' '.join(map(str, command))} ended with {process.returncode}: {words[-500:]}")
    return wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1000


def least_wall(command, cores):
    return min(run(command, cores)[0] for _ in range(RUNS))


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--binary", default=ROOT / "build/release/ribwright", type=Path)
    parser.add_argument("--photos", default=100, type=int)
    args = parser.parse_args()
    binary = args.binary.resolve()
    tool = binary.parent / "bench/reach_speed"
    lines = Lines()
    cores = sorted(os.sched_getaffinity(0))
    one, two = set(cores[:1]), set(cores[:2])
    work = Path(tempfile.mkdtemp(prefix="reach_"))
    try:
        photo = work / "photo.jpg"
        subprocess.run([str(tool), "photo", str(photo)], check=True)
        decode = float(subprocess.run(["taskset", "-c", str(cores[0]), str(tool), "decode", str(photo)], check=True,
                                      stdout=subprocess.PIPE, text=True).stdout)
        judge = [binary, "judge", photo, "--json", work / "out.json"]
        lines.shown("12 MP: its own JPEG decode, one thread", decode, "s", 3)
        single = least_wall(judge, one)
        lines.at_most("12 MP photo to JSON, one thread: times its decode", single / decode, 20, "x", 1, f"{single:.2f} s")
        if len(two) == 2:
            lines.at_most("12 MP photo to JSON, two threads", least_wall(judge, two), 1.0, "s", 2)
        else:
            lines.skip("12 MP photo to JSON, two threads", "<= 1.00 s", "only one core")
        lines.at_most("12 MP photo to JSON: peak memory", run(judge, two)[2], 600, "MB", 0)
        base = least_wall(judge, two)
        for name, option in (("tissue PNG", "--tissue"), ("overlay PNG", "--overlay"), ("PDF sheet", "--sheet")):
            out = work / ("out.pdf" if option == "--sheet" else "out.png")
            lines.shown(f"12 MP: {name} on top of the JSON", max(0.0, least_wall(judge + [option, out], two) - base), "s", 2)
        batch(lines, binary, photo, work, two, args.photos)
    finally:
        shutil.rmtree(work)
    return lines.exit_code()


def batch(lines, binary, photo, work, cores, count):
    copies = []
    for number in range(count):
        copy = work / f"p{number:03d}.jpg"
        shutil.copy(photo, copy)
        copies.append(copy)
    peak_two = run([binary, "judge", *copies[:2], "--out", work / "two"], cores)[2]
    wall, cpu, peak = run([binary, "judge", *copies, "--out", work / "many"], cores)
    if len(cores) == 2:
        lines.at_least(f"{count} photos: cores kept busy (CPU over wall)", cpu / wall, 1.8, "", 2,
                       f"{count / wall:.2f} photos a second")
    else:
        lines.skip(f"{count} photos: cores kept busy (CPU over wall)", ">= 1.80", "only one core")
    # An allocator's pages differ a little from run to run.
    lines.at_most(f"{count} photos: peak memory over that of two", peak / peak_two, 1.1, "x", 2,
                  f"{peak:.0f} MB against {peak_two:.0f} MB")


if __name__ == "__main__":
    sys.exit(main())
