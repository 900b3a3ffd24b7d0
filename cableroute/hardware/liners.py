"""Liner materials: how hot they may get, how they expand, how they slide on a steel core.

Where sources disagree both figures stand, the cautious one first. What is not known is ``None``,
never a guess. The names are those of :attr:`cableroute.hardware.family.Family.liner`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from cableroute.frozen import frozen

#: Of carbon steel, core or conduit; from memory, 11 to 13e-6. Stainless steel: 10e-6 (Crawford,
#: Plastics Engineering, Table 1.8), for austenitic grades 16 to 17e-6 from memory [1/K].
STEEL_EXPANSION = 12e-6


@frozen(kw_only=True)
class Liner:
    """What is published of one liner material.

    Parameters
    ----------
    name : str
        Name it is asked for by.
    title : str
        The material in words.
    max_temperature : float or None
        Greatest operating temperature, the cautious figure [degC].
    quoted_temperature : tuple of float or None
        Continuous limit as commonly quoted, least and greatest [degC].
    expansion : float
        Linear thermal expansion [1/K].
    friction : tuple of float or None
        Coefficient of friction on a steel core in good order, low and high [-].
    dry_friction : tuple of float or None
        The same run dry, low and high [-].
    provenance : mapping of str to str
        Field -> where its figure comes from, in the terms of
        :data:`~cableroute.hardware.family.PROVENANCE_TAGS`.

    Notes
    -----
    A strand slides worse on plastic than the smooth wire of these tables. Nylon takes up water and
    swells into the clearance.
    """

    name: str
    title: str
    max_temperature: float | None = None
    quoted_temperature: tuple[float, float] | None = None
    expansion: float
    friction: tuple[float, float] | None = None
    dry_friction: tuple[float, float] | None = None
    provenance: Mapping[str, str] = field(default_factory=dict)


_CRAWFORD = "published source: Crawford, Plastics Engineering, Table 1.8 (read from a scan)"
_QUOTED = "from memory: continuous limits as commonly quoted; Crawford is lower"
_SHACKELFORD = (
    "published source: Shackelford, CRC Materials Science and Engineering Handbook (2001), "
    "Table 399, on steel, static"
)
_MARKS = "from memory: Marks; Bowden and Tabor"
_DISAGREES = (
    "published source: a general table of friction (designengineers.blogspot.com), static; "
    "disagrees with friction, and is taken for the dry liner"
)
_HEAT = {"max_temperature": _CRAWFORD, "expansion": _CRAWFORD}

_ALL = (
    Liner(
        name="ptfe",
        title="PTFE",
        max_temperature=250.0,
        quoted_temperature=(260.0, 260.0),
        expansion=140e-6,
        friction=(0.04, 0.10),
        dry_friction=(0.10, 0.25),
        provenance=_HEAT
        | {
            "quoted_temperature": "published source: Mechanical Engineer's Data Handbook, p. 243",
            "friction": f"{_MARKS}, PTFE on steel",
            "dry_friction": _DISAGREES,
        },
    ),
    Liner(
        name="hdpe",
        title="high-density polyethylene",
        max_temperature=55.0,
        quoted_temperature=(80.0, 80.0),
        expansion=120e-6,
        friction=(0.10, 0.25),
        provenance=_HEAT | {"quoted_temperature": _QUOTED, "friction": f"{_MARKS}, HDPE on steel"},
    ),
    Liner(
        name="ldpe",
        title="low-density polyethylene",
        max_temperature=50.0,
        expansion=200e-6,
        provenance=_HEAT,
    ),
    Liner(
        name="acetal",
        title="acetal homopolymer",
        max_temperature=85.0,
        quoted_temperature=(90.0, 105.0),
        expansion=80e-6,
        friction=(0.10, 0.30),
        dry_friction=(0.25, 0.50),
        provenance=_HEAT
        | {
            "quoted_temperature": _QUOTED,
            "friction": _SHACKELFORD,
            "dry_friction": _DISAGREES,
        },
    ),
    Liner(
        name="acetal-copolymer",
        title="acetal copolymer",
        max_temperature=90.0,
        quoted_temperature=(90.0, 105.0),
        expansion=95e-6,
        friction=(0.15, 0.15),
        dry_friction=(0.25, 0.50),
        provenance=_HEAT
        | {
            "quoted_temperature": "from memory: acetal at large, as commonly quoted",
            "friction": f"{_SHACKELFORD}; a single figure",
            "dry_friction": _DISAGREES,
        },
    ),
    Liner(
        name="nylon66",
        title="nylon 66",
        max_temperature=90.0,
        quoted_temperature=(80.0, 130.0),
        expansion=90e-6,
        friction=(0.15, 0.40),
        dry_friction=(0.30, 0.50),
        provenance=_HEAT
        | {
            "quoted_temperature": "from memory: as commonly quoted, by grade; some below Crawford",
            "friction": f"{_MARKS}, dry nylon on steel",
            "dry_friction": _DISAGREES,
        },
    ),
    Liner(
        name="none",
        title="no liner, steel on steel",
        expansion=STEEL_EXPANSION,
        friction=(0.05, 0.15),
        dry_friction=(0.5, 0.8),
        provenance={
            "expansion": "from memory: carbon steel, 11 to 13e-6",
            "friction": f"{_MARKS}, greased steel on steel",
            "dry_friction": f"{_MARKS}, dry steel on steel",
        },
    ),
)

#: Every liner material known, by name.
LINERS: Mapping[str, Liner] = {liner.name: liner for liner in _ALL}
