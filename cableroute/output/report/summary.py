"""What is told in short of a cable, a linkage and a selector: alike on a terminal and in reports."""

from __future__ import annotations

from cableroute.assess import CableAssessment, LinkageAssessment, SelectorAssessment
from cableroute.output.report.blocks import Facts, Section, remarks
from cableroute.table.whole_cable import cable_facts, kind_of


def cable_summary(cable: CableAssessment) -> Section:
    """Return figures and findings of a cable."""
    name = cable.figures.cable.name
    return Section(
        f"Cable {name}",
        (Facts(tuple(cable_facts(cable))), *remarks(cable.findings)),
        verdict=cable.verdict,
        line=f"{name} ({kind_of(cable)})",
    )


def linkage_summary(linkage: LinkageAssessment) -> Section:
    """Return figures and findings of a linkage."""
    from cableroute.table.linkage import linkage_facts  # few files have linkages

    name = linkage.figures.name
    return Section(
        f"Linkage {name}",
        (Facts(tuple(linkage_facts(linkage))), *remarks(linkage.findings)),
        verdict=linkage.verdict,
        line=f"{name} (linkage by cable {linkage.figures.built.entry.cable})",
    )


def selector_summary(selector: SelectorAssessment) -> Section:
    """Return pattern, gates and findings of a selector."""
    from cableroute.table.linkage import selector_facts

    name = selector.figures.entry.name
    told = tuple(selector_facts(selector))
    return Section(
        f"Selector {name}",
        ((Facts(told),) if told else ()) + remarks(selector.findings),
        verdict=selector.verdict,
        line=f"{name} (two-axis selector)",
    )
