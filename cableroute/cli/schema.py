"""``cableroute schema``: the route file's JSON Schema, for editors."""

from __future__ import annotations

from cableroute.cli.console import say_json
from cableroute.measure.models import RouteFile


def schema() -> None:
    """Print the JSON Schema of the route file, for editors that complete and check TOML."""
    say_json(RouteFile.model_json_schema())
