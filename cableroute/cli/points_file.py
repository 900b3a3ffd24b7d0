"""The points of one cable and the file they are kept in."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cableroute.cli.console import complain, say
from cableroute.errors import CableRouteError, RouteFileError
from cableroute.hardware.family import Family
from cableroute.hardware.library import find_family
from cableroute.measure.dialogue import Dialogue
from cableroute.measure.models import CableEntry, RouteFile
from cableroute.measure.positions import Frame, Place
from cableroute.measure.route_text import parse_toml, placer, read_text, validate
from cableroute.measure.wording import Words
from cableroute.output.edit_toml import cable_text, starter_text
from cableroute.output.files import look_at, write_text
from cableroute.output.toml_edit import Rows, with_value, without
from cableroute.units import Unit

#: Least bend radius [mm] of a new file where none is given; a common push-pull cable's,
#: common practice, no source.
DEFAULT_RADIUS = 150.0
_ASSUMED = "assumed: put in the figure of your own cable"


@dataclass(slots=True)
class PointsFile:
    """A dialogue and the file it is kept in."""

    shown: Path
    path: Path
    name: str
    dialogue: Dialogue
    text: Rows
    radius: float
    mark: str  # a byte-order mark, if the file began with one
    newline: str
    checked: int  # how many points check readings could name when the dialogue began
    on_disk: bytes | None
    which: int
    unit: Unit
    is_new: bool
    is_written: bool = False

    def save(self) -> None:
        """Write the points, unless they stand in the file already or none was ever typed."""
        if not self.dialogue.points and not self.is_written:
            return  # a name mistyped must not become a machine
        rows = [(spot.origin, spot.written) for spot in self.dialogue.points]
        text = self.mark + self.text.with_rows(rows).replace("\n", self.newline)
        wanted = text.encode()
        if wanted == self.on_disk:
            return
        found = self.path.read_bytes() if self.path.exists() else None
        if found not in (None, self.on_disk):
            self._leave(text)
        self._write(text, force=True)

    @property
    def content(self) -> str:
        """The text of the file as it stands, typed points in it."""
        return self.text.with_rows([(spot.origin, spot.written) for spot in self.dialogue.points])

    def entry(self) -> CableEntry:
        """Return the cable as it stands."""
        return _checked(self.path, self.text.text).cable[self.which]

    def words(self) -> Words:
        """Return how lengths and forces are told."""
        file = _checked(self.path, self.text.text)
        return Words(file.unit, file.forces_told_in)

    def put(self, values: Mapping[str, Any], *, family: Family | None = None) -> None:
        """Set keys of the cable, if the file can still be read with them."""
        text = self.text.text
        here = ("cable", self.which)
        for key, value in values.items():
            text = with_value(text, (*here, key), value)
        if family is not None and _ASSUMED in text:
            text = without(text, (*here, "bend_radius"))
        _checked(self.path, text)
        self.text = Rows(text, (*here, "points"))
        if family is not None:
            self.radius = self.entry().bend_radius or family.min_bend_radius
            self.dialogue.set_conduit(family.conduit_od)

    def _leave(self, text: str) -> None:
        """Go on in another file where somebody else has changed this one."""
        old = self.path
        tries = (old.with_name(f"{old.stem}-points{n or ''}.toml") for n in range(1000))
        left, self.path = self.shown, next(path for path in tries if not path.exists())
        beside = left.with_name(self.path.name)
        self.shown = beside if beside.resolve() == self.path else self.path
        self._write(text, force=False)
        complain(
            f"{left} was changed by something else meanwhile and is left alone; "
            f"the points are in {self.shown} from now on"
        )

    def _write(self, text: str, *, force: bool) -> None:
        try:
            write_text(self.path, text, force=force)
        except CableRouteError as error:
            told = str(error).replace(str(self.path), str(self.shown), 1)
            raise CableRouteError(told) from error
        self.on_disk, self.is_written = text.encode(), True


def open_points_file(
    path: Path,
    cable: str | None,
    unit: Unit | None,
    bend_radius: float | None,
    library: Mapping[str, Family],
) -> PointsFile:
    """Open an old file, or begin a new one, at the points of one cable."""
    raw = None
    radius = f"{bend_radius or DEFAULT_RADIUS:g} mm"
    note = "" if bend_radius else _ASSUMED
    look_at([path], force=True)
    if path.exists():
        text, raw = read_text(path), path.read_bytes()
        if _newline(raw) == "\n":
            text = raw.decode("utf-8-sig")  # where line ends are mixed, each stays as it is
    else:
        _check_folder(path)
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


def _check_folder(path: Path) -> None:
    """Complain before the first point is typed, not after it."""
    if not os.access(path.resolve().parent, os.W_OK):
        raise CableRouteError(f"{path}: cannot write there: no permission")


def _read(
    path: Path,
    text: str,
    raw: bytes | None,
    cable: str | None,
    unit: Unit | None,
    bend_radius: float | None,
    library: Mapping[str, Family],
) -> PointsFile:
    """Read a whole file with the usual complaints, but that a cable may lack points yet."""
    data, lines = parse_toml(text, path)
    written = [_fill(each) for each in _tables(data)]
    place = placer(str(path), data, lines, {})
    entry = validate(data, place)
    which = _which([each.name for each in entry.cable], cable, path)
    chosen = entry.cable[which]
    family = _family(chosen, library, place(("cable", which, "family")))
    od = family.conduit_od if family else 0.0
    dialogue = Dialogue(
        _frame(entry, which, count=len(written[which]), conduit_od=od, place=place),
        written[which],
        unit=unit or entry.unit,
        file_unit=entry.unit,
        conduit_od=od,
    )
    own_radius = chosen.bend_radius or (family.min_bend_radius if family else DEFAULT_RADIUS)
    return PointsFile(
        shown=path,
        path=path.resolve(),
        name=chosen.name,
        dialogue=dialogue,
        text=Rows(text, ("cable", which, "points")),
        radius=bend_radius or own_radius,
        mark="\ufeff" if raw and raw.startswith(b"\xef\xbb\xbf") else "",
        newline=_newline(raw or b""),
        checked=len(written[which]) if chosen.check else 0,
        on_disk=raw,
        which=which,
        unit=entry.unit,
        is_new=raw is None,
    )


def _checked(path: Path, text: str) -> RouteFile:
    """Read a text with the usual complaints, but that a cable may lack points yet."""
    data, lines = parse_toml(text, path)
    for each in _tables(data):
        _fill(each)
    return validate(data, placer(str(path), data, lines, {}))


def _newline(raw: bytes) -> str:
    lines = raw.count(b"\n")
    return "\r\n" if lines and raw.count(b"\r\n") == lines else "\n"


def _family(cable: CableEntry, library: Mapping[str, Family], where: str) -> Family | None:
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
