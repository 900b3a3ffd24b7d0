"""Records: dataclasses that cannot be changed, cheap enough to define by the hundred.

``dataclass(frozen=True)`` compiles six methods for each class when its module is imported, which is
most of what importing us would take. Here a class gets its own ``__init__`` and shares the others.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import FrozenInstanceError, dataclass, field, fields
from reprlib import recursive_repr
from typing import Any, TypeVar, dataclass_transform, overload

Record = TypeVar("Record")


@overload
def frozen(cls: type[Record], /) -> type[Record]: ...
@overload
def frozen(*, eq: bool = True, kw_only: bool = False) -> Callable[[type[Record]], type[Record]]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[Any] | None = None, /, *, eq: bool = True, kw_only: bool = False) -> Any:
    """Make a class a dataclass with slots whose fields are set once, when it is made.

    A ``__repr__`` of its own stands; else it is shown by its fields.

    Parameters
    ----------
    cls : type, optional
        The class; without it, a decorator is returned.
    eq : bool
        Whether two with equal fields are equal; arrays have no such answer.
    kw_only : bool
        Whether its fields are given by keyword only.

    Returns
    -------
    type or callable
    """

    def made(cls: type[Any]) -> Any:
        record: Any = dataclass(slots=True, eq=False, repr=False, kw_only=kw_only)(cls)
        record.__setattr__, record.__delattr__ = _set_once, _keep
        if record.__repr__ is object.__repr__:
            record.__repr__ = _shown
        if eq:
            record.__eq__, record.__hash__ = _is_equal, _hash
        return record

    return made if cls is None else made(cls)


def _set_once(self: Any, name: str, value: Any) -> None:
    if hasattr(self, name):
        raise FrozenInstanceError(f"cannot assign to field {name!r}")
    object.__setattr__(self, name, value)


def _keep(_: Any, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


@recursive_repr()
def _shown(self: Any) -> str:
    told = (f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr)
    return f"{type(self).__qualname__}({', '.join(told)})"


def _values(record: Any) -> tuple[Any, ...]:
    return tuple(getattr(record, each.name) for each in fields(record) if each.compare)


def _is_equal(self: Any, other: object) -> bool:
    return _values(self) == _values(other) if type(other) is type(self) else NotImplemented


def _hash(self: Any) -> int:
    return hash(_values(self))
