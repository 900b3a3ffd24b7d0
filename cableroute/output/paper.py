"""The paper that pages are printed on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Width and height of the paper [mm].
PAPER: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
)
