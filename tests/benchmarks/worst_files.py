"""Files below 1 MB that ask for as much of one kind as is allowed: what the program is slowest on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

#: One cable of a machine, without its points.
CABLE = "[[cable]]\nname = 'c{0}'\nkind = 'push-pull'\nfamily = 'push-slick-medium'\nload = 80\ntravel = 40\n"


def _points(places: np.ndarray, more: str = "") -> str:
    rows = (f"{{ at = [{x:.4g}, {y:.4g}, {z:.4g}]{more} }}" for x, y, z in places.tolist())
    return "points = [\n" + ",\n".join(rows) + "\n]\n"


def _zigzag(count: int, *, leg: float, turn: float = 90.0) -> np.ndarray:
    """Return a run that climbs in corners, by turns to the left and to the right."""
    headings = np.radians(turn) * (np.arange(count - 1) % 2)
    steps = leg * np.column_stack([np.cos(headings), np.sin(headings), 0.2 * np.ones(count - 1)])
    return np.concatenate([np.zeros((1, 3)), np.cumsum(steps, axis=0)])


def _cables(count: int, points: int, *, leg: float = 400.0) -> Iterator[str]:
    for i in range(count):
        yield CABLE.format(i) + _points(np.add(_zigzag(points, leg=leg), (0.0, 100.0 * i, 0.0)))


def scan(count: int) -> str:
    """Return a curve in space that is none of lines and arcs, as a CSV."""
    at = np.linspace(0.0, np.pi, count)
    curve = np.column_stack(
        [9000 * np.cos(at), 9000 * np.sin(at) * np.cos(3 * at), 800 * np.sin(7 * at)]
    )
    curve += np.random.default_rng(1).normal(0.0, 0.3, curve.shape)
    return "x_mm,y_mm,z_mm\n" + "".join(f"{x:.6f},{y:.6f},{z:.6f}\n" for x, y, z in curve.tolist())


def one(points: int, *, leg: float) -> str:
    """Return a cable of so many points."""
    return "".join(_cables(1, points, leg=leg))


def machine(count: int, points: int = 5) -> str:
    """Return many cables."""
    return "".join(_cables(count, points))


def solids(count: int, cables: int, points: int) -> str:
    """Return many solids of each kind, some near and some in the way of the cables."""
    draw = np.random.default_rng(2).uniform(0.0, 200.0 * points, (count, 3)).round()
    shapes = (
        "box = [[{0}, {1}, {2}], [{3}, {4}, {5}]]",
        "sphere = {{ at = [{0}, {1}, {2}], radius = 80 }}",
        "capsule = {{ from = [{0}, {1}, {2}], to = [{3}, {4}, {5}], radius = 30 }}",
    )
    rows = (
        f"[[keepout]]\nname = 's{i}'\ndistance = 20\n"
        + shapes[i % 3].format(x, y, z, x + 90, y + 90, z + 90)
        for i, (x, y, z) in enumerate(draw.astype(int).tolist())
    )
    return "\n".join(rows) + "\n" + "".join(_cables(cables, points))


def tubes(count: int, points: int) -> str:
    """Return many tubes, and a cable along them."""
    corners = _zigzag(count + 1, leg=400.0)
    nodes = "".join(f"n{i} = [{x}, {y}, {z}]\n" for i, (x, y, z) in enumerate(corners.tolist()))
    frame = "".join(
        f"t{i} = {{ from = 'n{i}', to = 'n{i + 1}', diameter = 40 }}\n" for i in range(count)
    )
    on = ",\n".join(f"{{ on = 't{i}', along = 200, clock = 12 }}" for i in range(points))
    return f"[nodes]\n{nodes}[tubes]\n{frame}{CABLE.format(0)}points = [\n{on}\n]\n"


def tapes(points: int, nodes: int = 8) -> str:
    """Return a cable with every point placed by tape."""
    known = np.random.default_rng(3).uniform(-500.0, 3000.0, (nodes, 3)).round()
    run = _zigzag(points, leg=200.0)
    head = "".join(f"n{i} = [{x}, {y}, {z}]\n" for i, (x, y, z) in enumerate(known.tolist()))
    far = np.linalg.norm(run[:, None] - known, axis=-1).round()
    rows = ",\n".join(
        "{ tape = { " + ", ".join(f"n{i} = {each}" for i, each in enumerate(row)) + " } }"
        for row in far.tolist()
    )
    return f"[nodes]\n{head}{CABLE.format(0)}points = [\n{rows}\n]\n"


def ties(unknown: int, known: int = 6) -> str:
    """Return nodes tied up by tape alone, as many tapes as are allowed."""
    rng = np.random.default_rng(4)
    every = rng.uniform(0.0, 2000.0, (known + unknown, 3)).round()
    names = [f"n{i}" for i in range(known + unknown)]
    head = "".join(f"n{i} = {at}\n" for i, at in enumerate(every[:known].tolist()))
    each = 100 // unknown
    rows = "".join(
        f"[[node_tape]]\nfrom = '{names[j]}'\nto = '{names[known + i]}'\n"
        f"read = {np.linalg.norm(every[j] - every[known + i]):.0f}\n"
        for i in range(unknown)
        for j in rng.choice(known + i, min(each, known), replace=False)
    )
    return f"[nodes]\n{head}{rows}" + one(5, leg=400.0)


def checks(count: int, points: int) -> str:
    """Return a cable with readings from point to point to check it by."""
    run = _zigzag(points, leg=200.0)
    rng = np.random.default_rng(5)
    pairs = [sorted(rng.choice(points, 2, replace=False)) for _ in range(count)]
    rows = ",\n".join(
        f"{{ from = {i + 1}, to = {j + 1}, read = {np.linalg.norm(run[i] - run[j]):.0f} }}"
        for i, j in pairs
    )
    return CABLE.format(0) + f"check = [\n{rows}\n]\n" + _points(run)


LINKAGE = """
[[linkage]]
name = "g{0}"
cable = "c{0}"
adjusters = [25, 25]
wanted = {{ hand = "forward", far = "forward" }}
[linkage.hand]
pivot = [330, 260, 150]
axis = "left"
handle = {{ radius = 300, direction = "up" }}
cable = {{ radius = 70, direction = "up" }}
range_deg = [-20, 20]
swivel = {{ fitting = 88 }}
[linkage.far]
name = "arm"
travel = 20
load = 120
swivel = {{ fitting = 88 }}
arm = {{ pivot = [-1358, 80, 245], axis = "left", neutral = [-0.575, 0, 0.818], radius = 60 }}
"""
SHIFT = """points = [
  { at = [180, 260, 210], fix = "anchor", heading = "aft" },
  { at = [-120, 260, 190], fix = "clip" },
  { at = [-330, 300, 645], fix = "clip" },
  { at = [-900, 120, 640], fix = "clip" },
  { at = [-1270, 90, 380], fix = "anchor", heading = [-123, -10, -86] },
]
"""


def linkages(count: int) -> str:
    """Return cables that each work a far arm by a lever."""
    cables = "".join(CABLE.format(i) + SHIFT for i in range(count))
    return cables + "".join(LINKAGE.format(i) for i in range(count))


#: What is asked for, and the file that asks for it.
WORST: dict[str, Callable[[], str]] = {
    "scan.csv": lambda: scan(27_000),
    "bends.toml": lambda: one(1_000, leg=400.0),
    "tight300.toml": lambda: one(300, leg=60.0),
    "tight2000.toml": lambda: one(2_000, leg=60.0),
    "cables.toml": lambda: machine(150),
    "long_cables.toml": lambda: machine(22, 90),
    "solids.toml": lambda: solids(1000, 1, 24),
    "solids_cables.toml": lambda: solids(50, 150, 3),
    "tubes.toml": lambda: tubes(999, 24),
    "tapes.toml": lambda: tapes(200),
    "ties.toml": lambda: ties(25),
    "checks.toml": lambda: checks(5000, 2000),
    "linkages.toml": lambda: linkages(10),
    "kilometres.toml": lambda: "".join(_cables(150, 5, leg=13_000.0)),
}


def write(folder: Path, name: str) -> Path:
    """Write one of them, and see that it is below 1 MB."""
    text = WORST[name]()
    assert len(text) < 1_000_000, f"{name}: {len(text)} bytes"
    file = folder / name
    file.write_text(text)
    return file
