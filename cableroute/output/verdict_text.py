"""The verdict as text, for a terminal of 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from cableroute.assess import Assessment
from cableroute.output.cautions import cautions_for
from cableroute.output.columns import WIDTH, wrapped
from cableroute.output.report.as_text import section_lines
from cableroute.output.report.summary import cable_summary, linkage_summary, selector_summary


def as_text(assessment: Assessment, *, full: bool = False) -> str:
    """Return the verdict on a job as text; ``full`` adds every bend, clip and check."""
    return "\n".join(line for _, line in report_lines(assessment, full=full))


def report_lines(assessment: Assessment, *, full: bool = False) -> Iterator[tuple[str, str]]:
    """Yield the report line by line, each after the verdict or level that may colour it."""
    title = assessment.job.title or "Control cables"
    yield from (("", line) for line in textwrap.wrap(title, WIDTH))
    for cable in assessment.cables:
        yield "", ""
        yield from section_lines(cable_summary(cable))
        if full:
            from cableroute.output.report.cable_section import cable_details  # seldom asked for

            for part in cable_details(cable, assessment.job.words, full=True):
                yield "", ""
                yield from section_lines(part)
    for linkage in assessment.linkages:
        yield "", ""
        yield from section_lines(linkage_summary(linkage))
    for selector in assessment.selectors:
        yield "", ""
        yield from section_lines(selector_summary(selector))
    yield "", ""
    for caution in cautions_for(assessment.job):
        yield from (("", line) for line in wrapped("Caution: " + caution, indent=9))
