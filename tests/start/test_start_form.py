"""The form in a page without a notebook: all kinds and parts of it, by mouse and keys."""

import math
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from strutkit import read_door
from strutkit.decide.start.kinds import KINDS
from tests.plain_host import PlainHost
from tests.start.form_pages import (
    CELL,
    bench,
    box,
    choose,
    fill,
    form,
    key_by_key,
    message,
    narrow_and_dark,
    picture,
    row,
    save_sheet,
    says,
    walk,
)

AWAY = """parts, start.children = start.children, ()
for one in (start, *parts):
    one.close()"""


@pytest.fixture(scope="module")
def one_page(plain_host: PlainHost) -> Iterator[Page]:
    page = plain_host.open("import strutkit")
    page.set_default_timeout(30_000)
    expect.set_options(timeout=30_000)
    yield page
    expect.set_options(timeout=5_000)
    page.context.close()


@pytest.fixture
def page(one_page: Page, plain_host: PlainHost) -> Iterator[Page]:
    """A fresh form; at the end neither the page nor Python has complained."""
    one_page.evaluate("localStorage.clear()")
    run_cell = "(cell) => execute(cell)"
    assert one_page.evaluate(run_cell, CELL) == ""
    says(form(one_page).locator(".sk-status"), "of 11 still to fill in")
    yield one_page
    assert one_page.evaluate(run_cell, AWAY) == ""
    expect(one_page.locator(".strutkit-bench")).to_have_count(0)
    assert plain_host.complaints() == []


@pytest.fixture
def form_alone(page: Page) -> Iterator[Page]:
    """The bench below is there and not shown: to draw it anew at each step costs half a test."""
    style = page.add_style_tag(content=".strutkit-bench:not(.strutkit-start) { display: none }")
    yield page
    style.evaluate("(node) => node.remove()")


@pytest.fixture
def own_page(plain_host: PlainHost) -> Iterator[Page]:
    """A form in a page that has shown none before."""
    page = plain_host.open(CELL)
    page.set_default_timeout(30_000)
    expect.set_options(timeout=30_000)
    says(form(page).locator(".sk-status"), "of 11 still to fill in")
    yield page
    expect.set_options(timeout=5_000)
    page.context.close()
    assert plain_host.complaints() == []


def dark_ground(page: Page) -> Callable[[bool], Any]:
    ground = "dark => { document.body.style.background = dark ? '#111' : 'white' }"
    return lambda dark: page.evaluate(ground, dark)


@pytest.mark.parametrize("kind", sorted(set(KINDS) - {"lid"}))
def test_from_nothing_to_a_saved_door_and_its_sheet(
    own_page: Page, kind: str, tmp_path: Path
) -> None:
    """The lid goes this way in JupyterLab."""
    page = own_page
    walk(page, kind, tmp_path, key_by_key)
    if kind != "canted_side_door":  # least and most is asked of the lid and of this one
        return
    save_sheet(page, tmp_path / "sheet.pdf")
    with narrow_and_dark(page, dark_ground(page), 720):
        picture(form(page), f"form-narrow-dark-{kind}")
        picture(bench(page), f"result-narrow-dark-{kind}")


def test_wrong_units_blanks_and_absurd_values_are_said_beside_the_box(page: Page) -> None:
    wrong = {
        "length": ("6 1/2", "6 1/2 has no unit"),
        "thickness": ("40 kg", "mm"),
        "width": ("-3 m", "Width is -3000 mm"),
        "pull": ("lots", "lots"),
        "mass": ("1e9 kg", "at most 2000 kg"),
        "centre_of_gravity": ("12,5 mm", "12.5"),
        "stop_angle": ("9 m", "from the hinge line"),
        "hinge_height": ("1000 ft", "out of reach"),
        "lean": ("nan mm", "nan"),
    }
    for name, (text, _) in wrong.items():
        box(page, name).fill(text)
        box(page, name).press("Enter")
    says(row(page, "length"), wrong["length"][1])
    box(page, "length").fill("900 mm")
    box(page, "length").press("Enter")
    for name, (_, words) in list(wrong.items())[1:]:
        says(row(page, name), words)
        expect(box(page, name)).to_have_attribute("aria-invalid", "true")
    says(form(page).locator(".sk-status"), "8 of 11 to put right")
    expect(form(page).get_by_role("button", name="Suggest a start")).to_be_disabled()


def test_a_half_filled_form_saves_as_far_as_it_goes(page: Page, tmp_path: Path) -> None:
    save = form(page).get_by_role("button", name="Save as far as it goes")
    path = form(page).get_by_role("textbox", name="Save the door file as")
    save.click()
    path.fill(str(tmp_path / "half.toml"))
    path.press("Enter")
    says(message(page), "is needed first")
    box(page, "length").fill("700 mm")
    box(page, "length").press("Enter")
    path.press("Enter")
    says(message(page), "Saved half.toml.")
    door = read_door(tmp_path / "half.toml")
    assert any(one.startswith("panel mass: ") for one in door.assumed)
    path_again = form(page).get_by_role("button", name="Save as far as it goes")
    path_again.click()
    path.press("Enter")
    says(message(page), "half.toml is there already.")
    form(page).get_by_role("button", name="Replace it").click()
    says(message(page), "Saved half.toml.")


def test_what_is_typed_is_kept_when_the_unit_or_the_kind_changes(page: Page) -> None:
    """A number alone takes the unit of the choice when its box is left, and keeps it."""
    box(page, "length").fill("24 1/2 in")
    box(page, "length").press("Enter")
    for name, text, shown in (("width", "620", "620 mm"), ("mass", "8", "8 kg")):
        box(page, name).fill(text)
        box(page, name).press("Tab")
        expect(box(page, name)).to_have_value(shown)
    box(page, "pull").fill("45")
    box(page, "pull").press("Tab")
    says(row(page, "pull"), "Write 45 kg, 45 lb, 45 N or 45 lbf.")
    expect(box(page, "pull")).to_have_value("45")
    row(page, "thickness").get_by_text("don’t know").click()
    says(row(page, "thickness"), "30 mm")
    form(page).get_by_role("button", name="inch").click()
    says(row(page, "thickness"), "1 3/16")
    expect(box(page, "width")).to_have_value("620 mm")
    box(page, "handle").fill("24")
    box(page, "handle").press("Tab")
    expect(box(page, "handle")).to_have_value("24 in")
    expect(box(page, "lean")).to_have_attribute("placeholder", "in")
    choose(page, "lid")
    expect(box(page, "length")).to_have_value("24 1/2 in")
    expect(row(page, "lean")).to_have_count(0)


def test_everything_can_be_changed_later_and_undone(form_alone: Page) -> None:
    page = form_alone
    choose(page, "lid")
    fill(page, "lid", {"length": "700 mm", "mass": "8 kg"})
    form(page).get_by_role("button", name="Suggest a start").click()
    says(message(page), "A pair,")
    form(page).locator("summary", has_text="Change anything").click()
    panel = form(page).locator('[data-part="Panel"]')
    panel.locator("summary").click()
    mass = panel.get_by_label("Weight, all that moves")
    expect(mass).to_have_value("8 kg")
    mass.fill("9 mm")
    mass.press("Enter")
    says(panel, "9 mm is a length, and a mass is asked")
    mass.fill("9.5")
    mass.press("Tab")
    expect(mass).to_have_value("9.5 kg")
    expect(form(page).get_by_role("button", name="Undo")).to_be_enabled()
    struts = form(page).locator('[data-part="Struts"]')
    struts.locator("summary").click()
    struts.get_by_role("button", name="Two unlike ones").click()
    expect(form(page).locator('[data-card="strut:1"]')).to_contain_text("The right strut")
    for _ in range(2):
        form(page).get_by_role("button", name="Undo").click()
    expect(form(page).locator('[data-card="strut:1"]')).to_have_count(0)
    expect(mass).to_have_value("8 kg")
    thickness = panel.get_by_label("Thickness")
    form(page).get_by_role("button", name="inch", exact=True).click()
    expect(thickness).to_have_value(re.compile(r"^[\d /]+ in$"))
    thickness.fill("3/4")
    thickness.press("Tab")
    expect(thickness).to_have_value("3/4 in")
    expect(thickness).to_have_attribute("title", "In the door file: panel, thickness")
    limits = form(page).locator('[data-part="Limits"]')
    limits.locator("summary").click()
    limits.get_by_role("button", name="Leave out: To shut, at most").click()
    expect(limits.get_by_label("To shut, at most", exact=True)).to_have_value("")
    limits.get_by_role("button", name="Take 120 N, common practice").click()
    expect(limits.get_by_label("To shut, at most", exact=True)).to_have_value("120 N")
    conditions = form(page).locator('[data-part="Conditions"]')
    conditions.locator("summary").click()
    conditions.get_by_label("frost, old struts").uncheck()
    expect(conditions.locator("h4", has_text="frost, old struts")).to_have_count(0)
    keys = form(page).locator(".sk-groups label > span").all_text_contents()
    assert keys
    assert not [one for one in keys if "_" in one]


def test_nothing_is_saved_beside_a_value_that_cannot_be_taken(page: Page, tmp_path: Path) -> None:
    """The click on Save ends the typing in one of the boxes under "Change anything"."""
    box(page, "length").fill("700 mm")
    box(page, "length").press("Enter")
    form(page).locator("summary", has_text="Change anything").click()
    panel = form(page).locator('[data-part="Panel"]')
    panel.locator("> summary").click()
    weight = panel.get_by_label("Weight, all that moves")
    form(page).get_by_role("button", name="Save as far as it goes").click()
    form(page).get_by_role("textbox", name="Save the door file as").fill(str(tmp_path / "a.toml"))
    save = form(page).locator(".sk-saving button[type=submit]:visible")
    weight.fill("heavy")
    save.click()
    says(message(page), "Nothing was saved. What is typed in a box cannot be used")
    assert list(tmp_path.iterdir()) == []
    weight.fill("9 kg")
    save.click()
    says(message(page), "Saved a.toml.")
    assert read_door(tmp_path / "a.toml").panel.mass == 9.0


def test_door_file_as_text_goes_there_and_back(page: Page) -> None:
    box(page, "length").fill("700 mm")
    box(page, "length").press("Enter")
    form(page).locator("summary", has_text="Door file as text").click()
    text = form(page).get_by_role("textbox", name="Door file", exact=True)
    expect(text).to_have_value(re.compile(r"\[panel\]"))
    written = text.input_value()
    text.fill(written.replace("[panel]", "[panel"))
    form(page).get_by_role("button", name="Take the text").click()
    says(form(page).locator(".sk-lines"), "line")
    text.fill(written.replace('width = "900 mm"', 'width = "31 1/2 in"'))
    form(page).get_by_role("button", name="Take the text").click()
    expect(bench(page).get_by_role("slider").first).to_be_visible()
    expect(text).not_to_have_value(written)
    expect(box(page, "width")).to_have_value("800.1 mm")
    says(row(page, "thickness"), "30 mm")


def test_a_point_by_tape_asks_for_its_side(page: Page) -> None:
    box(page, "length").fill("900 mm")
    box(page, "length").press("Enter")
    form(page).locator("summary", has_text="A point by tape").click()
    place = (0.05, 0.1, -0.8)
    known = [(0.0, -0.4, 0.0), (0.0, 0.4, 0.0), (0.0, 0.0, -0.5)]
    for number, one in enumerate(known, start=1):
        point = ", ".join(f"{each * 1e3:g}" for each in one)
        form(page).get_by_label(f"Known point {number}").fill(f"{point} mm")
        form(page).get_by_label(f"Tape {number}").fill(f"{math.dist(place, one) * 1e3:.4f} mm")
    found = form(page).locator(".sk-found")
    says(found, "Two places fit as well")
    says(found, "50, 100, -800 mm")
    says(found, "-50, 100, -800 mm")
    expect(form(page).get_by_role("button", name="Take it")).to_be_disabled()
    found.get_by_text("50, 100, -800 mm", exact=False).last.click()
    form(page).get_by_role("button", name="Take it").click()
    says(message(page), "Taken: handle")
    form(page).get_by_label("Tape 1").fill("700 mm")
    expect(form(page).get_by_role("button", name="Take it")).to_be_disabled()


def test_parts_and_a_strut_read_on_a_scale_enter_the_door(form_alone: Page, tmp_path: Path) -> None:
    """By hand: 8 kg and a pane of 1.2 kg are 9.2 kg; 38 kg on the scale are 372.7 N."""
    page = form_alone
    choose(page, "lid")
    fill(page, "lid", {"length": "700 mm", "mass": "8 kg", "stop_angle": "75 deg"})
    form(page).locator("summary", has_text="Weigh it better").click()
    form(page).get_by_role("button", name="Add a part").click()
    form(page).get_by_label("Part 1", exact=True).fill("pane")
    form(page).get_by_label("Part 1, weight").fill("1.2")
    form(page).get_by_label("Part 1, weight").press("Tab")
    expect(form(page).get_by_label("Part 1, weight")).to_have_value("1.2 kg")
    place = form(page).get_by_label("Part 1, hinge line to its middle")
    place.fill("350 mm")
    place.press("Enter")
    says(form(page).locator(".sk-status"), "All 10 filled in")

    form(page).locator("summary", has_text="A strut without a label").click()
    readings = {
        "1. Going in, 10 mm from full length": "42 kg",
        "2. Going on in, 10 mm from fully pushed in": "54 kg",
        "3. Coming out again, at that same place": "30 kg",
        "4. Coming out, 10 mm from full length": "38 kg",
        "5. Length pulled out, centre to centre": "465 mm",
        "6. Stroke": "200 mm",
    }
    for label, text in readings.items():
        form(page).get_by_label(label).fill(text)
    take = form(page).get_by_role("button", name="Take this strut")
    take.click()
    says(form(page), "a strut pushes harder near full compression")
    form(page).get_by_label("3. Coming out again, at that same place").fill("50 kg")
    take.click()
    says(form(page), "friction 20 N (half the difference between going in and")
    says(form(page), "force ratio 1.32")
    says(form(page), "A reading is over 400 N: do not press that by hand again.")
    form(page).get_by_role("button", name="Suggest a start").click()
    says(message(page), "own strut")
    form(page).get_by_role("button", name="Save as far as it goes").click()
    path = form(page).get_by_role("textbox", name="Save the door file as")
    path.fill(str(tmp_path / "own"))
    path.press("Enter")
    says(message(page), "Saved own.toml.")
    door = read_door(tmp_path / "own.toml")
    assert door.panel.mass == pytest.approx(9.2)
    assert door.struts[0].strut.rating == pytest.approx(38 * 9.80665, abs=0.06)
    for title in ("Where mounts may go", "A point by tape", "Assumed"):
        form(page).locator("summary", has_text=title).click()
    with narrow_and_dark(page, dark_ground(page), 720):
        picture(form(page), "form-narrow-dark")


FLANGE = {"near end": "300 mm", "far end": "680 mm", "least": "54 mm"}


def test_a_start_keeps_to_flanges_that_were_marked(form_alone: Page, tmp_path: Path) -> None:
    page = form_alone
    choose(page, "side_door")
    fill(page, "side_door", {"length": "900 mm", "mass": "8 kg", "width": "1 m"})
    form(page).locator("summary", has_text="Where mounts may go").click()
    flange = form(page).get_by_role("group", name="On the fixed side")
    for label, text in FLANGE.items():
        flange.get_by_label(label).fill(text)
    flange.get_by_label("most").fill("20 mm")
    flange.get_by_label("most").press("Tab")
    says(flange, "Write more than 54 mm, where the flange begins.")
    flange.get_by_label("most").fill("104 mm")
    flange.get_by_label("most").press("Tab")
    says(form(page).locator(".sk-status"), "All 10 filled in")
    picture(form(page), "form-flanges")
    form(page).get_by_role("button", name="Suggest a start").click()
    says(message(page), "A pair,")
    form(page).get_by_role("button", name="Save as far as it goes").click()
    path = form(page).get_by_role("textbox", name="Save the door file as")
    path.fill(str(tmp_path / "marked.toml"))
    path.press("Enter")
    says(message(page), "Saved marked.toml.")
    x, y, z = read_door(tmp_path / "marked.toml").struts[0].frame_mount
    assert y == pytest.approx(-0.47)
    assert -0.1401 <= x <= -0.0899
    assert -0.6801 <= z <= -0.2999
