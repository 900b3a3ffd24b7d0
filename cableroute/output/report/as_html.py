"""The report as one page that asks for nothing else: pictures, style and script are in it."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections.abc import Iterator
from hashlib import sha256
from html import escape as _escape
from importlib.resources import files
from math import floor

from cableroute.output.drawings import draw, picture
from cableroute.output.plain import JsonObject
from cableroute.output.report.blocks import (
    Block,
    Bullets,
    Drawing,
    Facts,
    Paragraph,
    Remarks,
    Report,
    Section,
    Space,
    Table,
)
from cableroute.output.report.slim_svg import address, slim
from cableroute.output.report.space import scene
from cableroute.output.telling import Announce, Begin, each_drawing, silent
from cableroute.shown import one_line

#: A word with more letters than this may break, after so many of them.
_LONGEST, _SYLLABLE = 30, 10
#: Hebrew, Arabic and the like: set apart, or a figure beside them would change its place.
_RTL = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc"
#: Feet and inches as `format_inches` writes them: 3' 4 1/2".
_FEET_AND_INCHES = re.compile(r"""(?<![\w/])(?:\d+' )?\d+(?: \d+/\d+)?\"""")
_IMPORT = re.compile(r"^import .*\n", re.MULTILINE)
#: The modules that draw the runs in space, each after those it needs.
VIEW = ("eye.js", "hands.js", "space.js")
_RIGHT_TO_LEFT = re.compile(f"[{_RTL}]+(?: +[{_RTL}]+)*")
_VIEWS = (("plan", "Plan"), ("side", "Side"), ("front", "Front"), ("reset", "Reset"))
_ZOOMS = (("in", "Zoom in", "+"), ("out", "Zoom out", "−"))
_HOW = (
    "Drag to turn, or use the arrow keys; + and − zoom, and so does the wheel once the picture "
    "is chosen, or two fingers. With Shift, dragging and the arrows move the picture."
)


def report_html(report: Report, *, announce: Announce = silent) -> str:
    """Return a report as a page that can be opened, mailed and printed on its own."""
    style, script = _shipped("report.css"), "" if report.sheets else _script()
    title, verdict = escape(report.title), report.verdict
    numbered = [(f"part-{i}", section) for i, section in enumerate(report.sections, start=1)]
    links = "".join(f'<li><a href="#{i}">{_text(s.heading)}</a></li>' for i, s in numbered)
    begin = each_drawing(report, announce)
    body = "\n".join(
        _section(section, 2, name, begin, kind=_kind(section) if report.sheets else "")
        for name, section in numbered
    )
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{_policy(style, script)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>{title}: {verdict.upper()}</title>
<link rel="icon" href="data:,">
<style>{style}</style>
</head>
<body{' class="sheets"' if report.sheets else ""}>
<header>
<h1>{_text(report.title)}</h1>
<p class="verdict {verdict}">{verdict.upper()}</p>
<p>{_text(report.caution)}</p>
<p class="byline">{_text(report.byline)}</p>
</header>
<nav aria-label="Contents"><ol>{links}</ol></nav>
<main>
{body}
</main>
{f'<script type="module">{script}</script>' if script else ""}
</body>
</html>
"""


def escape(text: str) -> str:
    """Return words that HTML shows as they are, in text and in attributes."""
    return _escape(one_line(text), quote=True)


def _text(text: str) -> str:
    """Escape words that stand in the page; long ones may break, or they stretch their table.

    Feet and inches may not: a line that ends in 3' reads as another length.
    """
    whole = _FEET_AND_INCHES.sub(lambda found: found[0].replace(" ", "\xa0"), one_line(text))
    words = (
        "<wbr>".join(_escape(word[i : i + _SYLLABLE]) for i in range(0, len(word), _SYLLABLE))
        if len(word) > _LONGEST
        else _escape(word)
        for word in whole.split(" ")
    )
    return _RIGHT_TO_LEFT.sub(r"<bdi>\g<0></bdi>", " ".join(words))


def _shipped(*names: str) -> str:
    return files("cableroute.output.report").joinpath(*names).read_text(encoding="utf-8")


def _script() -> str:
    """Lay the modules of the view end to end; what they import of each other is then there."""
    modules = [_shipped("view", name) for name in VIEW] + [_shipped("report.js")]
    return "".join(_IMPORT.sub("", module) for module in modules)


def _policy(style: str, script: str) -> str:
    """Allow this style, this script and pictures that are in the page; nothing else at all."""
    hashes = (b64encode(sha256(text.encode()).digest()).decode() for text in (style, script))
    allowed = "style-src 'sha256-{}'; script-src 'sha256-{}'".format(*hashes)
    return f"default-src 'none'; {allowed}; img-src data:; base-uri 'none'; form-action 'none'"


def _kind(section: Section) -> str:
    """Return the class of a sheet: in which letters it fits a printed page of any paper."""
    from cableroute.output.report.as_pdf import sheet_size

    return f' class="sheet pt-{floor(sheet_size(section))}"'


def _section(section: Section, level: int, name: str, begin: Begin, kind: str = "") -> str:
    blocks = "\n".join(_block(block, begin) for block in section.blocks)
    parts = [
        _section(part, level + 1, f"{name}-{i}", begin) for i, part in enumerate(section.parts, 1)
    ]
    head = f'<h{level} id="{name}">{_text(section.heading)}</h{level}>'
    inner = "\n".join([head, blocks, *parts])
    return f'<section{kind} aria-labelledby="{name}">\n{inner}\n</section>'


def _block(block: Block, begin: Begin) -> str:
    match block.table if isinstance(block, Facts) else block:
        case Paragraph(text):
            return f"<p>{_text(text)}</p>"
        case Bullets(items):
            return f"<ul>{''.join(f'<li>{_text(item)}</li>' for item in items)}</ul>"
        case Remarks(items):
            return f'<ul class="remarks">{"".join(_remark(*item) for item in items)}</ul>'
        case Table() as shown:
            return _table(shown)
        case Drawing() as drawing:
            return _drawing(drawing, begin)
        case Space() as space:
            return _space(space, begin)


def _remark(level: str, where: str, message: str) -> str:
    place = f"<b>{_text(where)}:</b> " if where else ""
    return f"<li>{_badge(level)} {place}{_text(message)}</li>"


def _badge(word: str) -> str:
    return f'<span class="badge {word}">{word.upper()}</span>'


def _table(table: Table) -> str:
    """Say every role, for a narrow screen shows the rows as cards and would forget them."""
    heads = "".join(
        f'<th scope="col" role="columnheader"{_flush(column.numeric)}>{escape(column.head)}</th>'
        for column in table.columns
    )
    rows = "\n".join(f'<tr role="row">{"".join(_cells(table, row))}</tr>' for row in table.rows)
    caption = f"<caption>{_text(table.caption)}</caption>" if table.caption else ""
    cards = ' class="cards"' if len(table.columns) > 2 else ""
    return (
        f'<table role="table"{cards}>{caption}<thead role="rowgroup"><tr role="row">{heads}</tr></thead>\n'
        f'<tbody role="rowgroup">{rows}</tbody></table>'
    )


def _cells(table: Table, row: tuple[str, ...]) -> Iterator[str]:
    for column, cell in zip(table.columns, row, strict=True):
        judged = column.judges and cell.lower() in _LEVELS
        shown = _badge(cell.lower()) if judged else _text(cell)
        label = escape(column.head)
        yield f'<td role="cell" data-label="{label}"{_flush(column.numeric)}>{shown}</td>'


_LEVELS = ("pass", "marginal", "fail", "note")


def _flush(numeric: bool) -> str:
    return ' class="number"' if numeric else ""


def _drawing(drawing: Drawing, begin: Begin) -> str:
    """Embed a drawing as a picture, so that its own names cannot meet those of another."""
    begin(drawing)
    figure = draw(drawing.result, drawing.what, unit=drawing.job.unit, job=drawing.job)
    source = address(slim(picture(figure, ".svg").decode()))
    wide, high = (round(96 * size) for size in figure.get_size_inches())
    caption = escape(drawing.caption)
    return (
        '<figure><div class="scroll">'
        f'<img src="{source}" alt="{caption}" width="{wide}" height="{high}">'
        f"</div><figcaption>{_text(drawing.caption)}</figcaption></figure>"
    )


def _space(space: Space, begin: Begin) -> str:
    shown = scene(space.assessment)
    names = ", ".join(cable["name"] for cable in shown["cables"])
    views = "".join(
        f'<button type="button" data-view="{view}">{word}</button>' for view, word in _VIEWS
    )
    zooms = "".join(
        f'<button type="button" data-zoom="{way}" aria-label="{label}">{sign}</button>'
        for way, label, sign in _ZOOMS
    )
    still = "\n".join(_drawing(drawing, begin) for drawing in space.drawings)
    return f"""<figure id="turn" hidden>
<div role="group" aria-label="Views" class="views">{views}{zooms}</div>
<svg id="space" role="img" tabindex="0" aria-label="{escape(f"The runs in space: {names}")}" \
aria-describedby="space-how"></svg>
<p id="space-seen" role="status"></p>
<ul id="space-key"></ul>
<figcaption id="space-how">{_HOW}</figcaption>
</figure>
<div id="still">
{still}
</div>
<script type="application/json" id="scene">{_json(shown)}</script>"""


def _json(shown: JsonObject) -> str:
    """Write JSON that no word in it can end the script with."""
    text = json.dumps(shown, allow_nan=False, separators=(",", ":"))  # ASCII only
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
