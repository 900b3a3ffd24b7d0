"""Every parameter of a kernel or a public name says what it is, and a number also in which unit."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from pydantic import BaseModel

import cableroute

#: Where functions are kernels; elsewhere one good sentence is enough, and a dataclass tells its fields.
KERNELS = ("units", "route", "mechanics", "hardware", "linkage", "assess")
KERNELS += tuple(f"measure.{name}" for name in ("locate", "network", "reading", "tables", "tubes"))
PARTS = (*KERNELS, "measure", "figures", "verdict")
NUMERIC = re.compile(r"\b(float|int|Decimal|ArrayLike|Array|BoolArray|IntArray)\b")
UNIT = re.compile(r"\[[^\[\]]+\]")
#: A parameter's own line: names, then perhaps its type.
HEAD = re.compile(r"(?P<names>\*{0,2}\w+(?:, \*{0,2}\w+)*)(?: : .*)?")


def _inside(module: str, places: tuple[str, ...]) -> bool:
    return any(f"{module}.".startswith(f"cableroute.{place}.") for place in places)


def _modules() -> Iterator[str]:
    for found in pkgutil.walk_packages(cableroute.__path__, "cableroute."):
        parts = found.name.split(".")
        if _inside(found.name, PARTS) and not any(part.startswith("_") for part in parts[1:]):
            yield found.name


MODULES = sorted(_modules())


def parameters_section(doc: str) -> dict[str, str]:
    """Return the description of each parameter (of a dataclass: attribute) in a numpydoc text."""
    found: dict[str, str] = {}
    names: list[str] = []
    lines = inspect.cleandoc(doc).splitlines()
    heading = next(
        (i for i, line in enumerate(lines) if line in ("Parameters", "Attributes")), None
    )
    if heading is None:
        return found
    body = lines[heading + 2 :]
    for line, after in zip(body, [*body[1:], ""], strict=True):
        if line and after and set(after) == {"-"}:  # the next section
            break
        if line.startswith(" "):
            for name in names:
                found[name] = f"{found[name]} {line.strip()}".strip()
        elif head := HEAD.fullmatch(line):
            names = [name.lstrip("*") for name in head["names"].split(", ")]
            found |= dict.fromkeys(names, "")
    return found


def _wanted(thing: Any) -> dict[str, str]:
    """Names of the parameters and their annotations as written."""
    if is_dataclass(thing):
        return {field.name: str(field.type) for field in fields(thing) if field.init}
    signature = inspect.signature(thing)
    return {
        name: str(parameter.annotation)
        for name, parameter in signature.parameters.items()
        if name not in ("self", "cls")
    }


def _is_numeric(annotation: str) -> bool:
    """Whether a parameter is a number or holds some; a function of numbers does not."""
    return bool(NUMERIC.search(annotation)) and "Callable[" not in annotation


def lapses(thing: Any, name: str) -> Iterator[str]:
    """Say what is missing about the parameters of one function or dataclass."""
    if isinstance(thing, type) and issubclass(thing, BaseModel):
        for field, info in thing.model_fields.items():
            if not info.description:
                yield f"{name}.{field}: no description"
        return
    said = parameters_section(thing.__doc__ or "")
    for parameter, annotation in _wanted(thing).items():
        if not said.get(parameter):
            yield f"{name}({parameter}): not described"
        elif _is_numeric(annotation) and not UNIT.search(said[parameter]):
            yield f"{name}({parameter}): no [unit], with {annotation}"


def _public(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """Yield public functions, dataclasses, models, and the public methods of the latter two."""
    for name, thing in vars(module).items():
        if name.startswith("_") or getattr(thing, "__module__", None) != module.__name__:
            continue
        if inspect.isfunction(thing):
            if _inside(module.__name__, KERNELS):
                yield name, thing
        elif isinstance(thing, type) and (is_dataclass(thing) or issubclass(thing, BaseModel)):
            yield name, thing
            for method, function in vars(thing).items():
                if (
                    _inside(module.__name__, KERNELS)
                    and inspect.isfunction(function)
                    and not method.startswith("_")
                ):
                    yield f"{name}.{method}", function


def _validator(function: Callable[..., Any]) -> bool:
    """Whether a function only reads a value for pydantic, which names its arguments."""
    return {"value"} <= set(inspect.signature(function).parameters) <= {"value", "info"}


@pytest.mark.parametrize("name", MODULES)
def test_parameters_are_described(name: str) -> None:
    found = [
        lapse
        for label, thing in _public(importlib.import_module(name))
        if not (inspect.isfunction(thing) and _validator(thing))
        for lapse in lapses(thing, label)
    ]
    assert not found, "\n".join(found)


def test_modules_are_found() -> None:
    assert {"cableroute.units", "cableroute.route.fillet", "cableroute.assess"} <= set(MODULES)


def _good(length: float, *, name: str, either: float, other: float) -> None:
    """Do.

    Parameters
    ----------
    length : float
        How long,
        over two lines [mm].
    name : str
        What it is called.
    either, other : float
        Two at once [N].

    Returns
    -------
    missing : float
        Not a parameter [mm].
    """


def _bad(length: float, name: str, missing: float) -> None:
    """Do.

    Parameters
    ----------
    length : float
        How long.
    name : str

    Returns
    -------
    missing : float
        Not a parameter [mm].
    """


@dataclass
class _Bare:
    """A dataclass with nothing said."""

    x: float


class _Model(BaseModel):
    x: float


def test_a_good_docstring_passes() -> None:
    assert list(lapses(_good, "f")) == []


@pytest.mark.parametrize(
    ("thing", "said"),
    [
        (
            _bad,
            [
                "f(length): no [unit], with float",
                "f(name): not described",
                "f(missing): not described",
            ],
        ),
        (_Bare, ["f(x): not described"]),
        (_Model, ["f.x: no description"]),
    ],
)
def test_a_lapse_is_found(thing: Any, said: list[str]) -> None:
    assert list(lapses(thing, "f")) == said


SOURCES = sorted(Path(cableroute.__file__).parent.rglob("*.py"))


def test_a_constant_has_its_comment_above_it():
    beside = re.compile(r"^_?[A-Z][A-Z0-9_]+\b[^=#\n]*=(?!=)[^\"'#\n]*#", re.M)
    above = re.compile(r"^# .*\n_?[A-Z][A-Z0-9_]+\b[^=#\n]*=", re.M)
    texts = {path.name: path.read_text(encoding="utf-8") for path in SOURCES}
    below = re.compile(r"^[A-Z_][A-Z0-9_]+ = .*\n\"\"\"", re.M)
    each = (beside, above, below)
    assert not [name for name, text in texts.items() if any(one.search(text) for one in each)]


def test_the_type_of_an_array_is_spelt_in_one_place():
    other = re.compile(r"NDArray|np\.ndarray")
    found = [path.name for path in SOURCES if other.search(path.read_text(encoding="utf-8"))]
    assert found == ["arrays.py"]
