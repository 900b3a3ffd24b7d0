"""Cut the points of a route file into cells, so that each keeps its own text and notes."""

from __future__ import annotations

import re
from dataclasses import dataclass

from cableroute.measure.toml_lines import key_lines

_TOKEN = re.compile(
    r'''"""(?:\\.|[^\\])*?"""+|\'\'\'.*?\'\'\'+|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|\#[^\n]*|[^"'\#]''',
    re.DOTALL,
)
_BLANK = re.compile(r"(?:\s|#[^\n]*)*")
_NOTE = re.compile(r"[ \t]*(?:#[^\n]*)?")


@dataclass(frozen=True, slots=True)
class Cell:
    """One point of an array: the blanks and notes before it, itself, its comma and note."""

    lead: str
    value: str
    after: str


def cut_tables(text: str, cable: int, count: int) -> tuple[str, list[Cell], str]:
    """Cut a file at its ``[[cable.points]]`` tables; a lead is all from one to the next."""
    here = ("cable", cable, "points")
    places = key_lines(text)
    lines = text.splitlines(keepends=True)
    cells: list[Cell] = []
    end = begin = places[*here, 0] - 1
    for j in range(count):
        start = places[*here, j] - 1
        others = (at for path, at in places.items() if at > start + 1 and path[:4] != (*here, j))
        stop = min(others, default=len(lines) + 1) - 1
        while not lines[stop - 1].strip() or lines[stop - 1].lstrip().startswith("#"):
            stop -= 1
        cells.append(Cell("".join(lines[end:start]), "".join(lines[start:stop]), ""))
        end = stop
    return "".join(lines[:begin]), cells, "".join(lines[end:])


def cut(body: str) -> tuple[list[Cell], str]:
    """Cut the inside of an array into its members and what follows the last of them."""
    cells, start, depth = [], 0, 0
    for token in _TOKEN.finditer(body):
        depth += (token[0] in "[{") - (token[0] in "]}")
        if token[0] == "," and depth == 0:
            note = _NOTE.match(body, token.end())
            end = note.end() if note and "#" in note[0] else token.end()
            cells.append(_cell(body[start:end], token.start() - start))
            start = end
    rest = body[start:]
    lead = _lead(rest)
    if lead == rest:
        return cells, rest
    end = len(lead)  # a last member without a comma: it gets one
    for token in _TOKEN.finditer(rest, end):
        if not token[0].isspace() and not token[0].startswith("#"):
            end = token.end()
    note = _NOTE.match(rest, end)
    stop = note.end() if note and "#" in note[0] else end
    return [*cells, Cell(lead, rest[len(lead) : end], "," + rest[end:stop])], rest[stop:]


def _cell(text: str, comma: int) -> Cell:
    lead = _lead(text)
    value = text[len(lead) : comma]
    return Cell(lead, value.rstrip(), text[len(lead) + len(value.rstrip()) :])


def _lead(text: str) -> str:
    blank = _BLANK.match(text)
    return blank[0] if blank else ""


def notes_of(cell: Cell) -> str:
    """Give what stands above a point that is gone, if notes; those beside it went with it."""
    above = cell.lead[: cell.lead.rfind("\n")] if cell.after else cell.lead
    return above if above.strip() else ""
