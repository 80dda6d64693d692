"""The drawing, read back: DXF by ezdxf's own reader and audit, SVG by the XML parser.

DXF text codes (%%d, ^I, \\U+XXXX): Autodesk, DXF Reference, "String group codes and control
codes" (from memory), decoded here by ezdxf.
"""

import io
import math
import tempfile
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from ezdxf.document import Drawing
from ezdxf.tools.text import plain_text

from strutkit.compute.geometry import rotate, side_axes
from strutkit.decide.conditions import hinge_axis
from strutkit.describe.records import Door
from strutkit.errors import SaveError, TravelError
from strutkit.show.drawing import save_drawing
from strutkit.show.dxf import dxf_bytes, literal
from strutkit.show.shapes import Picture, Text
from tests.show.picture_doors import HOSTILE, all_doors, rear_hatch

DOORS = all_doors()


def saved(door: Door, folder: Path, **options: object) -> Drawing:
    path = folder / "door.dxf"
    save_drawing(door, path, **options)
    return ezdxf.readfile(path)


@cache
def drawn(name: str) -> Drawing:
    """One of the doors as it is saved without options, made once for all who look at it."""
    with tempfile.TemporaryDirectory() as folder:
        return saved(DOORS[name], Path(folder))


def texts(document: Drawing) -> list[str]:
    return [plain_text(one.dxf.text) for one in document.modelspace().query("TEXT")]


def in_plane(door: Door, point: tuple[float, float, float], angle: float = 0.0) -> np.ndarray:
    """A point of the panel in the side view [mm from the hinge line]."""
    origin, axis = hinge_axis(door)
    place = rotate(np.array(point), origin, axis, np.array([angle]))[0]
    return 1e3 * np.array([(place - origin) @ one for one in side_axes(axis)])


@pytest.mark.parametrize("name", sorted(DOORS))
def test_audit_is_clean_and_units_are_millimetres(name: str) -> None:
    document = drawn(name)
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.dxfversion == "AC1024"
    assert document.units == ezdxf.units.MM


@pytest.mark.parametrize("name", sorted(DOORS))
def test_mounts_are_points_at_full_size(name: str) -> None:
    door = DOORS[name]
    document = drawn(name)
    points = [np.array(one.dxf.location)[:2] for one in document.modelspace().query("POINT")]
    assert len(points) == 1 + 2 * len(door.fitted)
    for one in door.fitted:
        for mount in (one.frame_mount, one.panel_mount):
            expected = in_plane(door, mount)
            assert min(math.dist(expected, point) for point in points) < 1e-6


def test_the_panel_is_drawn_at_full_size(tmp_path: Path) -> None:
    door = rear_hatch()
    document = saved(door, tmp_path, angle=0.6)
    space = document.modelspace()
    (panel,) = [one for one in space.query('LWPOLYLINE[layer=="OUTLINE"]') if one.closed]
    corners = np.array([point[:2] for point in panel.get_points()])
    expected = [in_plane(door, point, 0.6) for point in door.panel.section]
    np.testing.assert_allclose(corners[: len(expected)], expected, atol=1e-6)
    (arc,) = space.query('ARC[layer=="CENTRE_LINES"]')
    assert arc.dxf.radius == pytest.approx(door.hinge_distance(door.panel.handle) * 1e3)
    assert (arc.dxf.end_angle - arc.dxf.start_angle) % 360.0 == pytest.approx(98.0)


def printed(dimension) -> str:
    """The text in a dimension's own block, as a drawing program shows it."""
    block = [one for one in dimension.virtual_entities() if one.dxftype() in ("TEXT", "MTEXT")]
    (text,) = [plain_text(one.dxf.text) if one.dxftype() == "TEXT" else one.text for one in block]
    return text


@pytest.mark.parametrize("name", sorted(DOORS))
def test_dimensions_measure_and_print_the_places_of_balls_and_holes(name: str) -> None:
    """DIMENSION entities: the measured point is the door's to 1e-6 mm, its text that in mm."""
    door = DOORS[name]
    document = drawn(name)
    found = list(document.modelspace().query("DIMENSION"))
    assert document.dimstyles.get("STRUTKIT").dxf.dimlfac == 1.0
    places = [at for one in door.fitted for at in (one.frame_mount, one.panel_mount)]
    for one in door.fitted:
        for ball, arm in ((one.frame_mount, one.frame_hole), (one.panel_mount, one.panel_hole)):
            places += [] if arm is None else [tuple(np.array(ball) + arm)]
    points = [in_plane(door, at) for at in places]
    assert bool(found) == bool(points)
    for axis in (0, 1):
        lines = [one for one in found if bool(one.dxf.dimtype & 64) == (axis == 0)]
        measured = np.array([float(one.get_measurement()[axis]) for one in lines])
        wanted = np.array([float(point[axis]) for point in points])
        apart = np.abs(measured[:, None] - wanted[None, :])
        assert (apart.min(axis=0, initial=np.inf) < 1e-6).all()
        assert (apart.min(axis=1, initial=np.inf) < 1e-6).all()
        for one in lines:
            assert one.dxf.layer == "DIMENSIONS"
            size = abs(float(one.get_measurement()[axis]))
            assert float(printed(one)) == pytest.approx(size, abs=0.0501)


def test_holes_are_circles_of_their_drill_on_a_layer_of_their_own(tmp_path: Path) -> None:
    """The example rear hatch, M8 and M6: ISO 273 medium, 9.0 and 6.6 mm."""
    document = drawn("rear-hatch")
    circles = {
        round(2.0 * one.dxf.radius, 6): np.array(one.dxf.center)[:2]
        for one in document.modelspace().query('CIRCLE[layer=="HOLES"]')
    }
    assert set(circles) == {9.0, 6.6}
    assert math.dist(circles[9.0], (-85.0, -460.0)) < 1e-6
    assert math.dist(circles[6.6], (-38.0, -83.0)) < 1e-6
    figures = {printed(one) for one in document.modelspace().query("DIMENSION")}
    assert figures == {"85", "460", "35", "105", "38", "83"}
    assert not document.audit().errors
    save_drawing(DOORS["rear-hatch"], tmp_path / "door.svg")
    root = ET.parse(tmp_path / "door.svg").getroot()
    radii = [float(one.get("r")) for one in root.iter("{http://www.w3.org/2000/svg}circle")]
    assert {4.5, 3.3} <= set(radii)


def test_names_and_balls_are_printed() -> None:
    assert {"F", "D", DOORS["rear_hatch"].name} <= set(texts(drawn("rear_hatch")))


def test_layers_and_line_kinds() -> None:
    document = drawn("rear_hatch")
    used = {one.dxf.layer for one in document.modelspace()}
    assert {"OUTLINE", "STRUTS", "MOUNTS", "CENTRE_LINES", "DIMENSIONS", "TEXT"} <= used
    assert used <= {layer.dxf.name for layer in document.layers}
    outline = document.modelspace().query('LWPOLYLINE[layer=="OUTLINE"]').first
    assert outline.dxf.lineweight == 50
    arc = document.modelspace().query("ARC").first
    assert arc.dxf.linetype in document.linetypes
    assert arc.dxf.lineweight == 25


def test_dashes_are_those_of_the_plot_at_full_size() -> None:
    """A chain line of ISO 128-2 type 04.1 at 0.25 mm: 6, gap 0.75, 0.25, gap 0.75 mm; at 1:10."""
    document = drawn("rear_hatch")
    tags = document.linetypes.get("CHAIN").pattern_tags.tags
    lengths = [tag.value for tag in tags if tag.code == 49]
    assert lengths == pytest.approx([60.0, -7.5, 2.5, -7.5])


@pytest.mark.parametrize("ending", [".dxf", ".svg"])
def test_same_door_same_bytes(ending: str, tmp_path: Path) -> None:
    for name in ("one", "two"):
        save_drawing(rear_hatch(), tmp_path / f"{name}{ending}")
    assert (tmp_path / f"one{ending}").read_bytes() == (tmp_path / f"two{ending}").read_bytes()


def test_any_name_is_shown_literally() -> None:
    names = (
        HOSTILE,
        "50 %%d %%%c",
        "tab ^I here^",
        "\\U+0041 \\M+18140 \\P {x}",
        "«Tür» 門 🚪",
        "a%%%%%%o",
    )
    shown = texts(read_back(*(Text((30.0, 20.0), name, "text", 3.5) for name in names)))
    assert [one.replace("\N{WORD JOINER}", "") for one in shown] == list(names)
    assert HOSTILE in {one.replace("\N{WORD JOINER}", "") for one in texts(drawn("hostile"))}


def read_back(*shapes: Text) -> Drawing:
    """A picture of these texts alone at 1:10, its origin at 10, 10 mm."""
    picture = Picture(
        width=60.0, height=40.0, shapes=shapes, title="t", description="d", medium="paper",
        scale=0.1, origin=(10.0, 10.0),
    )  # fmt: skip
    return ezdxf.read(io.StringIO(dxf_bytes(picture).decode("utf-8")))


def test_plain_signs_stay_as_they_are() -> None:
    assert literal("50 % at 20 °C, a/b") == "50 % at 20 °C, a/b"


def test_a_text_of_a_picture_stands_where_it_stood() -> None:
    text = Text((30.0, 20.0), "108", "text", 3.5, anchor="middle", angle=math.pi / 2)
    (entity,) = read_back(text).modelspace().query("TEXT")
    alignment, place, _ = entity.get_placement()
    assert alignment.name == "CENTER"
    assert tuple(place)[:2] == pytest.approx((200.0, 100.0))
    assert entity.dxf.rotation == pytest.approx(90.0)
    assert entity.dxf.height == pytest.approx(3.5 * 0.729 * 10.0, rel=1e-3)


def test_svg_is_one_to_one(tmp_path: Path) -> None:
    door = rear_hatch()
    save_drawing(door, tmp_path / "door.svg")
    root = ET.parse(tmp_path / "door.svg").getroot()
    circles = [
        (float(one.get("cx")), float(one.get("cy")), float(one.get("r")))
        for one in root.iter("{http://www.w3.org/2000/svg}circle")
    ]
    hinge = next(one for one in circles if one[2] == pytest.approx(1.323))
    handle = next(one for one in circles if one[2] == pytest.approx(1.058))
    expected = door.hinge_distance(door.panel.handle) * 1e3
    assert math.dist(hinge[:2], handle[:2]) == pytest.approx(expected, abs=2e-3)


def test_figures_in_inches(tmp_path: Path) -> None:
    document = saved(rear_hatch(), tmp_path, length_unit="in")
    assert "28 3/16″" in {printed(one) for one in document.modelspace().query("DIMENSION")}


def test_another_ending_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SaveError, match=r"'door.dwg' does not end in .dxf or .svg"):
        save_drawing(rear_hatch(), tmp_path / "door.dwg")
    assert list(tmp_path.iterdir()) == []


def test_an_angle_outside_the_travel_is_refused(tmp_path: Path) -> None:
    with pytest.raises(TravelError, match="give an angle from 0° to 98°"):
        save_drawing(rear_hatch(), tmp_path / "door.dxf", angle=2.5)
    assert list(tmp_path.iterdir()) == []


def test_the_users_setting_of_the_library_is_left_alone(tmp_path: Path) -> None:
    former = ezdxf.options.write_fixed_meta_data_for_testing
    save_drawing(rear_hatch(), tmp_path / "door.dxf")
    assert ezdxf.options.write_fixed_meta_data_for_testing == former
