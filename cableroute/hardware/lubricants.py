"""Lubricants of a cable: base oil, consistency class, how far down they are good.

A grease is named by base oil and NLGI class, as ``mineral-2``; ``dry`` is a liner without any.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import AfterValidator, WithJsonSchema

from cableroute.frozen import frozen

#: Viscosity at two temperatures: (degC, mm2/s), (degC, mm2/s).
Oil = tuple[tuple[float, float], tuple[float, float]]


@frozen(kw_only=True)
class Lubricant:
    """What cold makes of a lubricant hangs on this.

    Parameters
    ----------
    name : str
        Name it is asked for by: ``dry``, or base oil and class as ``mineral-2``.
    title : str
        The same in words.
    oils : tuple or None
        The base oil that stiffens least and the one that stiffens most of those in use, each by two
        viscosities; None without oil [degC, mm^2/s].
    share : tuple of float
        Part of a cable's friction at 20 degC that is the shearing of its grease, low and high [-].
    good_to : tuple of float or None
        Lowest temperature of such greases, of the poorest and of the best [degC].
    provenance : str
        Where the figures come from.
    """

    name: str
    title: str
    oils: tuple[Oil, Oil] | None
    share: tuple[float, float]
    good_to: tuple[float, float] | None
    provenance: str


#: Base oil -> oils that stiffen least and most, lowest temperatures of its greases, where from.
_BASES: dict[str, tuple[tuple[Oil, Oil], tuple[float, float], str]] = {
    "mineral": (
        (((40.0, 32.0), (100.0, 5.4)), ((40.0, 150.0), (100.0, 14.6))),
        (-20.0, -30.0),
        "ISO 3448 grades VG 32 to VG 150 of viscosity index 95 to 100 (from memory)",
    ),
    "synthetic": (
        (((-40.0, 7800.0), (40.0, 31.0)), ((40.0, 400.0), (100.0, 40.0))),
        (-40.0, -55.0),
        "polyalphaolefins of 6 and 40 mm2/s at 100 degC (from memory: data sheets)",
    ),
    "silicone": (
        (((25.0, 1000.0), (100.0, 300.0)), ((25.0, 100.0), (100.0, 31.0))),
        (-50.0, -60.0),
        "dimethyl silicones of 100 and 1000 mm2/s at 25 degC (from memory: data sheets)",
    ),
}

#: NLGI class -> worked penetration at 25 degC (ASTM D217, from memory) [0.1 mm], and the part of
#: friction that is shearing of grease [-]: common practice, no source; a stiffer class shears harder.
_CLASSES: dict[str, tuple[tuple[int, int], tuple[float, float]]] = {
    "000": ((445, 475), (0.005, 0.02)),
    "00": ((400, 430), (0.005, 0.03)),
    "0": ((355, 385), (0.01, 0.04)),
    "1": ((310, 340), (0.01, 0.06)),
    "2": ((265, 295), (0.02, 0.10)),
    "3": ((220, 250), (0.04, 0.20)),
}


def _grease(base: str, grade: str) -> Lubricant:
    oils, good_to, source = _BASES[base]
    (least, most), share = _CLASSES[grade]
    return Lubricant(
        name=f"{base}-{grade}",
        title=f"{base} grease of NLGI class {grade} (penetration {least} to {most})",
        oils=oils,
        share=share,
        good_to=good_to,
        provenance=f"base oil: {source}; share sheared: common practice, no source",
    )


_DRY = Lubricant(
    name="dry",
    title="no lubricant, a dry liner",
    oils=None,
    share=(0.0, 0.0),
    good_to=None,
    provenance="common practice, no source",
)

#: Every lubricant known, by name.
LUBRICANTS: Mapping[str, Lubricant] = {"dry": _DRY} | {
    f"{base}-{grade}": _grease(base, grade) for base in _BASES for grade in _CLASSES
}


def check_lubricant(name: str) -> str:
    """Return the name of a lubricant, or raise.

    Parameters
    ----------
    name : str
        ``dry``, or base oil and NLGI class as ``mineral-2``.

    Returns
    -------
    str
        The same.

    Raises
    ------
    ValueError
        For a name that is not known.
    """
    if name not in LUBRICANTS:
        raise ValueError(
            f'expected "dry", or one of {", ".join(_BASES)} with an NLGI class of '
            f'{", ".join(_CLASSES)}, as "mineral-2"; got "{name}"'
        )
    return name


#: A name of them, as a file gives it.
LubricantName = Annotated[
    str,
    AfterValidator(check_lubricant),
    WithJsonSchema({"type": "string", "enum": list(LUBRICANTS)}),
]
