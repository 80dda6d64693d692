"""The mount-point sheet, read back from the PDF by pdfplumber."""

import datetime as dt
import math
import os
import re
import subprocess
import sys
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

import strutkit
from strutkit import (
    Condition,
    Door,
    FittedStrut,
    hinge_loads,
    read_door,
    save_sheet,
    starter_conditions,
    starter_limits,
    sweep,
    write_door,
)
from strutkit._version import __version__
from strutkit.data import door_names, door_path
from strutkit.describe.doorfile import door_fingerprint
from strutkit.errors import RecordError, SaveError, TravelError
from strutkit.show.sheet import sheet_data
from tests.doors import bottoming_once_lost
from tests.show.pdf_reader import (
    POINTS_PER_MM,
    all_text,
    calculation_lines,
    check_letters,
    opened,
    page_count,
    page_texts,
    pages,
    plain,
    properties,
    worked_out,
)

TEMPLATES = Path(strutkit.__file__).parent / "show" / "templates"
EXAMPLES = [
    *(pytest.param(name, "a4", "mm", id=f"{name}-a4-mm") for name in door_names()),
    pytest.param("rear-hatch", "letter", "in", id="rear-hatch-letter-in"),
]


@pytest.fixture
def sheets(papers):
    """Sheets of the example doors."""
    return lambda name, page, unit: papers("sheet", name, page, unit)


def tool_hatch(**changes: object) -> Door:
    """The first example door with its starter sets."""
    door = read_door(door_path("roof-hatch"))
    door = replace(door, conditions=starter_conditions(door), limits=starter_limits(door))
    return replace(door, **changes)


def saved(door: Door, folder: Path, **options: object) -> bytes:
    path = folder / "sheet.pdf"
    save_sheet(door, path, **options)
    return path.read_bytes()


@cache
def sheet_of(door: Door) -> bytes:
    """The sheet of a door as it is saved without options, made once for all who read it."""
    with tempfile.TemporaryDirectory() as folder:
        return saved(door, Path(folder))


@pytest.mark.parametrize(("name", "page", "unit"), EXAMPLES)
def test_paper_has_its_size_and_the_frame_its_place(sheets, name, page, unit) -> None:
    """ISO 216: A4 is 210 by 297 mm; ANSI/ASME Y14.1: size A is 8.5 by 11 in (from memory)."""
    size = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}[page]
    for one in pages(sheets(name, page, unit)):
        assert one.width == pytest.approx(size[0] * POINTS_PER_MM, abs=0.02)
        assert one.height == pytest.approx(size[1] * POINTS_PER_MM, abs=0.02)
        frame = max(one.rects, key=lambda rect: rect["width"] * rect["height"])
        assert frame["x0"] == pytest.approx(20.0 * POINTS_PER_MM, abs=0.02)
        assert frame["width"] == pytest.approx((size[0] - 30.0) * POINTS_PER_MM, abs=0.02)


@pytest.mark.parametrize(("name", "page", "unit"), EXAMPLES)
def test_no_text_overlaps_or_leaves_the_frame_or_is_under_8_pt(sheets, name, page, unit) -> None:
    for one in pages(sheets(name, page, unit)):
        check_letters(one)


@pytest.mark.parametrize(("name", "page", "unit"), EXAMPLES)
def test_calculation_comes_out_from_the_numbers_as_printed(sheets, name, page, unit) -> None:
    lines = calculation_lines(sheets(name, page, unit))
    assert len(lines) > 30
    values = worked_out(*(numbers for _, numbers, _, _ in lines))
    for value, (_, numbers, result, decimals) in zip(values, lines, strict=True):
        assert value == pytest.approx(result, abs=0.501 * 10.0**-decimals), numbers


def test_a_wrong_result_would_be_seen() -> None:
    lines = ("√(0.3² + (−0.4)²)", "2 · 18 · |−0.5| · sin 30.000°", "atan2((−1); 0)")
    assert worked_out(*lines) == pytest.approx([0.5, 9.0, -90.0])


@pytest.mark.parametrize(("name", "page", "unit"), EXAMPLES)
def test_mounts_are_printed_where_the_door_has_them(sheets, name, page, unit) -> None:
    """Measured from the hinge line by plain vector algebra, not by the kit's side view."""
    door = read_door(door_path(name))
    rows = drill_rows(sheets(name, page, unit))
    places = [place for one in door.struts for place in places_to_drill(one)]
    assert len(rows) == len(places)
    for printed, place in zip(rows, places, strict=True):
        # Inches are to the nearest 1/64.
        slack = 0.051 if unit == "mm" else 25.4 / 128 + 1e-6
        across, along = measured(door, place)
        assert math.hypot(printed[0], printed[1]) == pytest.approx(across, abs=1.5 * slack)
        assert printed[2] == pytest.approx(along, abs=slack)


def places_to_drill(one: FittedStrut) -> list[np.ndarray]:
    """What stands in large figures: the hole where it is given, else the ball."""
    return [
        np.array(ball) + (arm or (0.0, 0.0, 0.0))
        for ball, arm in ((one.frame_mount, one.frame_hole), (one.panel_mount, one.panel_hole))
    ]


def test_holes_and_balls_are_listed_apart_with_their_drills(sheets) -> None:
    """The rear hatch: its door file's numbers, and ISO 273 medium and ISO 2306 for M8 and M6."""
    flow = plain(
        " ".join(word["text"] for word in pages(sheets("rear-hatch", "a4", "mm"))[0].words)
    )
    for words in (
        "F ball centre 2×, fixed side 85 mm inward (3 11/32″) 460 mm down (18 7/64″) 600 mm",
        "D ball centre 2×, door side 35 mm inward (1 3/8″) 105 mm down (4 9/64″) 600 mm",
        "F hole 2× Ø 9 for M8 (Ø 6.8 to tap) 85 mm inward (3 11/32″) 460 mm down (18 7/64″) 618 mm",
        "D hole 2× Ø 6.6 for M6 (Ø 5 to tap) 38 mm inward (1 1/2″) 83 mm down (3 17/64″) 615 mm",
        "Do not drill at ball centres.",
    ):
        assert words in flow
    assert "Ball or pin centres, not holes" in page_texts(sheets("roof-hatch", "a4", "mm"))[0]


def hatch_that_its_struts_stop() -> Door:
    """No stop before the struts are fully extended, no condition, a hole without a thread."""
    door = tool_hatch(conditions=())
    free = replace(door.hinge, stop_angle=math.radians(110.0))
    one = replace(door.struts[0], panel_hole=(0.0, 0.0, 0.010))
    return replace(door, hinge=free, struts=(one,))


def test_a_hole_without_a_thread_leaves_the_size_to_the_bracket() -> None:
    text = all_text(sheet_of(hatch_that_its_struts_stop()))
    assert "size as the bracket asks" in text
    assert "Holes that are not listed depend on the bracket." in text
    assert "where the other holes lie depends on the bracket" in text


@pytest.mark.parametrize("name", ["roof-hatch", "rear-hatch", "counter-flap"])
def test_ways_from_the_hinge_line_are_said_in_words(sheets, name) -> None:
    """These hinge lines run along y through the origin: x is outward, z is up."""
    door = read_door(door_path(name))
    assert door.hinge.first[0] == door.hinge.first[2] == 0.0
    flow = plain(" ".join(word["text"] for word in pages(sheets(name, "a4", "mm"))[0].words))
    for side, place in (
        ("fixed side", door.struts[0].frame_mount),
        ("door side", door.struts[0].panel_mount),
    ):
        across = f"{abs(place[0]) * 1e3:.1f}".removesuffix(".0")
        height = f"{abs(place[2]) * 1e3:.1f}".removesuffix(".0")
        ways = ("outward" if place[0] > 0.0 else "inward", "up" if place[2] > 0.0 else "down")
        row = rf"{side} ?(, \S+)? {across} mm {ways[0]} \([^)]*\) {height} mm {ways[1]} \("
        assert re.search(row, flow), row


def measured(door: Door, place: tuple[float, float, float]) -> tuple[float, float]:
    """Distance from the hinge line, and along it from its middle [mm]."""
    first, second = np.array(door.hinge.first), np.array(door.hinge.second)
    k = (second - first) / np.linalg.norm(second - first)
    middle = (first + second) / 2.0
    if door.panel.middle is not None:
        middle = first + k * ((np.array(door.panel.middle) - first) @ k)
    arm = np.array(place) - middle
    return float(np.linalg.norm(np.cross(k, arm))) * 1e3, abs(float(arm @ k)) * 1e3


def drill_rows(data: bytes) -> list[list[float]]:
    """The three large figures of each row under "Where to drill", in mm."""
    large = [word for word in pages(data)[0].words if abs(word["size"] - 13.0) < 0.1]
    rows: dict[int, list[dict]] = {}
    for word in large:
        rows.setdefault(round(word["bottom"]), []).append(word)
    found = []
    for _, row in sorted(rows.items()):
        text = plain(" ".join(word["text"] for word in sorted(row, key=lambda one: one["x0"])))
        _, _, figures = text.replace(" hole ", " ").partition(" ")
        if " mm" in figures:
            found.append([float(one) for one in re.findall(r"([0-9.]+) mm", figures)])
        else:
            found.append([inches(one) for one in figures.split("″") if one.strip()])
    return found


def inches(text: str) -> float:
    """Inches and 64ths to mm."""
    total = 0.0
    for part in text.split():
        over, _, under = part.partition("/")
        total += float(over) / float(under or 1)
    return total * 25.4


@pytest.mark.parametrize("name", door_names())
def test_what_to_expect_is_what_the_sweeps_say(sheets, name) -> None:
    """Peaks over angles 0.05° apart in every condition in service, rounded to the bad side."""
    door = read_door(door_path(name))
    printed = expectations(sheets(name, "a4", "mm"))
    fine = []
    for condition in (None, *door.conditions):
        if condition is None or condition.missing is None:
            end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
            grid = np.append(np.arange(0.0, end, math.radians(0.05)), end)
            fine.append(sweep(door, condition=condition, angles=grid))
    for label, array in (("to open", "hand_force_opening"), ("to shut", "hand_force_closing")):
        peaks = [max(0.0, float(getattr(swept, array).max())) for swept in fine]
        assert printed[label][0] == pytest.approx(math.ceil(peaks[0] - 1e-3), abs=0.01)
        assert printed[label][1] == pytest.approx(math.ceil(max(peaks) - 1e-3), abs=0.01)


@pytest.mark.parametrize("name", door_names())
def test_the_stop_takes_what_the_moment_at_the_end_presses_on_it(sheets, name) -> None:
    """Force on the stop = moment at the end of travel / distance of the stop from the hinge line.

    Where the panel would fall back from there nothing presses on it.
    """
    door = read_door(door_path(name))
    printed = expectations(sheets(name, "a4", "mm"))["on the stop"]
    loads = []
    for condition in (None, *door.conditions):
        if condition is None or condition.missing is None:
            end = sweep(door, condition=condition, angles=[0.0]).end_of_travel
            moment = float(sweep(door, condition=condition, angles=[end]).moment[-1])
            loads.append(max(0.0, moment) / door.hinge_distance(door.stop))
    assert printed[0] == pytest.approx(math.ceil(loads[0] - 1e-3), abs=0.01)
    assert printed[1] == pytest.approx(math.ceil(max(loads) - 1e-3), abs=0.01)
    end = round(math.degrees(door.hinge.stop_angle))
    assert f"A stop is needed at {end}°" in page_texts(sheets(name, "a4", "mm"))[0]


def test_a_strut_that_is_the_stop_is_listed_with_its_pull() -> None:
    """The moment about the hinge line that both struts hold back, over their lever arm."""
    door = hatch_that_its_struts_stop()
    pull = re.search(r"pull in a strut ([0-9]+) N", page_texts(sheet_of(door))[0])
    swept = sweep(door)
    alone = hinge_loads(swept).cases["extended strut, one alone"].force
    assert alone == pytest.approx(float(swept.moment[-1]) / float(swept.lever_arm[0, -1]), rel=1e-6)
    assert pull is not None
    assert float(pull.group(1)) == math.ceil(alone - 1e-3)


def expectations(data: bytes) -> dict[str, tuple[float, float]]:
    """Rows of "What to expect": label -> new and worst."""
    rows = re.findall(
        r"(to open|to shut|to spare|holds shut|on the latch|on the stop) (−?[0-9]+) N (−?[0-9]+) N",
        plain(" ".join(word["text"] for word in pages(data)[0].words)),
    )
    return {
        label: (float(new.replace("−", "-")), float(worst.replace("−", "-")))
        for label, new, worst in rows
    }


@pytest.mark.parametrize("name", door_names())
def test_hinge_points_are_to_scale_in_the_picture(sheets, name) -> None:
    """Two circles of one size lie on the along view at the hinge points, at the scale it names."""
    door = read_door(door_path(name))
    data = sheets(name, "a4", "mm")
    scale = re.findall(r"along the hinge line, heights short[^1]*, 1:([0-9.]+)", all_text(data))
    apart = math.dist(door.hinge.first, door.hinge.second) * 1e3 / float(scale[0])
    circles = [
        one
        for one in pages(data)[0].curves
        if one["width"] == pytest.approx(one["height"], abs=0.01)
        and one["width"] == pytest.approx(2 * 5 * 25.4 / 96 * POINTS_PER_MM, abs=0.05)
    ]
    gaps = [abs(a["x0"] - b["x0"]) for a in circles for b in circles]
    assert min(abs(gap - apart * POINTS_PER_MM) for gap in gaps) < 0.02


@pytest.mark.parametrize("name", door_names())
def test_every_page_bears_fingerprint_version_and_number(sheets, name) -> None:
    door = read_door(door_path(name))
    read = pages(sheets(name, "a4", "mm"))
    for number, page in enumerate(read, start=1):
        assert f"{door_fingerprint(door)[:16]}, strutkit {__version__}" in page.text
        assert f"{number} of {len(read)}" in page.text


def test_the_full_fingerprint_and_all_cautions_are_printed(sheets) -> None:
    text = all_text(sheets("roof-hatch", "a4", "mm"))
    assert door_fingerprint(read_door(door_path("roof-hatch"))) in text
    for words in (
        "20 to 130 bar",
        "0.2 to 3.7 kJ",
        "never open, drill, heat or cut",
        "Prop the panel",
        "a strut can fail",
        "Local rules and licensed practice have the last word",
    ):
        assert words in text


def test_the_file_is_archivable_tagged_and_its_pictures_are_told(sheets) -> None:
    """PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1), as the file's own metadata claim."""
    with opened(sheets("roof-hatch", "a4", "mm")) as pdf:
        catalog = pdf.doc.catalog
        metadata = catalog["Metadata"].resolve().get_data().decode()
        told = list(alt_texts(pdf.pages[0].structure_tree))
    assert re.search(r"pdfaid:part\D+2\D", metadata)
    assert re.search(r"pdfaid:conformance\W+A\W", metadata)
    assert "pdfuaid:part" in metadata
    assert catalog["MarkInfo"]["Marked"] is True
    assert len(told) >= 2
    assert all(len(text) > 20 for text in told)


def alt_texts(tree):
    """Alt text of every figure in a structure tree."""
    for one in tree:
        if one["type"] == "Figure":
            yield one.get("alt_text") or ""
        yield from alt_texts(one.get("children", []))


def test_fonts_are_in_the_file(sheets) -> None:
    with opened(sheets("roof-hatch", "a4", "mm")) as pdf:
        for page in pdf.pages:
            for font in page.page_obj.resources["Font"].values():
                inner = font.resolve()["DescendantFonts"][0].resolve()
                assert "FontFile2" in inner["FontDescriptor"].resolve()


FOREIGN = "Door 🦖, abc\u202edcba, 戸 lid, דלת הגג"


def test_same_door_same_bytes_in_another_python_too(tmp_path) -> None:
    door = tool_hatch()
    write_door(door, tmp_path / "door.toml")
    program = "import sys, strutkit as s; s.save_sheet(s.read_door(sys.argv[1]), sys.argv[2])"
    subprocess.run(
        [sys.executable, "-c", program, tmp_path / "door.toml", tmp_path / "there.pdf"],
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "12345", "TZ": "Asia/Tokyo"},
        cwd=Path(__file__).parents[2],
    )
    assert (tmp_path / "there.pdf").read_bytes() == sheet_of(door)
    assert sheet_of(tool_hatch(name=FOREIGN, conditions=())) != sheet_of(door)


LONG_WORD = "characteristically Donaudampfschifffahrtsgesellschaft"


@pytest.fixture(scope="module")
def dated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sheet of 5 April 2031 of a door with a long word in its name."""
    folder = tmp_path_factory.mktemp("dated")
    saved(tool_hatch(name=LONG_WORD, conditions=()), folder, date=dt.date(2031, 4, 5))
    return folder / "sheet.pdf"


def test_the_date_is_printed_only_when_given(dated: Path) -> None:
    data = dated.read_bytes()
    undated = sheet_of(tool_hatch())
    assert all_text(data).count("2031-04-05") == page_count(data)
    assert not re.search(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", all_text(undated))
    assert properties(data)["CreationDate"].startswith("D:20310405000000")
    assert list(dated.parent.iterdir()) == [dated]


def test_templates_import_no_package_and_run_no_text() -> None:
    texts = [path.read_text("utf-8") for path in TEMPLATES.glob("*.typ")]
    assert texts
    for text in texts:
        for word in ("@", "eval(", "read(", "plugin", "include", "datetime.today"):
            assert word not in text


def test_options_and_places_that_cannot_be_are_refused(tmp_path) -> None:
    door = tool_hatch(struts=(), conditions=())
    with pytest.raises(RecordError, match="page is 'a5'; write one of a4, letter"):
        save_sheet(door, tmp_path / "a.pdf", page="a5")
    with pytest.raises(RecordError, match="length_unit is 'ft'; write one of mm, in"):
        save_sheet(door, tmp_path / "a.pdf", length_unit="ft")
    with pytest.raises(RecordError, match=r"date is '2031-04-05'; give a datetime\.date"):
        save_sheet(door, tmp_path / "a.pdf", date="2031-04-05")
    with pytest.raises(TravelError, match="angle 120° lies outside the travel"):
        save_sheet(door, tmp_path / "a.pdf", angle=math.radians(120.0))
    with pytest.raises(SaveError, match=r"'a\.txt' does not end in \.pdf; give it that ending"):
        save_sheet(door, tmp_path / "a.txt")
    with pytest.raises(SaveError, match="there is no folder"):
        save_sheet(door, tmp_path / "none" / "a.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_door_that_cannot_be_swept_gets_no_sheet(tmp_path) -> None:
    door = tool_hatch()
    short = replace(door.struts[0].strut, extended_length=0.200, stroke=0.080)
    with pytest.raises(TravelError, match="too short when shut"):
        saved(replace(door, struts=(replace(door.struts[0], strut=short),)), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_former_sheet_stays_when_saving_fails(tmp_path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(b"former")
    path.chmod(0o400)
    with pytest.raises(SaveError, match="read-only"):
        save_sheet(tool_hatch(struts=(), conditions=()), path)
    assert path.read_bytes() == b"former"


def test_a_door_without_struts_or_conditions_has_a_sheet(tmp_path) -> None:
    text = all_text(saved(tool_hatch(struts=(), conditions=()), tmp_path))
    assert "No strut yet." in text
    assert "Hang the strut" not in text


def test_a_strut_that_ends_the_travel_is_said_on_page_1() -> None:
    words = "a fully extended strut ends the travel"
    assert words in page_texts(sheet_of(hatch_that_its_struts_stop()))[0]
    assert words not in page_texts(sheet_of(tool_hatch()))[0]


def test_a_door_whose_strut_bottoms_out_once_another_is_lost_has_a_sheet() -> None:
    """Its charts are of the conditions that can be swept; page 1 names the one that cannot."""
    gone = Condition(name="gas all gone", missing=1)
    frost = Condition(name="frost", temperature=253.15)
    door = replace(bottoming_once_lost(), conditions=(gone, frost))
    data = sheet_data(door, page="a4", length_unit="mm", angle=None, date=None)
    words = "With strut end lost, strut 'other' would be 114 mm too long at 120°"
    assert data["verdict"]["state"] == "fails"
    assert words in data["verdict"]["words"].replace("\xa0", " ")
    (first, *_) = data["findings"]
    assert first["where"][0].replace("\xa0", " ") == "gas all gone, at 120°"
    rows = {row[0]: row[1] for row in data["conditions"]["rows"]}
    assert rows["gas all gone"].endswith("end not there")
    assert "frost" in rows
    assert len(data["charts"]) == 4


@pytest.mark.parametrize(("name", "page", "unit"), EXAMPLES)
def test_no_word_of_the_kit_is_broken(sheets, name, page, unit) -> None:
    """What is copied from the file has no mark that cannot be seen within a word."""
    assert "\u200b" not in "".join(one.raw for one in pages(sheets(name, page, unit)))


def test_a_word_too_long_for_a_line_leaves_no_mark_in_any_word(dated: Path) -> None:
    with opened(dated.read_bytes()) as pdf:
        letters = "".join(one["text"] for one in pdf.pages[0].chars)
    assert "\u200b" not in letters
    assert LONG_WORD in letters.replace("\xa0", " ")


def test_the_side_view_in_inches_is_as_large_as_in_millimetres(sheets) -> None:
    """A larger standard scale (ISO 5455: 1:10, 1:20, 1:50) than the 1:50 that always fits."""
    first = page_texts(sheets("rear-hatch", "letter", "in"))[0]
    assert "Side view, shut and open, 1:20" in plain(first)
    assert "Inches are to the nearest 1/64″; the mm to 0.1." in plain(first)


def test_hinge_points_are_named_by_where_they_are(sheets) -> None:
    check_hinge_points(all_text(sheets("roof-hatch", "a4", "mm")), "left", "right")


def check_hinge_points(text: str, *names: str) -> None:
    """Both points go by these names and never by their numbers."""
    said = set(re.findall(r"(\w+) hinge point\b", text.lower()))
    assert said >= set(names)
    assert not said & {"first", "second"}
