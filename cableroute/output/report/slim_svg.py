"""A picture made small enough to be one of many in a page, looking as it did."""

from __future__ import annotations

import re
from collections.abc import Iterator
from urllib.parse import quote
from xml.etree import ElementTree as ET

_SVG, _LINK = "http://www.w3.org/2000/svg", "{http://www.w3.org/1999/xlink}href"
_STEP = re.compile(r"([MLCQz])([^MLCQz]*)")
_NUMBER = re.compile(r"(scale\([^)]*\))|-?\d+\.\d+")
_SHIFT = re.compile(r"translate\((\S+) 0\)")
_COLOUR = re.compile(r"#(.)\1(.)\2(.)\3")
_NAME = re.compile(r"#([^)]+)")
#: Letters come drawn on a grid of 64 x 64; every 16th line of it is fine enough.
_FINE, _COARSER, _COARSE = "scale(0.015625)", 16, "scale(.25)"
#: What a data address may hold as it is, beside letters and digits; quotes are turned single.
_PLAIN = " '()*+,-./:;=?@_~!$[]{}|"


def slim(svg: str) -> str:
    """Cut an SVG to a hundredth of a point, and to the names and groups that it makes use of."""
    root = ET.fromstring(svg)
    ET.register_namespace("", _SVG)
    for each in list(root.findall(f"{{{_SVG}}}metadata")):
        root.remove(each)
    _name_anew(root)
    for each in root.iter():
        each.tail = None
        each.text = each.text and each.text.strip()
        _shorten(each)
    _unwrap(root)
    return ET.tostring(root, encoding="unicode").replace(" />", "/>")


def address(svg: str) -> str:
    """Return an SVG as the address of a picture, a quarter shorter than in base 64."""
    return "data:image/svg+xml," + quote(svg.replace('"', "'"), safe=_PLAIN)


def _name_anew(root: ET.Element) -> None:
    """Give short names to what is asked for by name; no others are kept."""
    values = [value for each in root.iter() for value in each.attrib.values()]
    asked = {name for value in values for name in _NAME.findall(value)}
    named = [each for each in root.iter() if "id" in each.attrib]
    short = {each.attrib["id"]: f"n{i}" for i, each in enumerate(named) if each.get("id") in asked}

    def renamed(found: re.Match[str]) -> str:
        return "#" + short.get(found[1], found[1])

    for each in root.iter():
        name = short.get(each.attrib.pop("id", ""))
        if _LINK in each.attrib:
            each.set("href", each.attrib.pop(_LINK))
        each.attrib.update({key: _NAME.sub(renamed, text) for key, text in each.attrib.items()})
        if name:
            each.set("id", name)


def _shorten(element: ET.Element) -> None:
    """Write the numbers of an element with as many decimals as can be seen."""
    path = element.attrib.pop("d", None)
    letter = path is not None and element.get("transform") == _FINE
    for key, text in element.attrib.items():
        element.set(key, _NUMBER.sub(lambda m: m[1] or _number(round(float(m[0]), 2)), text))
    shift = _SHIFT.fullmatch(element.get("transform", ""))
    if shift and element.tag == f"{{{_SVG}}}use":
        del element.attrib["transform"]
        element.set("x", shift[1])
    if "style" in element.attrib:
        tight = element.attrib["style"].replace(": ", ":").replace("; ", ";")
        element.set("style", _COLOUR.sub(r"#\1\2\3", tight))
    if letter:
        element.set("transform", _COARSE)
    if path is not None:
        element.set("d", "".join(_path(path, 1 / _COARSER if letter else 100.0)))


def _unwrap(element: ET.Element) -> None:
    """Take out groups that say nothing of what is in them."""
    inside: list[ET.Element] = []
    for each in element:
        _unwrap(each)
        inside += list(each) if each.tag == f"{{{_SVG}}}g" and not each.attrib else [each]
    element[:] = inside


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return re.sub(r"^(-?)0\.", r"\1.", text)


def _path(path: str, grid: float) -> Iterator[str]:
    """Yield a path of absolute M, L, C, Q and z, each part told from where the last ends, on a grid."""
    pen = begun = (0, 0)
    for command, numbers in _STEP.findall(path):
        counts = [round(float(each) * grid) for each in numbers.split()]
        points = list(zip(counts[::2], counts[1::2], strict=True))
        steps = [(x - pen[0], y - pen[1]) for x, y in points]
        yield _words(command.lower(), steps, grid)
        pen = points[-1] if points else begun
        begun = pen if command == "M" else begun


def _words(command: str, steps: list[tuple[int, int]], grid: float) -> str:
    """Write one step; a line along an axis by the one number that it has."""
    numbers = [each for step in steps for each in step]
    if command == "l" and 0 in numbers:
        command, numbers = ("h", numbers[:1]) if numbers[1] == 0 else ("v", numbers[1:])
    said = [str(each) if grid < 1.0 else _number(each / grid) for each in numbers]
    return command + " ".join(said).replace(" -", "-")
