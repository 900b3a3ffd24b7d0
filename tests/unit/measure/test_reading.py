"""Route files and bare lists become jobs in mm and N."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cableroute.errors import RouteFileError
from cableroute.measure.job import Job
from cableroute.measure.reading import read_job

HEAD = '[[cable]]\nname = "a"\nbend_radius = 50\n'
TWO = "points = [{ at = [0, 0, 0] }, { at = [900, 0, 0] }]\n"
FRAME = (
    "[nodes]\nA = [0, 0, 0]\nB = [1000, 0, 0]\nC = [0, 800, 0]\nD = [0, 0, 600]\n"
    '[tubes.rail]\nfrom = "A"\nto = "B"\ndiameter = 38\n'
)


@pytest.fixture
def read(tmp_path: Path):
    def reader(text: str, name: str = "job.toml", **options: object) -> Job:
        path = tmp_path / name
        path.write_bytes(text.encode("utf-8"))
        return read_job(path, **options)

    return reader


@pytest.fixture
def faults(read):
    def reader(text: str, name: str = "job.toml", **options: object) -> list[str]:
        with pytest.raises(RouteFileError) as caught:
            read(text, name, **options)
        return [fault.partition(name)[2] or fault for fault in caught.value.faults]

    return reader


def test_a_route_file_gives_labels_fixes_radii_and_points(read):
    job = read(
        'title = "t"\ntape_tolerance = 5\n' + HEAD + "load = 9\npush_load = 8\ntravel = 7\n"
        "slack = 6\nrod_end = 'fixed'\nfriction = [0.1, 0.2]\n"
        "points = [{ at = [0, 0, 0], label = 'x', fix = 'anchor' }, { at = [9, 8, 7], radius = 4 }]"
    )
    (cable,) = job.cables
    assert (job.title, job.unit, job.tape_tolerance) == ("t", "mm", 5.0)
    assert cable.points.tolist() == [[0, 0, 0], [9, 8, 7]]
    assert (cable.labels, cable.fixes) == (("x", ""), ("anchor", None))
    assert cable.point_radii == (None, 4.0)
    assert (cable.load, cable.push_load, cable.travel, cable.slack) == (9, 8, 7, 6)
    assert (cable.friction, cable.rod_end, cable.kind) == ((0.1, 0.2), "fixed", "push-pull")
    assert [cable.point_name(i) for i in range(2)] == ["x", "point 2"]


@pytest.mark.parametrize(
    ("unit", "factor"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)]
)
def test_the_file_s_unit_and_the_one_given_instead(read, unit, factor):
    job = read(f'unit = "{unit}"\n' + HEAD + TWO)
    assert job.unit == unit
    assert job.cables[0].points[1, 0] == pytest.approx(900 * factor)
    assert job.cables[0].bend_radius == pytest.approx(50 * factor)
    again = read('unit = "m"\n' + HEAD + TWO, unit=unit)
    assert np.allclose(again.cables[0].points, job.cables[0].points)


def test_tape_notation_mixes_with_bare_numbers(read):
    job = read(
        'unit = "in"\n' + HEAD + "points = [{ at = [\"3' 4 1/2\\\"\", 2, '12 mm'] }, "
        "{ at = [0, 0, 0] }]"
    )
    assert job.cables[0].points[0] == pytest.approx([1028.7, 50.8, 12.0])


def test_a_point_on_a_tube_lies_beside_it(read):
    job = read(
        FRAME + HEAD + "points = [{ on = 'rail', along = 350, clock = 0 }, "
        "{ on = 'rail', along = '70 cm', clock = \"6 o'clock\" }]"
    )
    first, second = job.cables[0].points
    assert first == pytest.approx([350.0, 0.0, 19.0])
    assert second == pytest.approx([700.0, 0.0, -19.0])


def test_a_family_s_conduit_keeps_the_point_off_the_tube(read):
    job = read(
        FRAME + "[[cable]]\nname = 'a'\nfamily = 'push-solid-medium'\n"
        "points = [{ on = 'rail', along = 350, clock = 0 }, { at = [0, 0, 0] }]"
    )
    assert job.cables[0].points[0] == pytest.approx([350.0, 0.0, 19.0 + 7.5 / 2])
    assert job.cables[0].bend_radius == 160.0


def test_tape_distances_place_a_point(read):
    place = np.array([300.0, 250.0, 400.0])
    nodes = {"A": (0, 0, 0), "B": (1000, 0, 0), "C": (0, 800, 0), "D": (0, 0, 600)}
    read_off = ", ".join(
        f"{name} = {np.linalg.norm(place - np.array(node)):.4f}" for name, node in nodes.items()
    )
    job = read(FRAME + HEAD + f"points = [{{ tape = {{ {read_off} }} }}, {{ at = [0, 0, 0] }}]")
    assert job.cables[0].points[0] == pytest.approx(place, abs=0.01)


def test_three_tapes_that_meet_twice_need_a_side(read, faults):
    three = "A = 559.02, B = 844.10, C = 743.31"  # (300, 250, 400) and (300, 250, -400)
    text = FRAME + HEAD + "points = [{{ tape = {{ {} }}{} }}, {{ at = [0, 0, 0] }}]"
    (fault,) = faults(text.format(three, ""))
    assert 'cable "a", point 1' in fault
    assert '"up" or "down"' in fault or '"down" or "up"' in fault
    up = read(text.format(three, ", side = 'up'")).cables[0].points[0]
    down = read(text.format(three, ", side = 'down'")).cables[0].points[0]
    assert up == pytest.approx([300, 250, 400], abs=0.1)
    assert down == pytest.approx([300, 250, -400], abs=0.1)


def test_what_stands_on_no_tube_or_node_names_the_known(faults):
    found = faults(
        FRAME + HEAD + "points = [{ at = [0, 0, 0] },\n"
        "{ on = 'rial', along = 1, clock = 0 },\n{ tape = { A = 3, B = 4, Q = 5 } }]"
    )
    assert len(found) == 2
    assert found[0].startswith(':14: cable "a", point 2: no tube ')
    assert "rail" in found[0]
    assert found[1].startswith(':15: cable "a", point 3: ')
    assert "Q" in found[1]
    assert "A, B, C, D" in found[1]


def test_overrides_replace_those_of_every_cable(read):
    build = "[cable.build]\nconstruction='solid'\ncore_od=2\nconduit_id=3\nconduit_od=6\n"
    build += "min_bend_radius=90\n"
    text = 'unit = "in"\n' + HEAD + TWO + build + "[[cable]]\nname = 'b'\nbend_radius = 3\n" + TWO
    given = {"bend_radius": 70.0, "load": 5.0, "friction": 0.3, "family": "throttle-thin"}
    job = read(text, overrides={**given, "tape_tolerance": 1.0, "push_load": None})
    assert job.tape_tolerance == 1.0
    for cable in job.cables:
        assert (cable.bend_radius, cable.load, cable.friction) == (70.0, 5.0, (0.3, 0.3))
        assert cable.family.name == "throttle-thin"
        assert cable.kind == "pull"


@pytest.mark.parametrize(
    ("lines", "kind"),
    [
        ("", "pull"),
        ("push_load = 5\n", "push-pull"),
        ("kind = 'pull-pair'\n", "pull-pair"),
        ("family = 'push-solid-light'\n", "push-pull"),
        ("family = 'throttle-thin'\n", "pull"),
    ],
)
def test_the_kind_is_stated_or_the_family_s_or_follows_from_the_loads(read, lines, kind):
    assert read(HEAD + lines + TWO).cables[0].kind == kind


def test_a_pull_family_cannot_push(faults):
    (fault,) = faults(HEAD + "family = 'throttle-thin'\npush_load = 5\n" + TWO)
    assert "throttle-thin is for pulling only" in fault


def test_a_csv_is_a_cable_of_its_name_with_a_note_on_its_unit(read):
    job = read(
        "\ufeffx,y,z,label\r\n0,0,0,hand\r\n900,0,0,far\r\n",
        "sill run.csv",
        overrides={"bend_radius": 60.0},
    )
    assert job.title == job.cables[0].name == "sill run"
    assert job.cables[0].labels == ("hand", "far")
    assert any("read as mm" in note for note in job.notes)
    told = read("x_mm,y_mm,z_mm\n0,0,0\n900,0,0\n", "a.csv", overrides={"bend_radius": 60.0})
    assert told.notes == ()


def test_a_csv_in_inches_is_converted_once(read):
    job = read("0,0,0\n36,0,0\n", "a.csv", unit="in", overrides={"bend_radius": 60.0})
    assert job.cables[0].points[1, 0] == pytest.approx(914.4)
    assert job.cables[0].bend_radius == 60.0


def test_a_csv_needs_a_radius_and_two_points(faults):
    assert any("least bend radius" in fault for fault in faults("0,0,0\n9,0,0\n", "a.csv"))
    (fault,) = faults("0,0,0\n", "a.csv", overrides={"bend_radius": 60.0})
    assert "at least 2, got 1" in fault


def test_a_fault_in_a_csv_names_line_and_point(faults):
    text = "x,y,z,label,fix\n0,0,0,hand,anchor\n900,0,0,far,glue\n"
    (fault,) = faults(text, "a.csv", overrides={"bend_radius": 60.0})
    assert fault.startswith(":3: cable \"a\", point 2 (far), fix: expected 'anchor' or 'clip'")


def test_a_fault_in_an_option_names_the_option_once(faults):
    text = HEAD + TWO + "[[cable]]\nname = 'b'\nbend_radius = 3\n" + TWO
    (fault,) = faults(text, overrides={"bend_radius": 0.0})
    assert fault.startswith("bend_radius: expected greater than 0")


def test_a_reversal_and_points_at_one_place_are_faults(faults):
    found = faults(
        HEAD + "points = [{ at = [0, 0, 0] },\n{ at = [0, 0, 0] },\n"
        "{ at = [900, 0, 0], label = 'sill' },\n{ at = [900, 0, 0] },\n{ at = [100, 0, 0] }]\n"
        "[[cable]]\nname = 'b'\nbend_radius = 9\n"
        "points = [{ at = [1, 1, 1] }, { at = [1, 1, 1] }]"
    )
    assert len(found) == 2
    assert found[0].startswith(':6: cable "a", point 3 (sill): the cable turns straight back') or (
        found[0].startswith(':7: cable "a", point 4: the cable turns straight back')
    )
    assert found[1] == ':12: cable "b", points: expected two places at least, got one'


def test_a_device_without_end_is_refused(faults, tmp_path, monkeypatch):
    monkeypatch.setattr("cableroute.measure.route_text.LARGEST_FILE", 1000)
    (fault,) = faults("x,y,z\n" + "0,0,0\n" * 400, "a.csv")
    assert "more than" in fault


SLIPS = {
    """at = ["2' 1 1/2"", 0, 0]""": "quotes",
    "at = [0, 0, 3ft]": "quotes",
    "at = [0, 0, 3 ft]": "quotes",
    "at = [3', 0, 0]": "quotes",
    "at = ['2' 1 1/2', 0, 0]": "quotes",
    "diameter = 1 1/2": "quotes",
    "load = 120 N": "quotes",
    'label = "the 5" hole"': "quotes",
    'at = ["2 ft, 0, 0]': "a quote is missing",
    'at = ["2 ft, 0, 0], label = "sill" }': "a quote is missing",
    "at = [“2 ft”, 0, 0]": "quotes must be straight",
}
NEEDS_QUOTES = (
    'a length or force with a unit needs quotes, best "2 ft 1 1/2 in"; '
    'an inch mark inside quotes is written \\"'
)


@pytest.mark.parametrize("line", SLIPS)
@pytest.mark.parametrize(("before", "after"), [("a = 1\n\n", ""), ("\r\n\r\n", "\r\nb = 2")])
def test_a_slip_of_toml_shows_its_line_and_the_likely_cause(faults, line, before, after):
    (fault,) = faults(before + line + after)
    assert fault.startswith(f":3: expected valid TOML, got `{line}`: ")
    hint = SLIPS[line]
    assert (NEEDS_QUOTES if hint == "quotes" else hint) in fault
    assert "\n" not in fault


def test_what_the_hint_says_is_read(read):
    spots = r"""points = [{ at = ["2 ft 1 1/2 in", "2' 1 1/2\"", 0] }, { at = [9, 8, 7] }]"""
    assert read(HEAD + spots).cables[0].points[0].tolist() == [647.7, 647.7, 0]


def test_a_missing_comma_between_points(faults):
    (fault,) = faults("points = [\n  { at = [0, 0, 0] }\n  { at = [0, 1, 0] }\n]")
    assert fault.startswith(":3: ")
    assert fault.endswith("a comma may be missing at the end of the line before")


def test_a_long_line_is_cut_around_the_slip_and_free_of_control_characters(faults):
    row = '\t{ at = [0, 0, 0], label = "' + 60 * "x" + '\x1b", radius = 3ft, fix = "clip" }, # why'
    (fault,) = faults("points = [\n" + row.replace("\x1b", "") + "\n]")
    shown = fault.split("`")[1]
    assert "radius = 3ft" in shown
    assert len(shown.strip(".")) == 60
    (fault,) = faults("points = [\n" + row + "\n]")
    assert "x?" in fault.split("`")[1]
    assert fault.isprintable()


@pytest.mark.parametrize("text", ["x = " + "9" * 5000, "x = " + "[" * 5000])
def test_what_is_too_much_for_the_parser(faults, text):
    assert faults(text) == [": expected valid TOML, got too long a number or brackets too deep"]
