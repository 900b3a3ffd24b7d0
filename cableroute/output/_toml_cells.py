"""Cut the members of an array in a TOML text apart, so that each keeps its own text and notes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from cableroute.frozen import frozen
from cableroute.measure.toml_lines import Block, Path

_TOKEN = re.compile(
    r'''"""(?:\\.|[^\\])*?"""+|\'\'\'.*?\'\'\'+|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|\#[^\n]*|[^"'\#]''',
    re.DOTALL,
)
_BLANK = re.compile(r"(?:\s|#[^\n]*)*")
_NOTE = re.compile(r"[ \t]*(?:#[^\n]*)?")


@frozen
class Cell:
    """One member of an array: the blanks and notes before it, itself, its comma and note."""

    lead: str
    value: str
    after: str


@frozen
class Piece:
    """A header with what stands below it and the notes right above it; or neither's notes."""

    path: Path
    text: str


def cut(body: str) -> tuple[list[Cell], str, bool]:
    """Cut the inside of an array into its members and the rest; say if the last has a comma."""
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
        return cells, rest, True
    end = len(lead)  # a last member without a comma: it gets one
    for token in _TOKEN.finditer(rest, end):
        if not token[0].isspace() and not token[0].startswith("#"):
            end = token.end()
    note = _NOTE.match(rest, end)
    stop = note.end() if note and "#" in note[0] else end
    return [*cells, Cell(lead, rest[len(lead) : end], "," + rest[end:stop])], rest[stop:], False


def _cell(text: str, comma: int) -> Cell:
    lead = _lead(text)
    value = text[len(lead) : comma]
    return Cell(lead, value.rstrip(), text[len(lead) + len(value.rstrip()) :])


def _lead(text: str) -> str:
    blank = _BLANK.match(text)
    return blank[0] if blank else ""


def notes_of(cell: Cell) -> str:
    """Give what stands above a member that is gone, if notes; those beside it went with it."""
    above = cell.lead[: cell.lead.rfind("\n")]
    return above if above.strip() else ""


def cut_tables(text: str, blocks: Sequence[Block]) -> list[Piece]:
    """Cut a file before each header and the notes right above it; the first has no header."""
    starts = [_with_notes(text, block.begin) for block in blocks]
    pieces = [Piece((), text[: starts[0]] if starts else text)]
    starts.append(len(text))
    for block, start, stop in zip(blocks, starts, starts[1:], strict=False):
        end = stop - len(_trailing(text[block.begin : stop]))
        pieces.append(Piece(block.path, text[start:end]))
        if end < stop:
            pieces.append(Piece((), text[end:stop]))
    return pieces


def arranged(
    pieces: Sequence[Piece], path: Path, order: Sequence[int | None], made: Sequence[str]
) -> str:
    """Put the tables of one array together in another order, with new ones among them.

    While the old ones keep their order each piece stays where it is, even one that stands apart.
    """
    members = [_member(piece.path, path) for piece in pieces]
    places: dict[int, list[int]] = {}
    for k, i in enumerate(members):
        places.setdefault(i, []).append(k)
    kept = [i for i in order if i is not None]
    out = [p.text if i in (-1, *kept) else "" for p, i in zip(pieces, members, strict=True)]
    last = {i: each[-1] for i, each in places.items()}
    if kept != sorted(kept):
        whole = {i: "".join(out[k] for k in places[i]) for i in kept}
        out = ["" if i in kept else text for text, i in zip(out, members, strict=True)]
        last = dict(zip(kept, sorted(places[i][0] for i in kept), strict=True))
        for i, place in last.items():
            out[place] = whole[i]
    at = min((each[0] for i, each in places.items() if i != -1), default=len(pieces)) - 1
    for j, text in zip(order, made, strict=True):
        at = at if j is None else last[j]
        out[at] += text
    return "".join(out)


def _member(block: Path, path: Path) -> int:
    """Say in which member of an array a header is, or -1."""
    n = len(path)
    part = block[n] if len(block) > n and block[:n] == path else -1
    return part if isinstance(part, int) else -1


def _trailing(own: str) -> str:
    """Give the notes at the end of a stretch that an empty line sets apart, with that line."""
    lines = own.splitlines(keepends=True)
    n = len(lines)
    while n > 1 and (not lines[n - 1].strip() or lines[n - 1].lstrip().startswith("#")):
        n -= 1
    while n < len(lines) and lines[n].strip():
        n += 1  # notes that follow at once
    return "".join(lines[n:])


def _with_notes(text: str, begin: int) -> int:
    """Where a header begins with the notes right above it and the empty lines above those."""
    begin = text.rfind("\n", 0, begin) + 1
    for is_lead in (lambda line: line.startswith("#"), lambda line: not line):
        while begin > 0:
            above = text.rfind("\n", 0, begin - 1) + 1
            if not is_lead(text[above : begin - 1].strip()):
                break
            begin = above
    return begin
