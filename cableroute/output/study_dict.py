"""A study as plain data, ready for JSON. Keys carry their units."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees
from typing import Any

from cableroute.output.as_dict import SCHEMA
from cableroute.output.plain import number
from cableroute.study.inputs import Input
from cableroute.study.model import TOLD
from cableroute.study.run import Study

#: Digits that are told of a figure and of a share; more would be those of chance.
_DIGITS, _SHARES = 6, 5


def study_dict(found: Sequence[Study], *, title: str) -> dict[str, Any]:
    """Return the studies of a file's cables; every row says of which cable it is."""
    first = found[0]
    return {
        "schema": SCHEMA,
        "title": title,
        "n": first.n,
        "seed": first.seed,
        "cables": [each.name for each in found],
        "figures": [row for each in found for row in _figures(each)],
        "fails": [row for each in found for row in _fails(each)],
        "stock": [row for each in found for row in _stock(each)],
        "inputs": [row for each in found for row in _indices(each)],
        "doubts": [row for each in found for row in _doubts(each)],
        "advice": [row for each in found for row in _advice(each)],
        "natural_lay": [_lay(each) for each in found],
    }


def _figures(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "cable": study.name,
            "name": each.name,
            "unit": each.unit,
            "p5": _rounded(each.p5),
            "p50": _rounded(each.p50),
            "p95": _rounded(each.p95),
        }
        for each in study.quantiles
    ]


def _fails(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "cable": study.name,
            "code": each.code,
            "chance": _share(each.chance),
            "interval": [_share(end) for end in each.interval],
            "words": each.words,
            "drawn": each.drawn,
        }
        for each in study.fails
    ]


def _stock(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "cable": study.name,
            "length_mm": _rounded(each.length),
            "chance_long_enough": _share(each.reaches),
            "chance_lies_as_it_wants": _share(each.lies),
        }
        for each in study.stock
    ]


def _indices(study: Study) -> list[dict[str, Any]]:
    names = {key: name for key, name, _ in TOLD}
    return [
        {
            "cable": study.name,
            "name": each.name,
            "key": each.key,
            "figure": names.get(figure, figure),
            "first": [_share(x) for x in index.first[i].tolist()],
            "total": [_share(x) for x in index.total[i].tolist()],
        }
        for figure, index in study.indices.items()
        for i, each in enumerate(study.inputs)
    ]


def _doubts(study: Study) -> list[dict[str, Any]]:
    return [{"cable": study.name, **_doubt(each)} for each in study.inputs]


def _doubt(each: Input) -> dict[str, Any]:
    return {
        "key": each.key,
        "name": each.name,
        "distribution": each.distribution.kind,
        "numbers": [_rounded(x) for x in each.distribution.numbers],
        "unit": each.unit,
        "reason": each.reason,
    }


def _advice(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "cable": study.name,
            "key": each.key,
            "text": each.text,
            "rule": each.rule or None,
            "before": _share(each.before),
            "after": _share(each.after),
        }
        for each in study.advice
    ]


def _lay(study: Study) -> dict[str, Any]:
    return {
        "cable": study.name,
        "tried": study.lay.tried,
        "length_off_mm": _rounded(study.lay.length),
        "wrap_off_deg": _rounded(degrees(study.lay.wrap)),
    }


def _rounded(value: float) -> float | None:
    return number(float(f"{value:.{_DIGITS}g}"))


def _share(value: float) -> float:
    return round(value, _SHARES) + 0.0
