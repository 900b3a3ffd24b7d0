"""``cableroute points``: type points at the machine, one by one."""

from __future__ import annotations

import math
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Annotated, Any

import numpy as np
import typer

from cableroute.cli.console import LibraryOption, complaints, say
from cableroute.errors import CableRouteError, GeometryError, RouteFileError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family, load_library
from cableroute.measure.dialogue import Session
from cableroute.measure.models import CableEntry, RouteFile
from cableroute.measure.positions import Frame, Place
from cableroute.measure.route_text import parse_toml, placer, read_text, validate
from cableroute.output.edit_toml import PointsText, cable_text, starter_text
from cableroute.output.files import write_text
from cableroute.route.fillet import fit_arcs
from cableroute.units import Unit, format_both

#: Least bend radius [mm] of a new file where none is given; a common push-pull cable's,
#: common practice, no source.
DEFAULT_RADIUS = 150.0
_ASSUMED = "assumed: put in the figure of your own cable"


def points(
    file: Annotated[Path, typer.Argument(help="The route file (.toml): an old one or a new one.")],
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Which cable of the file.")
    ] = None,
    unit: Annotated[Unit | None, typer.Option(help="Unit of the bare numbers you type.")] = None,
    bend_radius: Annotated[
        float | None, typer.Option(metavar="MM", help="Least bend radius to the conduit's centre.")
    ] = None,
    library: LibraryOption = None,
) -> None:
    """Type points one by one, in tape notation; each is saved at once.

    A point is x y z, or a place on a tube, or tape distances to nodes; help shows how. An old
    file keeps its notes and its order. Ctrl-C or the end of the input stops, like stop does.

    Exit status: 0, or 2 for bad input; in a pipe also for a line that cannot be read.
    """
    with complaints():
        if bend_radius is not None and not 0.0 < bend_radius < math.inf:
            raise CableRouteError(f"--bend-radius: expected more than 0 mm, got {bend_radius:g}")
        if file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected the name of a route file, ending in .toml")
        book = _open(file, cable, unit, bend_radius, load_library(library or ()))
        book.save()
    faults = _talk(book)
    with complaints(), suppress(OSError):  # a closed terminal hears no farewell
        book.save()
        for line in _farewell(book):
            say(line)
    if faults and not sys.stdin.isatty():
        raise typer.Exit(2)


# -- the file ------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Book:
    """A session and the file it is kept in."""

    shown: Path
    path: Path
    name: str
    session: Session
    text: PointsText
    radius: float
    mark: str  # a byte-order mark, if the file began with one
    newline: str
    checked: int  # how many points check readings could name when the session began
    on_disk: bytes | None

    def save(self) -> None:
        """Write the points, unless they stand in the file already."""
        rows = [(spot.origin, spot.written) for spot in self.session.points]
        text = self.mark + self.text.with_points(rows).replace("\n", self.newline)
        wanted = text.encode()
        if wanted == self.on_disk:
            return
        found = self.path.read_bytes() if self.path.exists() else None
        if found not in (None, self.on_disk):
            self._leave(text)
        write_text(self.path, text, force=True)
        self.on_disk = wanted

    def _leave(self, text: str) -> None:
        """Go on in another file where somebody else has changed this one."""
        old = self.path
        tries = (old.with_name(f"{old.stem}-points{n or ''}.toml") for n in range(1000))
        self.path = next(path for path in tries if not path.exists())
        self.shown = self.path
        write_text(self.path, text)
        self.on_disk = text.encode()
        typer.echo(
            f"cableroute: {old} was changed by something else meanwhile and is left alone; "
            f"the points are in {self.path} from now on",
            err=True,
        )


def _open(
    path: Path,
    cable: str | None,
    unit: Unit | None,
    bend_radius: float | None,
    library: dict[str, Family],
) -> _Book:
    raw = None
    radius = f"{bend_radius or DEFAULT_RADIUS:g} mm"
    note = "" if bend_radius else _ASSUMED
    if path.exists():
        text, raw = read_text(path), path.read_bytes()
        if _newline(raw) == "\n":
            text = raw.decode("utf-8-sig")  # where line ends are mixed, each stays as it is
    else:
        text = starter_text(
            title=path.stem,
            unit=unit or "mm",
            cable=cable or path.stem,
            bend_radius=radius,
            note=note,
        )
    is_bare = "cable" not in parse_toml(text, path)[0]
    if is_bare:
        text += cable_text(cable=cable or path.stem, bend_radius=radius, note=note)
    if note and (is_bare or raw is None):
        say(f"The least bend radius is taken as {radius}; put your cable's own in {path}.")
    return _read(path, text, raw, cable, unit, bend_radius, library)


def _read(
    path: Path,
    text: str,
    raw: bytes | None,
    cable: str | None,
    unit: Unit | None,
    bend_radius: float | None,
    library: dict[str, Family],
) -> _Book:
    """Read a whole file with the usual complaints, but that a cable may lack points yet."""
    data, lines = parse_toml(text, path)
    written = [_fill(each) for each in _tables(data)]
    place = placer(str(path), data, lines, {})
    entry = validate(data, place)
    which = _which([each.name for each in entry.cable], cable, path)
    chosen = entry.cable[which]
    family = _family(chosen, library, place(("cable", which, "family")))
    od = family.conduit_od if family else 0.0
    session = Session(
        _frame(entry, which, count=len(written[which]), conduit_od=od, place=place),
        written[which],
        unit=unit or entry.unit,
        file_unit=entry.unit,
        conduit_od=od,
    )
    own_radius = chosen.bend_radius or (family.min_bend_radius if family else DEFAULT_RADIUS)
    return _Book(
        shown=path,
        path=path.resolve(),
        name=chosen.name,
        session=session,
        text=PointsText(text, cable=which),
        radius=bend_radius or own_radius,
        mark="\ufeff" if raw and raw.startswith(b"\xef\xbb\xbf") else "",
        newline=_newline(raw or b""),
        checked=len(written[which]) if chosen.check else 0,
        on_disk=raw,
    )


def _newline(raw: bytes) -> str:
    lines = raw.count(b"\n")
    return "\r\n" if lines and raw.count(b"\r\n") == lines else "\n"


def _family(cable: CableEntry, library: dict[str, Family], where: str) -> Family | None:
    if cable.family is None:
        return cable.build
    try:
        return find_family(cable.family, library)
    except CableRouteError as error:
        raise RouteFileError([f"{where}: {error}"]) from None


def _frame(entry: RouteFile, which: int, *, count: int, conduit_od: float, place: Place) -> Frame:
    """Build the frame, and see that the points there are can be placed by it."""
    faults: list[str] = []
    frame = Frame.of(entry, place=place, faults=faults)
    for j, point in enumerate(entry.cable[which].points[:count]):
        try:
            frame.place_point(point, conduit_od=conduit_od)
        except CableRouteError as error:
            faults.append(f"{place(('cable', which, 'points', j))}: {error}")
    if faults:
        raise RouteFileError(faults)
    return frame


def _tables(data: dict[str, Any]) -> list[dict[str, Any]]:
    cables = data["cable"]
    return [each for each in cables if isinstance(each, dict)] if isinstance(cables, list) else []


def _fill(cable: dict[str, Any]) -> list[Any]:
    """Return the points of a cable, and make them up to the two that a route file must have."""
    points = cable.get("points", [])
    if not isinstance(points, list):
        return []
    cable["points"] = points + [{"at": [0, 0, 0]}] * (2 - len(points))
    return list(points)


def _which(names: list[str], wanted: str | None, path: Path) -> int:
    if wanted is None and len(names) == 1:
        return 0
    if wanted in names:
        return names.index(wanted)
    got = f"no cable {wanted!r}" if wanted else "several cables"
    raise CableRouteError(f"{path}: {got}; expected --cable with one of: {', '.join(names)}")


# -- the talk ------------------------------------------------------------------------------------


class _Ear:
    """Waits for lines; no signal breaks off what is done between one line and the next.

    While waiting all is saved, so that a hang-up may end the process there and then; Ctrl-C ends
    the talk in good order, with the terminal as it was.
    """

    def __init__(self) -> None:
        names = ("SIGINT", "SIGTERM", "SIGHUP")  # Windows has no hang-up
        self.usual = {
            each: signal.getsignal(each)
            for each in (getattr(signal, name, None) for name in names)
            if each is not None
        }
        self.hung_up = self.is_waiting = False

    def hear(self, _signal: int, _frame: FrameType | None) -> None:
        """Take a signal."""
        self.hung_up = True
        if self.is_waiting:
            raise KeyboardInterrupt

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Take signals until the talk is over."""
        for each in self.usual:
            signal.signal(each, self.hear)
        try:
            yield
        finally:
            for each, handler in self.usual.items():
                signal.signal(each, handler)

    @contextmanager
    def _waiting(self) -> Iterator[None]:
        deadly = {each: how for each, how in self.usual.items() if each != signal.SIGINT}
        for each, handler in deadly.items():
            signal.signal(each, handler)
        self.is_waiting = True
        try:
            yield
        finally:
            self.is_waiting = False
            for each in deadly:
                signal.signal(each, self.hear)

    def line(self, prompt: str) -> str | None:
        """Wait for a line; None when there will be no more."""
        try:
            with self._waiting():
                if self.hung_up:
                    return None
                if sys.stdin.isatty():
                    return input(prompt)
                return sys.stdin.readline() or None
        except (EOFError, KeyboardInterrupt, OSError):
            return None


def _talk(book: _Book) -> int:
    """Take lines until the last; return how many were faulty."""
    ear, faults = _Ear(), 0
    if sys.stdin.isatty():
        with suppress(ImportError):
            import readline  # noqa: F401  # gives input() its line editing
        say(f"Points of {book.name}, from the hand end; numbers are in {book.session.unit}.")
        say("Type help for the ways to write one, stop to end.")
    else:
        # bytes that are no text must end in a complaint about a line, not in a traceback
        getattr(sys.stdin, "reconfigure", lambda **_: None)(errors="replace")
    with ear.listening():
        while not book.session.stopped and (line := ear.line(book.session.prompt)) is not None:
            try:
                _answer(book, line)
            except CableRouteError as error:
                faults += 1
                with suppress(OSError):
                    typer.echo(f"cableroute: {error}", err=True)
            except OSError:
                break  # nobody is there to read the answer; the point is saved
    return faults


def _answer(book: _Book, line: str) -> None:
    before = book.session.points
    replies = book.session.apply(line)
    book.save()
    for reply in replies:
        say(reply)
    if book.session.points is not before:
        for reply in running_lines(book.session, radius=book.radius):
            say(reply)


def _farewell(book: _Book) -> Iterator[str]:
    spots = book.session.points
    count = f"{len(spots)} point{'' if len(spots) == 1 else 's'}"
    yield f"{count} of {book.name} saved in {book.shown}."
    if [spot.origin for spot in spots[: book.checked]] != list(range(book.checked)):
        yield "Its check readings name points by number or label: see that they still fit."
    if len(spots) >= 2:
        yield f"Next: cableroute check {book.shown}"


def running_lines(session: Session, *, radius: float) -> list[str]:
    """Say how long the route is so far, how far it turns and where it is tightest.

    Parameters
    ----------
    session : Session
        The points so far.
    radius : float
        Least bend radius to the conduit's centreline [mm].

    Returns
    -------
    list of str
        Nothing for fewer than two points.
    """
    spots = session.points
    if len(spots) < 2:
        return []
    radii = [spot.entry.radius or radius for spot in spots[1:-1]]
    try:
        route = fit_arcs(
            np.array([spot.position for spot in spots]), min_bend_radius=radii or radius
        )
    except GeometryError as error:
        return [f"  no route yet: {error}"]
    leg = int(np.argmin(route.slacks))
    slack = float(route.slacks[leg])
    ends = " to ".join(session.name(int(route.kept[i])) for i in (leg, leg + 1))
    room = "to spare" if slack >= 0.0 else "too short for its bends"
    return [
        f"  so far: length {format_both(float(route.length))}, "
        f"wrap {math.degrees(float(route.wrap)):.0f} deg",
        f"  tightest leg: {ends}, {format_both(abs(slack))} {room}",
    ]
