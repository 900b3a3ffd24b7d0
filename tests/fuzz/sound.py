"""Sound inputs of every kind that the program reads; small, so that thousands can be tried."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from pathlib import Path

import tomlkit

DATA = Path(__file__).parents[2] / "data"
CSVS = (
    "x,y,z,label\n0,0,0,lever\n420,0,0,sill\n420,310,0,post\n420,310,500,bracket\n",
    "x_in;y_in;z_in\n0;0;0\n16,5;0;0\n16,5;12;0\n",
    "cable,Layer,Position X,Position Y,Position Z\na,0,0,0,0\na,0,400,0,0\nb,0,0,9,9\nb,1,400,9,99\n",
    "0 0 0 lever\n400 0 0\n400 300 0 far\n",
    "x,y,z,radius,fix,move\n0,0,0,,anchor,no\n400,0,0,80,clip,free\n400,300,0,,anchor,\n",
    "cable,along_mm,x_mm,y_mm,z_mm,radius_mm\na,0,0,0,0,\na,9,9,0,0,60\na,19,18,3,0,60\na,99,40,77,0,\n",
    "Survey\nNo;X-Koordinate;Y;Z;Name;;\n;mm;mm;mm;;;\n1;0;0;0;a;;\n2;1.420,5;0;0;b;;\n3;1.420,5;900;0;c;;\n",
    "# x_in y_in z_in\n0 0 0\n16 0 0\n16 12 0\n",
    "P1,0,0,0\nP2,400,0,0\nP3,400,300,0\n",
    "# taped\nx,y,z,heading,passes\n0,0,0,forward,\n4',0,0,,inside\n4',12 in,0,left,\n",
)
#: Lists as somebody pastes them.
LISTS = (
    "0 0 0\n400 0 0\n400 300 0\n400 300 200\n",
    "lever 0, 0, 0\nsill 400, 0, 0\npost 400, 300, 0\n",
    "0\t0\t0\n1m20\t0\t0\n1m20\t35cm\t0\n",
    '(0; 0; 0)\n(3\' 4 1/2"; 0; 0)\n(3\' 4 1/2"; 12"; 6 1/4")\n',
    "at point X = 0.0  Y = 0.0  Z = 0.0\nX = 400  Y = 0  Z = 0\nX = 400  Y = 300  Z = 0\n",
    "cable\tx\ty\tz\na\t0\t0\t0\na\t500\t0\t0\na\t500\t400\t0\n",
)
READINGS = (
    "wrap_deg,load_n,hand_n,label\n90,50,57.5,a\n90,100,115,b\n180,50,66,c\n270,50,77,d\n360,100,180,e\n",
    "load_n;hand_n\n0;3\n20;27\n60;75\n100;122\n",
    "length_mm,sag_mm,tip_n,label\n300,4,0,a\n400,12,0,b\n400,31,0.5,c\n500,30,0,d\n",
)
OBJS = (
    "o a\nv 0 0 0\nv 400 0 0\nv 400 300 0\nv 400 300 200\nl 1 2\nl 2 3 4\n",
    "v 0 0 0 1\nv 400 0 0\nv 400 300 0 # far\nv 9 9 9\nf 1 2 3\np 4\n",
    "g one\nv 0 0 0\nv 40 0 0\nl -2 -1\nv 40 30 0\nl 2/1 3/2\ng two\nv 0 0 9\nv 4e2 0 9\nl \\\n4 5\n",
)
DIALOGUES = (
    "0 0 0\n400 0 0\nlabel sill\n3' 4 1/2\"; 0; 12 in\nfix clip\nback\n400 300 0\nlist\nstop\n",
    "kind pull\nload 14 lbf\ntravel 40\nfamily pull-slick-medium\n0 0 0\n12 in\n0\n0\n900 300 0\n"
    "insert 2\n9 9 9\nlabel 1: hand\nfix anchor 1\ndelete 2\nback\nredo\nfamily\nlist\nhelp\n",
)
#: Entities of drawings, as groups of a code and its value.
ENTITIES = {
    "line": "0 LINE 8 a 10 0 20 0 30 0 11 400 21 0 31 0",
    "on": "0 LINE 8 a 10 480 20 80 30 0 11 480 21 300 31 0",
    "arc": "0 ARC 8 a 10 400 20 80 30 0 40 80 50 270 51 0 210 0 220 0 230 1",
    "bulged": "0 LWPOLYLINE 100 AcDbEntity 8 b 100 AcDbPolyline 90 4 70 0 38 50 "
    "10 0 20 0 10 400 20 0 42 0.4 10 480 20 80 10 480 20 400",
    "in space": "0 POLYLINE 8 c 66 1 70 8 10 0 20 0 30 0 0 VERTEX 8 c 10 0 20 0 30 0 70 32 "
    "0 VERTEX 8 c 10 400 20 0 30 0 70 32 0 VERTEX 8 c 10 400 20 300 30 90 70 32 0 SEQEND 8 c",
    "flat": "0 POLYLINE 8 c 66 1 70 0 10 0 20 0 30 5 0 VERTEX 8 c 10 0 20 0 42 0.2 "
    "0 VERTEX 8 c 10 400 20 0 0 VERTEX 8 c 10 400 20 300 0 SEQEND 8 c",
    "spline": "0 SPLINE 100 AcDbEntity 8 d 100 AcDbSpline 70 8 71 3 72 8 73 4 74 0 "
    "40 0 40 0 40 0 40 0 40 1 40 1 40 1 40 1 "
    "10 0 20 0 30 0 10 300 20 0 30 0 10 500 20 200 30 0 10 500 20 500 30 90",
    "unclamped": "0 SPLINE 100 AcDbEntity 8 d 100 AcDbSpline 70 8 71 2 72 6 73 3 74 0 "
    "40 0 40 1 40 2 40 3 40 4 40 5 10 0 20 0 30 0 10 300 20 0 30 0 10 500 20 500 30 90",
    "fitted": "0 POLYLINE 8 c 66 1 70 4 10 0 20 0 30 5 0 VERTEX 8 c 10 0 20 0 70 8 "
    "0 VERTEX 8 c 10 400 20 0 70 8 0 VERTEX 8 c 10 9 20 9 70 16 0 SEQEND 8 c",
    "ellipse": "0 ELLIPSE 100 AcDbEntity 8 e 100 AcDbEllipse 10 0 20 0 30 0 11 300 21 0 31 0 "
    "210 0 220 0 230 1 40 0.6 41 0 42 2",
    "points": "0 POINT 8 f 10 0 20 0 30 0 0 POINT 8 f 10 40 20 0 30 0 0 POINT 8 f 10 40 20 30 30 0",
    "block": "0 INSERT 8 a 2 none 10 0 20 0 30 0 41 -1",
}


@cache
def routes() -> tuple[str, ...]:
    """Return every sound route file there is, the starter with all of its comments too."""
    starter = files("cableroute.output").joinpath("starter.toml").read_text(encoding="utf-8")
    return (*(path.read_text() for path in sorted(DATA.glob("*.toml"))), starter)


@cache
def families() -> tuple[str, ...]:
    """Return libraries of one cable family each: those that the program brings, parted."""
    text = files("cableroute.hardware").joinpath("families.toml").read_text(encoding="utf-8")
    every = tomllib.loads(text)["family"]
    return tuple(tomlkit.dumps({"family": {name: family}}) for name, family in every.items())


@cache
def drawings() -> tuple[str, ...]:
    """Return drawings: of every entity alone, of lines and arcs in a row, and one of our own."""
    from cableroute.assess import assess
    from cableroute.measure.reading import read_job
    from cableroute.output.dxf import dxf_text

    together = (("line", "arc", "on"), ("on", "line", "arc", "bulged", "points"), ("line", "block"))
    own = dxf_text(assess(read_job(DATA / "survey_tubes.toml")).cables)
    alone = ((name,) for name in ENTITIES)
    return (
        *(_drawing(*names, unit=4) for names in (*alone, *together)),
        _drawing("line", unit=1),
        own,
    )


def _drawing(*names: str, unit: int) -> str:
    head = f"0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 {unit} 0 ENDSEC 0 SECTION 2"
    groups = " ".join((head, "ENTITIES", *(ENTITIES[name] for name in names), "0 ENDSEC 0 EOF"))
    return groups.replace(" ", "\n") + "\n"


#: Sound inputs by their kind.
SOUND: dict[str, Callable[[], tuple[str, ...]]] = {
    "toml": routes,
    "library": families,
    "dxf": drawings,
    "csv": lambda: CSVS,
    "list": lambda: LISTS,
    "readings": lambda: READINGS,
    "obj": lambda: OBJS,
    "dialogue": lambda: DIALOGUES,
}
