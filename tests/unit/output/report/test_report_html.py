"""The report as a web page."""

from __future__ import annotations

import re
from html import unescape

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cableroute.output.report.as_html import report_html
from cableroute.output.report.as_markdown import report_markdown
from cableroute.output.report.blocks import Column, Paragraph, Report, Section, Table
from cableroute.units import format_inches


def report_of(text: str) -> Report:
    blocks = (Paragraph(text), Table("", (Column("length"),), ((text,),)))
    return Report("Boat", "pass", "boat.toml", None, "Mind it.", (Section("All", blocks),))


def shown(text: str) -> str:
    return unescape(re.findall("<p>(leaves.*?)</p>", report_html(report_of(text)))[0])


@settings(max_examples=30)
@given(mm=st.floats(-1e5, 1e5))
def test_feet_and_inches_do_not_break_inside_the_number(mm):
    length = format_inches(mm)
    said = shown(f"leaves {length} of 5 clips")
    assert said == f"leaves {length.replace(' ', chr(0xA0))} of 5 clips"


@pytest.mark.parametrize("text", ["leaves 12 mm", "leaves 3 1/2 turns", 'leaves 5 m "as is"'])
def test_other_words_may_break_where_they_did(text):
    assert "\xa0" not in shown(text)


def test_a_table_keeps_them_whole_too_and_markdown_has_plain_spaces():
    report = report_of("leaves 1' 0 13/16\"")
    assert unescape(report_html(report)).count("leaves 1'\xa00\xa013/16\"") == 2
    assert "leaves 1' 0 13/16\"" in report_markdown(report)
