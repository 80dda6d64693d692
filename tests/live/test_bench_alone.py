"""The bench in a page without a notebook: what is clicked acts after what was typed or moved
before it, and nothing that a hand did is passed over in silence."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from strutkit import read_door, save_drill_template
from tests.live.conftest import DOORS
from tests.plain_host import VIEWPORT, PlainHost
from tests.show.pdf_reader import all_text

REAR = DOORS / "rear-hatch.toml"
CELL = """from ipywidgets import VBox
from strutkit import bench
w = bench({path!r})
w.session = {session!r}
place = VBox([w])
place"""
AWAY = """benches, place.children = place.children, []
for one in (place, *benches):
    one.close()"""

RESTS = """() => [...document.querySelectorAll('.strutkit-bench')]
    .every((one) => one.dataset.rest === 'true' && one.querySelector('.sk-row'))
    && document.querySelector('.strutkit-bench')"""


class Work:
    """A bench of a door file, and how a person works it."""

    def __init__(self, page: Page, path: Path) -> None:
        self.page = page
        self.path = path
        self.node = page.locator(".strutkit-bench")
        self.line = self.node.locator(".sk-message")
        self.papers = self.node.get_by_role("region", name="Papers")
        self.handle = self.node.get_by_role("slider", name="left, mount on panel", exact=True)

    def execute(self, code: str) -> str:
        return str(self.page.evaluate("(code) => execute(code)", code)).strip()

    def at_rest(self) -> None:
        """All that was asked of Python is answered, and the first findings are there."""
        self.page.wait_for_function(RESTS, polling=50)

    def box(self, way: str) -> Locator:
        return self.node.get_by_label(re.compile(f"left, mount on panel, {way}"))

    def button(self, name: str) -> Locator:
        return self.node.get_by_role("button", name=name, exact=True)

    def begin_to_save(self, tool: str, path: Path) -> Locator:
        """Open the row of a file and write its name; gives the button that is left to click."""
        self.button(tool).click()
        self.node.get_by_role("textbox", name=re.compile("^Save the")).fill(str(path))
        return self.node.locator(".sk-form button[type=submit]:visible")

    @property
    def inward(self) -> float:
        return float(self.execute("print(round(-1e3 * w.door.struts[0].panel_mount[0], 6))"))


@pytest.fixture(scope="module")
def page(plain_host: PlainHost) -> Iterator[Page]:
    """One page for all tests; each has a bench of its own in it."""
    page = plain_host.open("import strutkit")
    yield page
    page.context.close()


@pytest.fixture
def work(page: Page, plain_host: PlainHost, tmp_path: Path) -> Iterator[Work]:
    """A copy of the rear hatch, its door-side mount 24 mm inward and 108 mm down."""
    path = tmp_path / "hatch.toml"
    path.write_bytes(REAR.read_bytes())
    found = Work(page, path)
    page.set_viewport_size(VIEWPORT)
    page.evaluate("localStorage.clear()")
    assert found.execute(CELL.format(path=str(path), session="first")) == ""
    found.at_rest()
    yield found
    page.mouse.up()
    page.mouse.move(0, 0)
    assert found.execute(AWAY) == ""
    expect(page.locator(".strutkit-bench")).to_have_count(0)
    assert plain_host.complaints() == []


def test_files_hold_the_number_that_was_typed_before_the_click(work: Work, tmp_path: Path) -> None:
    """The door file; and a drill template, against that of a door with this number. The sheet is
    looked at in JupyterLab."""
    save = work.begin_to_save("Save the door file", work.path)
    work.box("inward").fill("39")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Saved hatch.toml.")
    assert read_door(work.path).struts[0].panel_mount == (-0.039, -0.61, -0.108)
    work.button("Look at the papers").click()
    work.at_rest()
    said = work.papers.get_by_role("alert")
    work.papers.get_by_label("Paper", exact=True).select_option("drill template")
    work.at_rest()
    expect(said).to_be_hidden(timeout=20_000)
    work.box("inward").fill("31")
    work.papers.get_by_role("button", name="Save", exact=True).click()
    work.at_rest()
    expect(said).to_contain_text("Saved ", timeout=20_000)
    (name,) = re.findall(r"Saved (.+) in ", said.inner_text())
    door = read_door(work.path)
    moved = replace(door.struts[0], panel_mount=(-0.031, -0.61, -0.108))
    save_drill_template(replace(door, struts=(moved,)), tmp_path / "expected.pdf")
    texts = [all_text((tmp_path / one).read_bytes()) for one in (name, "expected.pdf")]
    assert texts[0] == texts[1]


def test_steps_are_taken_back_in_the_order_in_which_they_were_made(work: Work) -> None:
    """31, then 37 and Undo in one go: 31, and Redo leads to 37."""
    work.box("inward").fill("31")
    work.box("inward").press("Enter")
    work.at_rest()
    work.box("inward").fill("37")
    work.button("Undo").click()
    work.at_rest()
    assert work.inward == 31
    work.button("Redo").click()
    work.at_rest()
    assert work.inward == 37
    work.box("inward").fill("35")
    work.button("Reset: back to the door as it was given").click()
    work.at_rest()
    assert work.inward == 24
    work.button("Undo").click()
    work.at_rest()
    assert work.inward == 35
    work.box("inward").fill("38")
    work.button("Use 400 N").click()
    work.at_rest()
    rating = "print(w.door.struts[0].strut.rating)"
    assert (work.inward, work.execute(rating)) == (38, "400.0")
    work.button("Undo").click()
    work.at_rest()
    assert (work.inward, work.execute(rating)) == (38, "500.0")


def test_typing_that_was_taken_back_leaves_no_trace(work: Work) -> None:
    """A digit typed and wiped out again; then a drag, another mount, a cell: a number typed after
    it moves the mount that is chosen, along its own way alone."""
    chosen = work.node.get_by_label("Mount", exact=True)

    def mounts() -> str:
        return work.execute(
            "print([[round(1e3 * one, 3) + 0 for one in place] for place in"
            " (w.door.struts[0].frame_mount, w.door.struts[0].panel_mount)])"
        )

    def wipe_out(box: Locator) -> None:
        box.press("End")
        for key in ("3", "Backspace", "Tab"):
            box.press(key)

    assert mounts() == str([[-88.0, -610.0, -716.0], [-24.0, -610.0, -108.0]])
    wipe_out(work.box("inward"))
    chosen.select_option("0 frame")
    left = work.node.get_by_label(re.compile("left, mount on frame, left"))
    left.fill("605")
    left.press("Enter")
    work.at_rest()
    assert mounts() == str([[-88.0, -605.0, -716.0], [-24.0, -610.0, -108.0]])
    chosen.select_option("0 panel")
    wipe_out(work.box("inward"))
    work.handle.press("ArrowDown")
    work.at_rest()
    work.box("left").fill("607")
    work.execute("w.undo()")
    work.box("left").press("Enter")
    work.at_rest()
    assert mounts() == str([[-88.0, -605.0, -716.0], [-24.0, -607.0, -108.0]])


def test_keys_that_are_not_let_go_yet_are_in_the_file(work: Work) -> None:
    """Arrow keys in a box and on the rating; a number typed right after them keeps both."""
    save = work.begin_to_save("Save the door file", work.path)
    work.box("inward").focus()
    for _ in range(3):
        work.page.keyboard.press("ArrowUp")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Saved hatch.toml.")
    assert read_door(work.path).struts[0].panel_mount == (-0.027, -0.61, -0.108)
    save = work.begin_to_save("Save the door file", work.path)
    work.node.get_by_role("slider", name="Rating").focus()
    work.page.keyboard.press("ArrowRight")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Saved hatch.toml.")
    assert read_door(work.path).struts[0].strut.rating == 505.0
    work.box("inward").focus()
    work.page.keyboard.press("ArrowUp")
    work.box("down").select_text()
    work.page.keyboard.type("112", delay=120)  # answers to the arrow key come meanwhile
    work.box("down").press("Enter")
    work.page.wait_for_timeout(800)
    work.at_rest()
    assert work.execute("print(w.door.struts[0].panel_mount)") == "(-0.028, -0.61, -0.112)"
    work.box("down").select_text()
    work.page.keyboard.type("114")
    work.page.keyboard.press("ArrowUp")  # a step counts from what was typed
    expect(work.box("down")).to_have_value("115")
    work.at_rest()
    assert work.execute("print(w.door.struts[0].panel_mount)") == "(-0.028, -0.61, -0.115)"


def test_nothing_is_saved_beside_a_text_that_cannot_be_read(work: Work, tmp_path: Path) -> None:
    """Until it is mended, taken back by Escape, or goes with a step that is taken back."""
    before = work.path.read_bytes()
    box = work.box("inward")
    save = work.begin_to_save("Save the door file", work.path)
    box.fill("zz")
    save.click()
    said = work.node.locator(".sk-form-words:visible")
    expect(said).to_contain_text("Nothing was saved: what is typed for a mount cannot be read. zz")
    expect(work.line).to_contain_text("zz has no number in front.")
    expect(box).to_have_value("zz")
    expect(box).to_have_attribute("aria-invalid", "true")
    assert work.path.read_bytes() == before
    work.button("Look at the papers").click()
    work.papers.get_by_role("button", name="Save", exact=True).click()
    work.at_rest()
    expect(work.papers.get_by_role("alert")).to_contain_text("Nothing was saved")
    assert [one.name for one in tmp_path.iterdir()] == ["hatch.toml"]
    box.press("Escape")
    expect(box).to_have_value("24")
    expect(work.line).not_to_contain_text("zz")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Saved hatch.toml.")
    box.fill("26")
    box.press("Enter")
    work.at_rest()
    box.fill("zz")
    work.button("Undo").click()
    work.at_rest()
    assert work.inward == 24.0
    expect(box).to_have_value("zz")
    expect(work.line).to_contain_text("Cannot be read: zz inward (door side, left).")
    box.press("Escape")
    expect(box).to_have_value("24")
    expect(work.line).not_to_contain_text("zz")


def test_a_file_beside_a_place_that_does_not_fit_says_so(work: Work) -> None:
    save = work.begin_to_save("Save the door file", work.path)
    work.box("inward").fill("900")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Not in it, as it does not fit: 900 mm inward")
    expect(work.line.locator("strong")).to_contain_text("when shut")
    expect(work.box("inward")).to_have_value("24")
    expect(work.node.locator(".sk-side circle.sk-refused")).to_have_count(1)
    assert read_door(work.path) == read_door(REAR)


def test_a_move_after_a_save_comes_back_by_itself(work: Work, plain_host: PlainHost) -> None:
    """The cell reads the file that was saved; a file changed meanwhile is offered, in the words of
    the screen."""

    def again(session: str) -> None:
        plain_host.load(work.page, CELL.format(path=str(work.path), session=session))
        work.at_rest()

    save = work.begin_to_save("Save the door file", work.path)
    work.box("down").fill("105")
    save.click()
    work.at_rest()
    expect(work.line).to_contain_text("Saved hatch.toml.")
    work.handle.focus()
    work.page.keyboard.press("ArrowDown")
    work.handle.blur()
    work.at_rest()
    again("second")
    expect(work.line).to_contain_text("Your unsaved moves were restored.")
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("106 mm down"))
    work.button("Undo").click()
    work.at_rest()
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("105 mm down"))
    work.button("Redo").click()
    work.at_rest()
    text = work.path.read_text("utf-8")
    work.path.write_text(text.replace("-24, -610, -105 mm", "-24, -610, -104 mm"), "utf-8")
    again("third")
    expect(work.line).to_contain_text(
        "It was made on another door than this one: what differs goes back with it. Undo takes"
        " back what it changes: • strut left, door side: 104 mm down becomes 106 mm down"
    )


def test_escape_leaves_no_step_that_undo_could_go_to(work: Work) -> None:
    work.box("inward").fill("30")
    work.box("inward").press("Enter")
    work.at_rest()
    work.handle.focus()
    for _ in range(2):
        work.page.keyboard.press("ArrowDown")
        work.page.wait_for_timeout(700)
    work.at_rest()
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("110 mm down"))
    work.page.keyboard.press("Escape")
    work.at_rest()
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("30 mm inward, 108 mm down"))
    work.button("Undo").click()
    work.at_rest()
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("24 mm inward, 108 mm down"))


FRAMES_HELD = """() => {
    window.heldFrames = [];
    window.nextFrame = window.requestAnimationFrame;
    window.requestAnimationFrame = (draw) => heldFrames.push(draw);
}"""
FRAMES_GO_ON = """() => {
    window.requestAnimationFrame = window.nextFrame;
    for (const draw of window.heldFrames) requestAnimationFrame(draw);
}"""


def test_a_key_counts_from_a_place_that_is_not_drawn_yet(work: Work) -> None:
    """The step before is in the door, and the page has had no frame since to draw it."""
    work.handle.focus()
    work.page.evaluate(FRAMES_HELD)
    work.page.keyboard.press("ArrowDown")
    work.page.wait_for_timeout(1500)
    assert work.execute("print(w.door.struts[0].panel_mount[2])") == "-0.109"
    work.page.keyboard.press("ArrowDown")
    work.page.evaluate(FRAMES_GO_ON)
    work.at_rest()
    expect(work.handle).to_have_attribute("aria-valuetext", re.compile("110 mm down"))


def test_a_place_refused_along_the_hinge_line_is_shown_where_it_is(work: Work) -> None:
    """In the view along the hinge line, for both of the pair; the side view cannot tell it from
    the place that fits. A place refused in the side view is not shown along the line."""
    refused = [work.node.locator(f"{view} circle.sk-refused") for view in (".sk-along", ".sk-side")]
    grab = work.node.locator(".sk-along .sk-grab").first
    grab.scroll_into_view_if_needed()
    box = grab.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    work.page.mouse.move(x, y)
    work.page.mouse.down()
    work.page.mouse.move(x + 250, y, steps=8)
    expect(work.line.locator("strong")).to_contain_text("too short")
    expect(refused[0]).to_have_count(2)
    expect(refused[1]).to_have_count(0)
    expect(work.node.locator(".sk-along text").filter(has_text="does not fit")).to_have_count(1)
    drawn = refused[0].first.evaluate("(node) => node.getBoundingClientRect().x")
    assert drawn + 6.5 == pytest.approx(x + 250, abs=3)
    work.page.mouse.move(x, y, steps=8)
    expect(refused[0]).to_have_count(0)
    work.page.mouse.up()
    work.at_rest()
    work.handle.focus()
    work.box("inward").fill("900")
    work.box("inward").press("Enter")
    work.at_rest()
    expect(refused[1]).to_have_count(1)
    expect(refused[0]).to_have_count(0)


def test_a_rule_that_breaks_next_does_not_hide_those_that_fail_now(work: Work) -> None:
    """A weak strut in a poor place: two rules fail, and a third would."""
    work.execute(
        "from dataclasses import replace\ns = w.door.struts[0]\n"
        "w.door = replace(w.door, struts=(replace(s, panel_mount=(-0.039, -0.61, -0.097),"
        " strut=replace(s.strut, rating=405.0)),))"
    )
    work.at_rest()
    failing = work.execute(
        "from strutkit import rating_window\n"
        "found = rating_window(w.door).rules\n"
        "print(*(name for name, one in found.items()"
        " if one.empty or not one.low[0] <= 405 <= one.high[0]))"
    ).split()
    rows = work.node.locator(".sk-rating text.sk-rule.sk-fails")
    expect(rows).to_have_count(len(failing))
    labels = [f"“{text[2:]}”" for text in rows.all_text_contents()]
    assert len(labels) == 2
    for words in work.node.locator(".sk-breaks-first").all_inner_texts()[:2]:
        assert words.endswith(f"; {', '.join(labels)} fail now.")
        assert "breaks first" not in words
    work.execute(
        "w.door = replace(w.door, limits=replace(w.door.limits, travel_extended=0.3),"
        " struts=(replace(s, strut=replace(s.strut, rating=400.0)),))"
    )
    work.at_rest()
    expect(work.node.locator(".sk-window-fails:visible")).to_have_text(
        "Fails at every rating: stroke kept extended."
    )
    for words in work.node.locator(".sk-breaks-first").all_inner_texts()[:2]:
        assert "breaks next" in words or "no further one of these rules" in words


def test_a_door_without_struts_is_drawn_and_undone(work: Work) -> None:
    """There is no chart of lengths then; the fixture reads what the page threw."""
    work.execute(
        "from dataclasses import replace\nfrom strutkit import bench\n"
        "v = bench(replace(w.door, struts=(), conditions=()))\nplace.children = [w, v]"
    )
    bare = work.page.locator(".strutkit-bench").nth(1)
    expect(bare).to_contain_text("No strut yet")
    expect(bare.locator(".sk-moment path[data-curve=weight_moment]")).to_be_visible()
    work.execute("v.door = replace(v.door, name='Bare')")
    expect(bare.locator(".sk-name span")).to_have_text("Bare")
    bare.get_by_role("button", name="Undo").click()
    expect(bare.locator(".sk-name span")).to_have_text("Market van, rear hatch")
    expect(bare).to_have_attribute("data-rest", "true", timeout=20_000)


def test_home_and_end_go_to_the_ends_of_the_rating(work: Work) -> None:
    rating = work.node.get_by_role("slider", name="Rating")
    for key, end in (("Home", "aria-valuemin"), ("End", "aria-valuemax")):
        rating.focus()
        reached = rating.get_attribute(end)
        work.page.keyboard.press(key)
        expect(rating).to_have_attribute("aria-valuenow", str(reached))
        work.at_rest()
        drawn = float(work.execute("print(w.door.struts[0].strut.rating)"))
        assert drawn == float(str(reached)) == round(drawn)
        work.button("Undo").click()
        work.at_rest()
    for beyond in (-900, 900):
        box = rating.bounding_box()
        assert box is not None
        work.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        work.page.mouse.down()
        work.page.mouse.move(box["x"] + beyond, box["y"], steps=4)
        work.page.mouse.up()
        work.at_rest()
        assert float(work.execute("print(w.door.struts[0].strut.rating)")) % 5.0 == 0.0


def test_a_button_is_named_by_the_word_on_it(work: Work) -> None:
    """WCAG 2.2, 2.5.3 Label in Name: who says what is written there presses that button."""
    tools = work.node.locator(".sk-tool").all()
    assert len(tools) == 5
    for one in tools:
        assert one.inner_text().strip().lower() in (one.get_attribute("aria-label") or "").lower()


def test_the_boxes_stand_in_one_row_in_either_unit(work: Work) -> None:
    work.page.set_viewport_size({"width": 1440, "height": 900})
    boxes = work.node.locator(".sk-boxes")
    place = "(node) => [node.offsetHeight, node.scrollWidth <= node.clientWidth]"
    before = boxes.evaluate(place)
    work.button("inch").click()
    work.at_rest()
    assert boxes.evaluate(place) == before
    assert before[1]


def test_a_button_stays_under_the_finger_until_its_click(work: Work) -> None:
    """A number that does not fit is answered meanwhile: the message line grows after the click."""
    work.page.set_viewport_size({"width": 800, "height": 1500})
    work.at_rest()
    use = work.button("Use 400 N")
    work.box("inward").fill("900")
    use.scroll_into_view_if_needed()
    line, place = work.line.bounding_box(), use.bounding_box()
    assert line is not None
    assert place is not None
    work.page.mouse.move(place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)
    work.page.mouse.down()
    work.page.wait_for_function(
        "() => performance.now() > (window.until ??= performance.now() + 500)"
    )
    assert use.bounding_box() == pytest.approx(place, abs=1.0)
    work.page.mouse.up()
    expect(use).to_have_count(0)
    work.at_rest()
    assert work.execute("print(w.door.struts[0].strut.rating)") == "400.0"
    grown = work.line.bounding_box()
    assert grown is not None
    assert grown["height"] > line["height"]
    expect(work.line).to_contain_text("900 mm inward (door side, left)")
