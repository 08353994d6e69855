"""What the benchmarks share: where the build lies, a Python with packages, what a process costs, and one form for every ratio."""

import hashlib
import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import time
from typing import NamedTuple

ROOT = pathlib.Path(__file__).resolve().parent.parent
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
RELEASE = TARGET / "release"


class Cost(NamedTuple):
    """What a process took: seconds by the clock, seconds of all cores, and the most memory in MiB."""

    wall: float
    cores: float
    memory: float

    def __str__(self):
        return f"{self.wall:8.3f} s {self.cores:8.2f} s of cores {self.memory:7.0f} MiB"


def build(*arguments):
    """Builds for release with cargo: the program, unless examples are named."""
    subprocess.run(["cargo", "build", "--quiet", "--release", *arguments], cwd=ROOT, check=True)


def program():
    """The program, built for release; `--no-build` takes the one that is there, `TRAYFUL_BENCH` one elsewhere."""
    if named := os.environ.get("TRAYFUL_BENCH"):
        return named
    if "--no-build" not in sys.argv:
        build("--bin", "trayful")
    return str(RELEASE / "trayful")


def example(name):
    """An example, built for release beside the program: built for its package alone, the libraries would be built a second time."""
    build("--workspace", "--example", name)
    return str(RELEASE / "examples" / name)


def python_with(*packages):
    """A python3 that has packages from PyPI, in a folder beside the build where this one lacks them; None where they cannot be had."""
    lines = [line for name in packages for line in ((ROOT / name).read_text().split() if name.endswith(".txt") else [name])]
    names = [line.split("==")[0] for line in lines]
    if subprocess.run([sys.executable, "-c", f"import {', '.join(names)}"], capture_output=True).returncode == 0:
        return sys.executable
    folder = TARGET / f"python-{hashlib.sha256(' '.join(lines).encode()).hexdigest()[:12]}"
    try:
        if not (folder / "ready").exists():
            subprocess.run([sys.executable, "-m", "venv", folder], check=True, capture_output=True)
            subprocess.run([folder / "bin/pip", "install", "--quiet", *lines], check=True, capture_output=True)
            (folder / "ready").touch()
    except (OSError, subprocess.CalledProcessError) as error:
        print(f"skipped: {', '.join(names)} cannot be had, so there is no peer: {error}", file=sys.stderr)
        return None
    return str(folder / "bin/python")


def run_with(*packages):
    """Lets a python3 that has these packages run this script, where this one lacks them."""
    python = python_with(*packages) or sys.exit("error: the peer is needed")
    if python != sys.executable:
        os.execv(python, [python, *sys.argv])


def cost(command, empty=None, good=(0,), **options):
    """What a process costs from its start to its end, which must be one of the good ones; a folder that it writes into is emptied before."""
    if empty:
        shutil.rmtree(empty, ignore_errors=True)
    start = time.perf_counter()
    process = subprocess.Popen([str(word) for word in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **options)
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in good:
        sys.exit(f"error: it ended with {process.returncode}: {' '.join(str(word) for word in command)}")
    return Cost(wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)


def median(costs):
    """The median of each figure by itself."""
    return Cost(*(statistics.median(column) for column in zip(*costs)))


def median_ms(command, runs, before=lambda: None, good=(0,), **options):
    """The median of a number of processes, in ms by the clock."""
    walls = []
    for _ in range(runs):
        before()
        walls.append(cost(command, good=good, **options).wall)
    return statistics.median(walls) * 1000


OVER = []


def _judged(what, quotient, limit):
    if limit is None:
        return ""
    if quotient > limit:
        OVER.append(what)
    return f" (at most {limit:g}{', MISSED' if quotient > limit else ''})"


def ratio(what, trayful, theirs, peer, unit, limit=None):
    """Prints a figure of trayful beside that of a peer in the same run."""
    quotient = trayful / theirs
    print(f"ratio {quotient:7.3f}{_judged(what, quotient, limit)}  {what}: {trayful:.4g} {unit}, {peer} {theirs:.4g} {unit}", flush=True)


def within(what, figure, unit, limit):
    """Prints a figure of trayful that has a limit of its own."""
    print(f"{figure:9.4g} {unit}{_judged(what, figure, limit)}  {what}", flush=True)


def finish():
    """Ends the benchmark, with an error where a limit was missed."""
    if OVER:
        sys.exit(f"over the limit: {', '.join(OVER)}")
