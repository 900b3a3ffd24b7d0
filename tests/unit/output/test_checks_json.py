"""Every check of every file: its level follows from value and limits by arithmetic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from cableroute.assess import assess
from cableroute.measure.job import Cable, Job
from cableroute.measure.reading import read_job
from cableroute.output.as_dict import assessment_dict
from cableroute.verdict.limits import Limits

DATA = Path(__file__).parents[3] / "data"
FILES = sorted(DATA.glob("*.toml"))
STRICT = Limits(
    efficiency=(0.95, 0.9), rod_safety=(100.0, 50.0), wire_stress=(0.3, 0.5), push_stress=(0.2, 0.4),
    bend_ratio=200.0, return_margin=(9.0, 5.0), creep=0.5, tightening=0.1, lost_motion=(0.02, 0.05),
    working_load=(0.1, 0.2), stroke=(0.2, 0.3), surplus_wrap=0.1, weight_share=0.0, bracket_share=0.0,
)  # fmt: skip


def by_arithmetic(check: dict[str, Any]) -> str | None:
    """Return the level that value and limits give; None where there is nothing to hold."""
    limits = [(level, check[key]) for level, key in (
        ("fail", "failing"), ("marginal", "marginal"), ("note", "noting"))]  # fmt: skip
    held = [(level, limit) for level, limit in limits if limit is not None]
    if check["unbounded"] and held:
        return held[0][0]
    if check["value"] is None or not held:
        return None
    sign = -1.0 if check["at_least"] else 1.0
    return next((lv for lv, limit in held if sign * check["value"] > sign * limit), "pass")


def stressed(job: Job) -> Iterator[Job]:
    """Yield a job, and what becomes of it under other loads, frictions and radii."""
    yield job
    changes: tuple[dict[str, Any], ...] = (
        {"load": 2000.0, "push_load": 1500.0},
        {"friction": (0.05, 1.5)},
        {"bend_radius": 400.0},
        {"travel": 200.0, "temperature": (-60.0, 200.0)},
        {"family": None},
    )
    for change in changes:
        yield replace(job, cables=tuple(changed(cable, **change) for cable in job.cables))


def changed(cable: Cable, **change: Any) -> Cable:
    if cable.kind == "pull":  # which is refused a push
        change["push_load"] = None
    return replace(cable, **change)


@pytest.mark.parametrize("limits", [None, STRICT], ids=["usual", "strict"])
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_level_follows_from_value_and_limits_and_findings_are_checks(file, limits):
    levels = set()
    for job in stressed(read_job(file)):
        plain = assessment_dict(assess(job, limits=limits))
        for part in (*plain["cables"], *plain["linkages"], *plain["selectors"]):
            checks = part["checks"]
            for check in checks:
                expected = by_arithmetic(check)
                assert check["level"] == expected or expected is None, check
                assert expected or check["level"] in ("note", "told"), check
                levels.add(check["level"])
            known = {(check["code"], check["level"], check["where"]) for check in checks}
            found = {(one["code"], one["level"], one["where"]) for one in part["findings"]}
            assert found == {key for key in known if key[1] in ("fail", "marginal", "note")}
            assert part["verdict"] == next(
                (level for level in ("fail", "marginal") if any(key[1] == level for key in known)),
                "pass",
            )
    assert {"pass", "fail"} <= levels


def test_limits_of_the_caller_are_in_checks_findings_and_conditions():
    job = read_job(DATA / "grass_track_buggy.toml")
    plain = assessment_dict(assess(job, limits=Limits(efficiency=(0.99, 0.98))))
    for cable in plain["cables"]:
        (check,) = [one for one in cable["checks"] if one["code"] == "efficiency-low"]
        assert (check["marginal"], check["failing"], check["level"]) == (0.99, 0.98, "fail")
        assert {one["verdict"] for one in cable["conditions"]} == {"fail"}
        assert "efficiency-low" in {one["code"] for one in cable["findings"]}
