"""One figure against its limit, as reports and ``check --full`` tell it."""

from __future__ import annotations

from dataclasses import dataclass

#: What a limit is that everyone keeps and nobody wrote down.
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One figure, and what it was held against.

    Parameters
    ----------
    name : str
        What is looked at.
    value : str
        What was found.
    limit : str
        What it was held against; empty where the figure is only told.
    margin : str
        What is left.
    formula : str
        How it is worked out.
    source : str
        Where formula and limit come from.
    codes : tuple of str
        Findings that speak of it.
    where : str
        Place that such a finding must name; any if empty.
    outcome : str
        ``pass``, ``marginal``, ``fail``, ``note``, or ``told`` where there is no limit.
    """

    name: str
    value: str
    limit: str = ""
    margin: str = ""
    formula: str = ""
    source: str = ""
    codes: tuple[str, ...] = ()
    where: str = ""
    outcome: str = "told"
