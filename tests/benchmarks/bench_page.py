"""Run by hand: what an edit on the page costs, and its round trip to the last byte.

``python tests/benchmarks/bench_page.py [ROUNDS]``

Each demo file, and a machine of 12 cables with 50 points each; the aims are 150 ms for a demo
file and 60 ms for one of a single cable. Lower quartiles of the rounds, as other programs make a round longer
and none shorter; the file is saved each time. CPU is what an edit takes of one processor in this process:
of a point, so that the run is laid again, and of a load, so that it is not; and then what the levers take, which are
asked for after it. The round trip is that of the point. The first edit is left out, as it loads modules. Not in
it: the pause of 90 ms after the last key while something is being typed (Enter has none), and the
drawing in the browser (``--draw`` measures that, in the browser that the page's tests drive).
"""

from __future__ import annotations

import http.client
import json
import math
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from cableroute.output.plain import JsonObject
from cableroute.page.desk import Desk
from cableroute.page.document import Document

DATA = Path(__file__).parents[2] / "data"
CABLES, POINTS = 12, 50


def many() -> str:
    """Return cables that wind along a machine side by side, clipped every 120 mm."""
    text = 'title = "many"\n'
    for cable in range(CABLES):
        rows = "".join(
            f"  {{ at = [{120 * k}, {20 * cable}, {60 * math.sin(k / 3 + cable):.0f}] }},\n"
            for k in range(POINTS)
        )
        text += f'[[cable]]\nname = "c{cable}"\nfamily = "throttle-thin"\npoints = [\n{rows}]\n'
    return text


def a_point(file: Path) -> tuple[list[str | int], float]:
    """Return the path and value of a number that places a point of the first cable."""
    points = tomllib.loads(file.read_text(encoding="utf-8"))["cable"][0]["points"]
    for row, point in enumerate(points[1:], 1):
        for key, value in point.items():
            inner = {"": value} if key == "along" else {}
            if key in ("at", "tape"):
                inner = dict(enumerate(value)) if key == "at" else value
            for part, number in inner.items():
                if isinstance(number, int | float):
                    rest = [] if part == "" else [part]
                    return ["cable", 0, "points", row, key, *rest], number
    raise ValueError(f"{file}: no point is placed by numbers")


def edits_of(file: Path, rounds: int) -> tuple[list[JsonObject], list[JsonObject]]:
    """Return edits of a point, a little further each time, and of a load."""
    path, value = a_point(file)
    steps = range(rounds + 1)
    moves = [{"op": "set", "path": path, "value": value + 0.1 * (step + 1)} for step in steps]
    loads = [{"op": "set", "path": ["cable", 0, "load"], "value": 30 + step} for step in steps]
    return moves, loads


def quartile(times: list[float]) -> float:
    """Return the lower quartile without the first."""
    return sorted(times[1:])[(len(times) - 1) // 4]


def round_trips(file: Path, edits: list[JsonObject]) -> float:
    """Return how long an edit of a file takes from the request to the last byte of the answer [s]."""
    with served(file) as (origin, token):
        line = http.client.HTTPConnection(origin.removeprefix("http://"))
        heads = {"Origin": origin, "Content-Type": "application/json"}

        def post(path: str, **asked: object) -> http.client.HTTPResponse:
            line.request("POST", path, json.dumps(asked).encode(), heads)
            return line.getresponse()

        entered = post("/api/enter", token=token)
        entered.read()
        heads["Cookie"] = entered.headers["Set-Cookie"].split(";")[0]
        times = []
        for op in edits:
            begin = time.perf_counter()
            reply = post("/api/edit", ops=[op])
            state = reply.read()
            times.append(time.perf_counter() - begin)
            assert reply.status == 200, state
        return quartile(times)


@contextmanager
def served(file: Path) -> Iterator[tuple[str, str]]:
    """Serve a file; give the address and its token."""
    command = [sys.executable, "-m", "cableroute", "page", "--no-open", str(file)]
    server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        assert server.stdout is not None
        origin, token = server.stdout.readline().strip().split("/#")
        yield origin, token
    finally:
        server.terminate()
        server.wait()


def cpu_times(file: Path, edits: list[JsonObject]) -> tuple[float, float]:
    """Return what an edit of a file takes of the processor, and then the levers [s]."""
    desk = Desk(Document(file))
    own, levers = [], []
    for op in edits:
        begin = time.process_time()
        json.dumps(desk.edit({"ops": [op]}))
        between = time.process_time()
        json.dumps(desk.linkages({}))
        own.append(between - begin)
        levers.append(time.process_time() - between)
    return quartile(own), quartile(levers)


#: Edits a number as the page does, and says how long each drawing takes, laid out and all [ms].
DRAW = """async ({ path, values }) => {
  const { app } = await import("/static/app.js"), draws = app.draws, times = [];
  app.draws = () => { const begin = performance.now(); draws(); document.body.offsetHeight; times.push(performance.now() - begin); };
  for (const value of values) await app.edit([{ op: "set", path, value }]);
  return times;
}"""


def drawing(file: Path, edits: list[JsonObject]) -> tuple[float, float]:
    """Return the median and the longest of the drawings that edits of a file ask for [ms]."""
    from playwright.sync_api import sync_playwright

    with served(file) as (origin, token), sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page()
        page.goto(f"{origin}/#{token}")
        page.get_by_role("heading").first.wait_for()
        values = [op["value"] for op in edits]
        times = page.evaluate(DRAW, {"path": edits[0]["path"], "values": values})
        browser.close()
    return statistics.median(times), max(times)


def main(rounds: int, draws: bool) -> None:
    """Print what every file takes."""
    heads = f"{'':36}{'':10}{'point':>8}{'load':>8}{'levers':>8}{'round trip':>12}{'drawing':>16}"
    print(f"{heads}  [ms]")  # noqa: T201
    with tempfile.TemporaryDirectory() as folder:
        copies = [Path(shutil.copy(file, folder)) for file in sorted(DATA.glob("*.toml"))]
        crowd = Path(folder) / f"{CABLES} cables of {POINTS} points.toml"
        crowd.write_text(many(), encoding="utf-8")
        for file in [*copies, crowd]:
            count = len(tomllib.loads(file.read_text(encoding="utf-8")).get("cable", ()))
            if not count:
                continue  # a library of families
            moves, loads = edits_of(file, rounds)
            point, levers = cpu_times(file, moves)
            load = cpu_times(file, loads)[0]
            trip = round_trips(file, moves)
            told = "".join(f"{1e3 * each:8.0f}" for each in (point, load, levers))
            drawn = "{:8.0f} to {:4.0f}".format(*drawing(file, moves)) if draws else ""
            print(f"{file.stem:36}{count:3} cables{told}{1e3 * trip:12.0f}{drawn}", flush=True)  # noqa: T201


if __name__ == "__main__":
    given = [word for word in sys.argv[1:] if word != "--draw"]
    main(int(given[0]) if given else 10, "--draw" in sys.argv)
