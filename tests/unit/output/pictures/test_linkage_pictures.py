from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

from cableroute.assess import LinkageAssessment, assess
from cableroute.linkage.arms import Arm
from cableroute.linkage.body import Body
from cableroute.linkage.chain import walk
from cableroute.linkage.drum import Drum
from cableroute.linkage.slide import Slide
from cableroute.measure.reading import read_job
from cableroute.output.pictures.linkage_pictures import draw_linkage, hand_places
from cableroute.output.pictures.member_view import Member, member_view, members_of

DATA = Path(__file__).resolve().parents[4] / "data"
CHAIN = """
unit = "in"
[[cable]]
name = "a"
kind = "push-pull"
family = "push-slick-medium"
points = [{ at = [0, 0, 0] }, { at = [-30, 0, 0] }, { at = [-60, -9, 0] }]
[[cable]]
name = "b"
kind = "pull"
family = "throttle-thin"
points = [{ at = [0, 0, 30] }, { at = [-20, 0, 20] }, { at = [-20, -20, 10] }]
[[linkage]]
name = "cranked"
cable = "a"
wanted = { hand = "forward", far = "forward" }
hand = { pivot = [7, 0, -3], axis = "left", handle = { radius = 12, direction = "up" }, cable = { radius = 3, direction = "up" }, range_deg = [-15, 20] }
far = { travel = 1, load = 60, arm = { pivot = [-69, -9, 9], axis = "left", neutral = "forward", radius = 3, work = { radius = 5, direction = "down" } } }
[[linkage.crank]]
name = "a bellcrank of a name far too long"
pivot = [-65, -9, -2.5]
axis = "left"
neutral = "up"
radius_in = 2.5
radius_out = 3
between_deg = 90
[[linkage]]
name = "grip"
cable = "b"
wanted = { hand = "down", far = "forward" }
hand = { pivot = [2, 0, 31], axis = "left", handle = { radius = 1, direction = "forward" }, drum = { table = [[0, 0.6], [90, 0.6]] }, range_deg = [0, 40] }
far = { travel = [0.3, 0], load = 10, arm = { pivot = [-21.5, -25, 8], axis = "up", neutral = "forward", radius = 1.5, work = { radius = 2, direction = "left" } } }
"""


def linkages(path: Path) -> list[tuple[LinkageAssessment, str]]:
    job = read_job(path)
    return [(linkage, job.unit) for linkage in assess(job).linkages]


@pytest.fixture(scope="module")
def shipped() -> list[tuple[LinkageAssessment, str]]:
    found = [each for path in sorted(DATA.glob("*.toml")) for each in linkages(path)]
    assert len(found) >= 7
    return found


@pytest.fixture(scope="module")
def drawn(shipped) -> list[tuple[LinkageAssessment, Axes]]:
    return [(linkage, draw_linkage(linkage, unit=unit)) for linkage, unit in shipped]


@pytest.fixture
def odd(tmp_path) -> list[tuple[LinkageAssessment, str]]:
    (tmp_path / "chain.toml").write_text(CHAIN)
    return linkages(tmp_path / "chain.toml")


def members(linkage: LinkageAssessment) -> list[Member]:
    figures = linkage.figures
    return members_of(figures, walk(figures.built.chain, figures.hand))


def test_texts_neither_collide_nor_run_off(drawn, odd, check_texts):
    for ax in [ax for _, ax in drawn] + [draw_linkage(each, unit=unit) for each, unit in odd]:
        check_texts(ax.get_figure(root=True))


LOW_ANCHOR = """
[[cable]]
name = "a"
kind = "push-pull"
family = "push-slick-medium"
points = [
  { at = [-3380, 80, 640], heading = "down" },
  { at = [-3250, 300, 200] },
  { at = [-300, 420, 260] },
  { at = [-60, 480, 420], heading = "forward" },
]
[[linkage]]
name = "low"
cable = "a"
wanted = { hand = "forward", far = "up" }
hand = { pivot = [-3460, 80, 721], axis = "left", handle = { radius = 400, direction = "up" }, cable = { radius = 80, direction = "forward" }, range_deg = [-18, 18] }
far = { travel = 15, load = 180, arm = { pivot = [120, 480, 250], axis = "left", neutral = "aft", radius = 60 } }
[[linkage.crank]]
pivot = [21, 480, 350]
axis = "left"
neutral = "up"
radius_in = 70
radius_out = 50
between_deg = -90
"""


def test_no_label_lies_on_the_length_to_measure_by(tmp_path):
    (tmp_path / "low.toml").write_text(LOW_ANCHOR)
    ((linkage, unit),) = linkages(tmp_path / "low.toml")
    panels = [each for each in draw_linkage(linkage, unit=unit).figure.axes if each.texts]
    assert len(panels) == 3
    for panel in panels:
        butts = [each for each in panel.lines if each.get_solid_capstyle() == "butt"]
        (bar,) = [each for each in butts if each.get_linewidth() == 2.0]
        ends = panel.transData.transform(bar.get_xydata())
        along = ends[0] + np.linspace(0.0, 1.0, 50)[:, None] * (ends[1] - ends[0])
        for text in panel.texts:
            box = Bbox(text.get_window_extent().extents.reshape(2, 2))
            assert not any(box.contains(*spot) for spot in along), text.get_text()


def test_arms_are_drawn_in_their_true_length_and_place(shipped, odd):
    for linkage, _ in shipped + odd:
        for member in members(linkage):
            arms = [end for end in (member.body.incoming, member.body.out) if isinstance(end, Arm)]
            for place in hand_places(linkage.figures):
                for arm, line in zip(arms, member.arm_lines(place.at), strict=False):
                    assert np.linalg.norm(line[1] - line[0]) == pytest.approx(arm.radius)
                    end = member.view.project(arm.at(member.where[place.at]))
                    assert line[1] == pytest.approx(end)


def test_rods_take_hold_where_the_arms_end(shipped, odd):
    for linkage, _ in shipped + odd:
        for member in members(linkage):
            for place in hand_places(linkage.figures):
                ends = [line[1] for line in member.arm_lines(place.at)]
                for rod in member.rod_lines(place.at):
                    if ends:
                        gaps = [float(np.linalg.norm(rod[1] - end)) for end in ends]
                        assert min(gaps) == pytest.approx(0.0, abs=1e-9)


def test_drawings_hold_the_positions_of_the_stroke(drawn):
    for linkage, whole in drawn:
        figures = linkage.figures
        places = hand_places(figures)
        assert places[0].words == "neutral"
        assert sorted(place.at for place in places) == [0, 20, 40]
        assert figures.hand[places[1].at] == pytest.approx(figures.built.judged)
        assert len({place.line for place in places}) == len({p.marker for p in places}) == 3
        figure = whole.get_figure(root=True)
        last = members(linkage)[-1]
        pins = np.stack([last.rod_lines(place.at)[0][1] for place in places])
        drawn = [line.get_xydata() for ax in figure.axes for line in ax.lines]
        for pin in pins:
            assert any(np.allclose(xy, pin) for xy in drawn)


def test_a_rod_at_its_limit_lies_on_the_edge_of_the_cone(shipped):
    for linkage, _ in shipped:
        for member in members(linkage):
            cone = member.cone() - member.view.project(member.swivel.point)
            axis = member.view.project(member.swivel.axis)
            if np.linalg.norm(axis) < 0.999:
                continue
            lengths = np.linalg.norm(cone, axis=1)
            cosine = cone @ axis / np.where(lengths > 0, lengths, 1) / np.linalg.norm(axis)
            widest = np.degrees(np.arccos(cosine[lengths > 1e-6].min()))
            assert widest == pytest.approx(member.lean[1], abs=0.15)


def test_lean_and_limit_are_written_at_every_swivel(drawn):
    for linkage, whole in drawn:
        figure = whole.get_figure(root=True)
        words = "\n".join(text.get_text() for ax in figure.axes for text in ax.texts)
        for angle in (linkage.figures.hand_angle, linkage.figures.far_angle):
            assert f"leans {np.degrees(angle.max()):.1f}°" in words
        assert words.count("of 8° allowed") == 2


def test_a_mirrored_motion_shows_the_way_wanted(drawn):
    for linkage, ax in drawn:
        names = [text.get_text() for text in ax.get_legend().get_texts()]
        assert ("the way wanted" in names) == linkage.figures.direction.mirrored


@pytest.mark.parametrize(
    ("axis", "neutral", "seen", "across", "up"),
    [
        ((0, 1, 0), (0, 0, 1), "from the right", (1, 0, 0), (0, 0, 1)),
        ((0, -1, 0), (0, 0, 1), "from the right", (1, 0, 0), (0, 0, 1)),
        ((-1, 0, 0), (0, 0, 1), "from ahead", (0, 1, 0), (0, 0, 1)),
        ((0, 0, -1), (0, 1, 0), "from above", (1, 0, 0), (0, 1, 0)),
    ],
)
def test_members_are_seen_from_the_sides_that_routes_are(axis, neutral, seen, across, up):
    arm = Arm(pivot=(1, 2, 3), axis=axis, neutral=neutral, radius=50)
    view = member_view(Body(name="m", incoming=arm))
    assert view.heading == f"m, {seen}"
    assert view.across == pytest.approx(across)
    assert view.up == pytest.approx(up)


def test_a_slide_lies_in_the_plane_it_is_seen_in():
    slide = Slide(origin=(0, 0, 0), direction=(1, 2, 3))
    view = member_view(Body(name="m", incoming=slide))
    assert np.linalg.norm(view.project(slide.direction)) == pytest.approx(1.0)


def test_a_chain_with_a_crank_has_a_panel_for_every_member(odd):
    cranked, grip = (linkage for linkage, _ in odd)
    for linkage, count in (
        (cranked, 3),
        (grip, 3),
    ):  # of the grip a rod that leans out of its plane
        figure = draw_linkage(linkage).get_figure(root=True)
        assert len(figure.axes) == 1 + count
    assert isinstance(members(grip)[0].body.out, Drum)
    assert np.ptp(members(grip)[0].rim(), axis=0) == pytest.approx(2 * 0.6 * 25.4, rel=1e-3)
    assert [place.words for place in hand_places(grip.figures)] == ["neutral", "hand down"]


def test_the_axes_given_are_drawn_on(shipped):
    ax = Figure().add_subplot()
    assert draw_linkage(shipped[0][0], ax=ax) is ax
    assert len(ax.figure.axes) == 3


def test_a_lean_out_of_the_plane_of_its_member_is_drawn_where_it_shows(tmp_path, check_texts):
    source = (DATA / "grass_track_buggy_selector.toml").read_text(encoding="utf-8")
    before = 'label = "lever bracket", fix = "anchor", heading = "aft"'
    assert before in source
    file = tmp_path / "lean.toml"
    file.write_text(
        source.replace(before, before.replace('"aft"', "[-1, 0.09, 0]")), encoding="utf-8"
    )
    result = assess(read_job(file)).linkages[0]
    ax = draw_linkage(result)
    figure = ax.get_figure(root=True)
    check_texts(figure)

    panels = {each.get_title(loc="left"): each for each in figure.axes}
    panel = next(each for name, each in panels.items() if name.startswith("rod at lever"))
    lines = [
        np.column_stack(line.get_data()) for line in panel.lines if line.get_linewidth() == 1.6
    ]
    leans = [np.degrees(np.arctan2(*np.abs(line[1] - line[0])[::-1])) for line in lines]
    told = np.degrees(result.figures.hand_angle).max()
    assert told > 3.0
    assert max(leans) == pytest.approx(told, abs=0.3)  # its true size is seen here


def test_no_lean_is_drawn_twice():
    ax = draw_linkage(assess(read_job(DATA / "grass_track_buggy_selector.toml")).linkages[0])
    titles = [each.get_title(loc="left") for each in ax.get_figure(root=True).axes]
    assert not [title for title in titles if title.startswith("rod at")]
