"""``cableroute suggest``: what to move, to leave out, to sweep wider."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from cableroute.cli.console import ForceOption, JsonOption, complaints, say, say_json
from cableroute.cli.job_options import FileArgument, Reader, overriding
from cableroute.cli.progress import progress
from cableroute.errors import CableRouteError
from cableroute.measure.bounds import check_at_once
from cableroute.output.advice_text import advice_dict, advice_lines
from cableroute.output.files import write_text
from cableroute.output.moved_toml import changed_text
from cableroute.route.repair import FARTHEST
from cableroute.suggestions import Offer, Suggestion, numbered
from cableroute.suggestions import suggest as suggestions


@overriding
def suggest(
    file: FileArgument,
    read: Reader,
    cable: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only this cable of the file.")
    ] = None,
    within: Annotated[
        float, typer.Option(metavar="MM", help="No point is moved further than this.")
    ] = FARTHEST,
    apply: Annotated[
        Path | None, typer.Option(metavar="NEW.toml", help="Write a copy with the points moved.")
    ] = None,
    option: Annotated[
        list[int] | None,
        typer.Option(
            metavar="N", help="With --apply: take this one of the list instead; again for more."
        ),
    ] = None,
    json: JsonOption = False,
    force: ForceOption = False,
) -> None:
    """Suggest the smallest moves that make every bend fit, and what lowers the force.

    A point moves as its "move" in the file says: no, x, y, z, tube or free; anchors and the two
    ends stay if it says nothing. What may be taken is numbered; each was judged again in full, and
    what it makes worse stands below it:

    cableroute suggest machine.toml --apply new.toml --option 3

    Exit status: 0 whatever is found, 2 bad input.
    """
    with complaints():
        job = read(file)
        if option and apply is None:
            raise CableRouteError("--option: expected --apply NEW.toml to write it to")
        if apply is not None and file.suffix.lower() != ".toml":
            raise CableRouteError(f"{file}: expected a route file (.toml) to apply moves to")
        check_at_once([each.name for each in job.cables if cable in (None, each.name)])
        with progress("looking for moves") as told:
            found = suggestions(job, cable=cable, within=within, told=told)
        taken = _taken(found, option)
        if apply is not None and taken:
            text = changed_text(file.read_text(encoding="utf-8-sig"), taken, unit=job.unit)
            write_text(apply, text, force=force, inputs=read.inputs)
    if json:
        say_json(advice_dict(found))
    else:
        for mood, line in advice_lines(found):
            say(line, mood)
        if apply is None and file.suffix.lower() == ".toml" and numbered(found):
            say("Take one by its number: --apply NEW.toml --option N.")
        if apply is not None:
            say(f"{apply} is written." if taken else f"Nothing moves: {apply} is not written.")


def _taken(
    found: Sequence[Suggestion], numbers: Sequence[int] | None
) -> list[tuple[Suggestion, Offer]]:
    """Return the offers asked for by number, or else all moves."""
    if not numbers:
        return [(item, item.move) for item in found if item.move is not None]
    offers = numbered(found)
    unknown = [number for number in numbers if number not in offers]
    if unknown:
        known = f"a number from 1 to {len(offers)}" if offers else "none, as nothing is offered"
        raise CableRouteError(f"--option: expected {known}, got {unknown[0]}")
    taken = [offers[number] for number in dict.fromkeys(numbers)]
    names = [offer.cable.name for _, offer in taken]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise CableRouteError(
            f"--option: expected one for a cable, got {names.count(twice)} for {twice}: each was judged "
            "alone. Apply one, then ask again"
        )
    return taken
