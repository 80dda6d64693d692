"""The form in a page, and how a person works it."""

import contextlib
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect
from playwright.sync_api import TimeoutError as LookedInVain

from strutkit import check, read_door
from strutkit.decide.start.kinds import KINDS
from strutkit.decide.start.questions import questions

ARTEFACTS = Path(__file__).parent / "artefacts"
"""Where the run leaves a picture of each form and its first result."""

CELL = "import strutkit\nstart = strutkit.start_door()\nstart"

TYPED = {
    "side_door": {"length": "958 mm", "thickness": "40 mm", "pull": "45 N", "stop_angle": "60 mm"},
    "lid": {"length": "25 3/4 in", "width": "3 ft", "mass": "11.6 kg", "stop_angle": "80 deg"},
    "rear_hatch": {"length": "958 mm", "pull": "4.6 kg", "lean": "12 mm", "stop_angle": "130 mm"},
    "drop_flap": {"length": "20 in", "mass": "29 lb", "stop_angle": "0 mm"},
    "canted_side_door": {"length": "88 cm", "pull": "40 N", "lean": "90 mm", "rise": "-20 mm"},
}
"""What a builder of each kind knows; the rest is "don't know"."""


def form(page: Page) -> Locator:
    return page.locator(".strutkit-start")


def bench(page: Page) -> Locator:
    return page.locator(".strutkit-bench:not(.strutkit-start)")


def message(page: Page) -> Locator:
    return form(page).locator(".sk-message").last


def box(page: Page, name: str) -> Locator:
    return page.locator(f"#sk-box-{name}")


def row(page: Page, name: str) -> Locator:
    return form(page).locator(f'.sk-ask[data-name="{name}"]')


def says(one: Locator, words: str) -> None:
    """It holds these words and is in view. The driver reads the whole page aloud each time that
    `expect` looks in vain, so that is asked last."""
    with contextlib.suppress(LookedInVain):
        one.filter(has_text=words).wait_for(timeout=60_000)
    expect(one).to_be_visible(timeout=1000)
    expect(one).to_contain_text(words, timeout=1000)


def choose(page: Page, kind: str) -> None:
    """Choose a kind; its button keeps its ground, ink below light letters, under the mouse."""
    button = form(page).get_by_role("button", name=KINDS[kind].title, exact=True)
    button.click()
    title = KINDS[kind].title
    heading = form(page).get_by_role("heading", level=2)
    ink = heading.evaluate("(node) => getComputedStyle(node).color")
    expect(button).to_have_css("background-color", ink)
    expect(heading).to_have_text(f"Start a door: {title[0].lower()}{title[1:]}")


def key_by_key(one: Locator, text: str) -> None:
    one.click()
    one.page.keyboard.type(text)
    one.page.keyboard.press("Tab")


def written(one: Locator, text: str) -> None:
    """As from the clipboard."""
    one.fill(text)
    one.press("Tab")


def fill(
    page: Page, kind: str, typed: dict[str, str], write: Callable[[Locator, str], None] = written
) -> None:
    """Write what is known, tick "don't know" for the rest with the mouse."""
    for question in questions(KINDS[kind]):
        if question.name in typed:
            write(box(page, question.name), typed[question.name])
        else:
            row(page, question.name).get_by_label("don’t know").check()
    says(form(page).locator(".sk-status"), "filled in")


def picture(what: Locator, name: str) -> None:
    path = ARTEFACTS / f"{name}.png"
    what.screenshot(path=path)
    assert path.stat().st_size > 20_000


def row_places(page: Page) -> list[list[float]]:
    """Top and height of each numbered row."""
    return form(page).evaluate(
        "root => [...root.querySelectorAll('.sk-ask')]"
        ".map(row => [row.offsetTop, row.offsetHeight])"
    )


def walk(page: Page, kind: str, folder: Path, write: Callable[[Locator, str], None]) -> None:
    """From nothing to a saved door."""
    choose(page, kind)
    places = row_places(page)
    fill(page, kind, TYPED[kind], write)
    assert row_places(page) == places, "a row moved under the pointer"
    picture(form(page), f"form-{kind}")
    form(page).get_by_role("button", name="Suggest a start").click()
    says(message(page), "A pair,")
    expect(form(page).locator(".sk-fitting li")).to_have_count(5)
    expect(bench(page).get_by_role("slider").first).to_be_visible()
    expect(bench(page).locator(".sk-findings .sk-row").first).to_be_visible()
    picture(bench(page), f"result-{kind}")

    target = folder / f"{kind}.toml"
    form(page).get_by_role("button", name="Save as far as it goes").click()
    path = form(page).get_by_role("textbox", name="Save the door file as")
    path.press("ControlOrMeta+a")
    page.keyboard.type(str(target))
    page.keyboard.press("Enter")
    says(message(page), f"Saved {kind}.toml.")
    door = read_door(target)
    assert len(door.fitted) == 2
    assert door.assumed
    failing = [one for one in check(door) if one.ok is False]
    if failing:
        says(form(page), "does not hold every rule")


def save_sheet(page: Page, target: Path) -> None:
    bench(page).get_by_role("button", name="Save the sheet").click()
    sheet = bench(page).get_by_role("textbox", name="Save the sheet as")
    sheet.fill(str(target))
    sheet.press("Enter")
    line = bench(page).locator(".sk-message").first
    says(line, "Saved sheet.pdf")
    assert target.read_bytes().startswith(b"%PDF-")


@contextlib.contextmanager
def narrow_and_dark(page: Page, dark: Callable[[bool], Any], width: int) -> Iterator[None]:
    """The form in a narrow column of a dark page; nothing in it is cut off."""
    before = page.viewport_size
    assert before is not None
    try:
        dark(True)
        page.set_viewport_size({"width": width, "height": before["height"]})
        expect(form(page)).to_have_class(re.compile("sk-dark"))
        expect(form(page)).to_have_class(re.compile("sk-narrow"))
        cut = form(page).evaluate(
            "root => [root, ...root.querySelectorAll('.sk-ask, .sk-bar, .sk-inside, .sk-foot')]"
            ".filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.className)"
        )
        assert cut == []
        yield
    finally:
        dark(False)
        page.set_viewport_size(before)
        expect(form(page)).not_to_have_class(re.compile("sk-dark|sk-narrow"))
