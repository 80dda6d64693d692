"""What papers say where a builder could be led wrong."""

import math
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from strutkit import (
    Condition,
    Door,
    check,
    hinge_loads,
    read_door,
    save_card,
    save_drawing,
    save_drill_template,
    save_sheet,
    sweep,
    sweep_conditions,
)
from strutkit.data import door_names, door_path
from strutkit.decide.judging import study
from strutkit.errors import TravelError
from strutkit.show.sheet import sheet_data
from strutkit.show.workshop import prop_force
from tests import plain_statics
from tests.doors import short_of_the_stop
from tests.show.pdf_reader import page_texts


def test_no_template_is_printed_for_a_door_that_cannot_be_swept(tmp_path: Path) -> None:
    door = read_door(door_path("roof-hatch"))
    short = replace(door.struts[0].strut, extended_length=door.struts[0].strut.extended_length / 2)
    broken = replace(door, struts=(replace(door.struts[0], strut=short),))
    with pytest.raises(TravelError):
        save_drill_template(broken, tmp_path / "template.pdf")
    assert not (tmp_path / "template.pdf").exists()


def greatest_weight(door: Door, condition: Condition) -> float:
    """Weight at the handle without struts [N] by turned points and cross products."""
    bare = replace(door, struts=(), conditions=())
    angle = np.linspace(0.0, door.hinge.stop_angle, 721)
    axis, first = plain_statics.opening_axis(bare), np.array(door.hinge.first)
    moment = np.zeros_like(angle)
    for mass, place in plain_statics.weights(bare, condition):
        arm = plain_statics.turned(bare, place, angle) - first
        moment += np.cross(arm, mass * plain_statics.tilt(condition)) @ axis
    reach = np.array(door.panel.handle) - first
    return float(np.abs(moment).max() / np.linalg.norm(reach - (reach @ axis) * axis))


def test_a_prop_is_chosen_by_the_heaviest_condition() -> None:
    door = read_door(door_path("rear-hatch"))
    loaded = Condition(
        name="bicycles on the door", added_mass=9.0, added_at=door.panel.handle, mass_factor=1.1
    )
    door = replace(door, conditions=(*door.conditions, loaded))
    most = max(greatest_weight(door, one) for one in door.conditions if one.missing is None)
    assert prop_force(study(door))[0] == pytest.approx(most, rel=1e-3)


def text_of(paper: Path | bytes) -> str:
    """All words of a PDF on one line, by pdftotext."""
    data = paper if isinstance(paper, bytes) else paper.read_bytes()
    words = subprocess.run(["pdftotext", "-", "-"], capture_output=True, input=data, check=True)
    return " ".join(words.stdout.decode().replace("\u00a0", " ").split())


def short_of_its_stop() -> Door:
    """A hatch whose struts end the travel half a degree before its stop, which is told only."""
    door = read_door(door_path("rear-hatch"))
    free = replace(door, hinge=replace(door.hinge, stop_angle=math.radians(170.0)))
    stop = sweep(free).end_of_travel + math.radians(0.5)
    return replace(door, hinge=replace(door.hinge, stop_angle=stop))


@pytest.mark.parametrize("name", [*door_names(), "short of its stop"])
def test_the_calculation_that_decides_is_the_tightest(name: str, papers, tmp_path: Path) -> None:
    """The worst that fails; else, of all limits that hold, none is nearer to its value."""
    if name in door_names():
        door, data = read_door(door_path(name)), papers("sheet", name)
    else:
        door = short_of_its_stop()
        save_sheet(door, tmp_path / "sheet.pdf")
        data = (tmp_path / "sheet.pdf").read_bytes()
    told = text_of(data).partition("Calculation that decides: ")[2]
    judged = [
        one
        for one in check(door)
        if one.ok is not None and one.value is not None and one.limit
        if one.condition and one.angle is not None
    ]
    failing = [one for one in judged if not one.ok][:1]
    room = {
        " ".join(one.words.replace("\u00a0", " ").split()): abs(one.value / one.limit - 1.0)
        for one in failing or judged
    }
    found = [words for words in room if told.startswith(words)]
    assert len(found) == 1
    assert room[found[0]] == min(room.values())


def test_a_hole_that_is_not_set_off_along_the_hinge_line_is_no_hole_of_that_face(
    tmp_path: Path, papers
) -> None:
    door = read_door(door_path("rear-hatch"))
    off = replace(door.struts[0], frame_hole=(-0.018, 0.0, 0.0))
    save_drill_template(replace(door, struts=(off,)), tmp_path / "off.pdf")
    assert "Do not drill by this picture" in text_of(tmp_path / "off.pdf")
    assert "Do not drill by this picture" not in text_of(papers("drill template", "rear-hatch"))


def test_thrust_is_the_greatest_along_the_line(papers) -> None:
    """From the public hinge loads of every condition in service."""
    door = read_door(door_path("cabin-door"))
    service = [one for one in sweep_conditions(door) if one.condition.missing is None]
    line = np.array(door.hinge.second) - np.array(door.hinge.first)
    line /= np.linalg.norm(line)
    most = 0.0
    for swept in service:
        loads = hinge_loads(swept)
        rest = [abs(float((one.first + one.second) @ line)) for one in loads.cases.values()]
        most = max(most, float(np.abs(loads.thrust).max()), *rest)
    said = text_of(papers("sheet", "cabin-door"))
    assert f"Thrust along the line: {math.ceil(most)} N at most" in said


def test_hinge_points_that_carry_nearly_alike_are_given_the_greater_load() -> None:
    """A weight 2 mm to one side of the middle: the door and its mirror image carry the same."""
    door = read_door(door_path("rear-hatch"))
    out, _, up = door.panel.centre_of_gravity
    said = []
    for side in (-0.002, 0.002):
        heavy = replace(door.panel, centre_of_gravity=(out, side, up))
        said.append(
            sheet_data(
                replace(door, panel=heavy), page="a4", length_unit="mm", angle=None, date=None
            )["hinge"][0]
        )
    assert said[0].startswith("Each hinge point carries")
    assert said[0] == said[1]


def test_both_of_a_pair_are_spoken_of_where_there_is_a_pair(papers) -> None:
    for name, said in (("cabin-door", False), ("rear-hatch", True)):
        assert ("Change both of a pair" in text_of(papers("card", name))) is said


def test_inch_paper_speaks_inches(papers) -> None:
    text = text_of(papers("sheet", "rear-hatch", "letter", "in"))
    kept = re.findall(
        r"strut keeps ([^;]*) of stroke (?:pushed in|extended); the limit is ([^.]*)", text
    )
    assert kept
    assert all("″" in value and "″" in limit for value, limit in kept)


@pytest.mark.parametrize("degrees", [66.5, 91.97])
def test_one_end_of_travel_has_one_figure_everywhere(degrees: float, tmp_path: Path) -> None:
    """Sheet, card and drawing, in picture, words and tables; halves round one way only."""
    door = read_door(door_path("rear-hatch"))
    end = replace(door.hinge, stop_angle=math.radians(degrees))
    door = replace(door, hinge=end, conditions=door.conditions[:1])
    figure = f"{round(degrees, 1):g}"
    save_sheet(door, tmp_path / "sheet.pdf")
    save_card(door, tmp_path / "card.pdf")
    save_drawing(door, tmp_path / "drawing.svg")
    sheet = text_of(tmp_path / "sheet.pdf")
    words = " ".join((sheet, text_of(tmp_path / "card.pdf")))
    words += (tmp_path / "drawing.svg").read_text(encoding="utf-8")
    near = {
        one
        for one in re.findall(r"([0-9]+(?:\.[0-9]+)?)°", words.replace(f"{degrees:.3f}°", ""))
        if abs(float(one) - degrees) < 1.2
    }
    assert near == {figure}
    assert sheet.count(f"open {figure}°") >= 5
    assert f"A stop is needed at {figure}°" in sheet
    assert f"Open the panel to {figure}°" in sheet


def test_inches_and_millimetres_of_one_length_agree_on_both_papers(papers) -> None:
    """289.57 mm, shut, is 11 13/32 in to the nearest 1/64; the 290 mm of a tape are 11 27/64."""
    door = read_door(door_path("cabin-door"))
    length = math.dist(door.struts[0].frame_mount, door.struts[0].panel_mount)
    whole, sixty_fourths = divmod(round(length / 0.0254 * 64), 64)
    assert (round(length * 1e3), whole, sixty_fourths) == (290, 11, 26)
    assert "F to D, shut: 290 mm (11 13/32″)" in page_texts(papers("sheet", "cabin-door"))[0]
    inches = page_texts(papers("sheet", "cabin-door", "letter", "in"))[0]
    assert "F to D, shut: 11 13/32″ (289.6 mm)" in inches


def test_the_sheet_does_not_praise_a_travel_that_ends_short() -> None:
    """The verdict is that it opens less far, with the sign of what is not judged on both sides."""
    said = sheet_data(short_of_the_stop(), page="a4", length_unit="mm", angle=None, date=None)[
        "verdict"
    ]
    assert said["words"].replace("\N{NO-BREAK SPACE}", " ").startswith("It opens only to 28.6°")
    assert (said["state"], said["count_state"]) == ("not judged", "not judged")
    assert "fail" not in said["count"]
