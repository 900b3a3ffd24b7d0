"""What is tried: for each command, the kinds of its input and what is typed."""

from __future__ import annotations

from itertools import product

#: What a list of points needs beside its points.
BARE = "--bend-radius 60 --friction 0.12 --load 80"
#: Kinds of input that are such lists.
LISTS = ("csv", "obj", "dxf", "list")
_PICTURES = (
    *(f"draw {{}} --what {what} -o out.svg" for what in ("sheet", "side", "isometric", "forces")),
    *(f"draw {{}} --what {what} -o out.png" for what in ("radius", "stock", "lost", "selector")),
    *("draw {} --what machine -o out.pdf", "feel {} -o out.svg", "compare {} --pair -o out.svg"),
    *("study {} --n 8 -o out.svg", "sweep {} --over cable.1.load=0:9:2 -o out.png"),
)
#: By name, a command's kinds of input and what is typed; more often what stands there more often.
#: `{}` is the input, `{other}` a sound route file, `out` and `new` are files that are not there yet.
#: What comes after the point in a name are outputs that take long, apart.
WAYS: dict[str, tuple[str, tuple[str, ...]]] = {
    "check": (
        "toml toml toml csv obj dxf list",
        (
            *("check {}", "check {} --full", "check {} --json", "check {} --inside --full"),
            *(f"check {{}} {BARE} --json", "check {} {other}", "check {} {other} --json"),
        ),
    ),
    "stock": (
        "library",
        (
            "stock --library {}",
            "stock push-solid-light --library {}",
            "stock push-solid-light --library {} --json",
        ),
    ),
    "suggest": (
        "toml toml csv dxf list",
        ("suggest {}", "suggest {} --json", "suggest {} --apply out.toml"),
    ),
    "study": (
        "toml toml csv list",
        (
            *(f"study {{}} --n 8 {more}" for more in ("", "--json", "--csv out.csv")),
            "study {} {other} --n 8 --csv out.csv",
        ),
    ),
    "sweep": (
        "toml",
        tuple(
            f"sweep {{}} --over {key}:2 {more}"
            for key, more in product(
                ("cable.shift.load=0:1e3", "cable.1.points.2.z=-9e9:9e9", "unit=1:2"),
                ("", "--json", "--csv out.csv"),
            )
        ),
    ),
    "template": (
        "toml csv obj dxf list",
        ("template {}", "template {} --json", "template {} --csv out.csv"),
    ),
    "template.pdf": (
        "toml csv",
        ("template {} -o out.pdf", "template {} --paper letter -o out.pdf"),
    ),
    "export": (
        "toml csv obj dxf list",
        (
            *(f"export {{}} {BARE} -o out.{ending}" for ending in ("dxf", "csv")),
            *(f"export {{}} --what {what} -o out.csv" for what in ("bends", "clips")),
            "export {} --diameter 9 -o out.stl",
        ),
    ),
    "feel": ("toml", ("feel {}", "feel {} --json")),
    "linkage": ("toml", ("linkage {}", "linkage {} --json", "linkage {} --csv out.csv")),
    "compare": (
        "toml csv",
        (
            *("compare {} --pair --json", "compare {} --pair", "compare {} {other}"),
            "compare {other} --cable a --families --library {}",
        ),
    ),
    "calibrate": (
        "readings",
        (
            *("calibrate {}", "calibrate {} --json", "calibrate {} --route {other}"),
            *("calibrate {} --into {other}", "calibrate {} --stiffness --weight 0.3"),
        ),
    ),
    "report": (
        "toml toml toml csv",
        (
            *(("report {} -o out.md",) * 4),
            *("report {} --sheet -o out.html", "report {} --sheet -o out.csv"),
        ),
    ),
    "report.html": ("toml dxf", ("report {} -o out.html",)),
    "report.pdf": ("toml csv", ("report {} -o out.pdf", "report {} --sheet -o out.pdf")),
    "draw": (
        "toml",
        (
            *(f"draw {{}} --what {what} -o out.svg" for what in ("plan", "linkage", "machine")),
            "draw {} --cable shift",
        ),
    ),
    "draw.all": ("toml", _PICTURES),
    "points": ("dialogue", ("points new.toml", "points {other}")),
    "page": ("toml", ("page",)),
}
