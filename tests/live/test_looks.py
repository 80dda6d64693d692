"""How the live view looks: hostile and long names, contrast, dark, narrow, touch, exports."""

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from strutkit.live import finder_files, page_files, start_files
from strutkit.show.style import COLOURS, contrast
from tests.lab import Lab
from tests.live.conftest import DOORS, TALL_LAB, WIDE, Bench, shown
from tests.live.drawn import given_again

Opener = Callable[..., Bench]

TEXTS = """(root) => {
    const seen = [];
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode.parentElement;
        const text = walker.currentNode.textContent.trim();
        if (!text || !node.checkVisibility() || node.closest('.sk-hidden')) continue;
        const style = getComputedStyle(node);
        let ground = null;
        for (let one = node; one && !ground; one = one.parentElement) {
            const colour = getComputedStyle(one).backgroundColor;
            if (!/, 0\\)$|transparent/.test(colour)) ground = colour;
        }
        const drawn = node instanceof SVGElement;
        seen.push({ text, colour: drawn ? style.fill : style.color,
            ground: ground ?? 'rgb(255, 255, 255)', size: parseFloat(style.fontSize) });
    }
    return seen;
}"""


def hexadecimal(colour: str) -> str:
    numbers = [float(one) for one in colour[colour.index("(") + 1 : -1].split(",")[:3]]
    return "#" + "".join(f"{round(one):02X}" for one in numbers)


def assert_readable(bench: Bench) -> None:
    texts = bench.node.evaluate(TEXTS)
    assert len(texts) > 80
    weak = [
        (one["text"], one["colour"], one["ground"])
        for one in texts
        if contrast(hexadecimal(one["colour"]), hexadecimal(one["ground"])) < 4.5
    ]
    assert weak == []
    small = [(one["text"], one["size"]) for one in texts if one["size"] < 11.5]
    assert small == []


def set_theme(page: Page, name: str) -> None:
    page.evaluate("(theme) => jupyterapp.commands.execute('apputils:change-theme', {theme})", name)
    dark = str("Dark" in name).lower()
    page.wait_for_function(
        "(dark) => String(document.querySelector('.strutkit-bench')"
        ".classList.contains('sk-dark')) === dark",
        arg=dark,
    )


UNSWEPT = """from dataclasses import replace
strut = replace(w.door.struts[0], frame_mount=(0.9, -0.61, -0.9))
bench(replace(w.door, struts=(strut,)))"""

MET = """(root) => {
    const bad = [];
    for (const chart of root.querySelectorAll('.sk-chart:has(.sk-curve-labels)')) {
        const left = chart.getBoundingClientRect().x;
        const texts = [...chart.querySelectorAll('text.sk-label')]
            .filter((one) => one.textContent && getComputedStyle(one).visibility === 'visible')
            .map((one) => [one.textContent, one.getBoundingClientRect()]);
        texts.forEach(([text, box], i) => {
            if (box.left < left + Number(chart.dataset.left) - 1
                || box.right > left + Number(chart.dataset.right) + 4) bad.push(`${text}: out`);
            for (const [other, its] of texts.slice(i + 1)) {
                const across = Math.min(box.right, its.right) - Math.max(box.left, its.left);
                const down = Math.min(box.bottom, its.bottom) - Math.max(box.top, its.top);
                if (across > 1 && down > 3) bad.push(`${text} on ${other}`);
            }
        });
    }
    return bad;
}"""
"""Labels of the charts, the cursor's figures among them, that lie on each other or past the plot;
boxes of letters are a few pixels higher than the letters."""


def assert_labels_apart(bench: Bench, *angles: float) -> None:
    for angle in angles:
        bench.execute(f"w.angle = {math.radians(angle)}")
        bench.page.wait_for_function(
            f"(root) => ({MET})(root).length === 0", arg=bench.node.element_handle(), timeout=5000
        )


HOSTILE = f"bench(read_door({str(DOORS / 'hostile-names.toml')!r}))"


@pytest.fixture
def wide(lab_bench: Bench) -> Bench:
    lab_bench.page.set_viewport_size(TALL_LAB)
    given_again(lab_bench)
    return lab_bench


@pytest.fixture(scope="module")
def plain(open_plain_bench: Opener) -> Bench:
    return open_plain_bench(DOORS / "rear-hatch.toml", UNSWEPT)


def test_labels_and_figures_of_charts_lie_apart_and_inside(plain: Bench) -> None:
    assert_labels_apart(plain, 0, 24, 61, 98)
    plain.execute("w.open_example('counter-flap'); w.unit = 'inch'")
    expect(plain.node.locator(".sk-name span")).to_have_text("Market trailer, counter flap")
    assert_labels_apart(plain, 10, 41, 90)
    plain.execute(f"w.open_door({str(DOORS / 'two-beside.toml')!r}); w.unit = 'mm'")
    expect(plain.node.locator(".sk-name span")).to_have_text("Two beside")
    assert_labels_apart(plain, 31, 69)
    plain.execute(f"w.open_door({str(DOORS / 'rear-hatch.toml')!r})")
    expect(plain.node.locator(".sk-name span")).to_have_text("Market van, rear hatch")
    plain.at_rest()


def test_a_door_that_cannot_be_swept_says_why_and_can_be_mended(plain: Bench) -> None:
    node = plain.page.locator(".strutkit-bench").nth(1)
    expect(node.locator(".sk-name span")).to_have_text("Market van, rear hatch")
    expect(node.locator(".sk-message strong")).to_have_text(re.compile("too short when shut"))
    expect(node.get_by_role("slider", name="left, mount on frame", exact=True)).to_be_visible()
    expect(node.locator(".sk-area-charts")).to_be_hidden()
    node.get_by_label("Mount", exact=True).select_option("0 frame")
    box = node.get_by_label("left, mount on frame, outward, mm")
    box.fill("-88")
    box.press("Enter")
    expect(node.locator(".sk-message strong")).to_have_text(re.compile("too short when shut"))


BOXES = """(root) => {
    const list = root.querySelector('.sk-boxes select');
    const alone = list.cloneNode(true);
    alone.style.cssText = 'position: absolute; visibility: hidden';
    list.parentNode.append(alone);
    const cut = alone.offsetWidth - list.offsetWidth;
    alone.remove();
    const tops = [...root.querySelectorAll('.sk-boxes input')].map((one) => one.offsetTop);
    return [cut, new Set(tops).size, root.scrollWidth - root.clientWidth];
}"""
"""How much of the list of mounts is cut off [px], the rows that the three numbers of a mount take,
and how far the page can be scrolled sideways [px]."""


def test_the_list_of_mounts_shows_the_strut_in_either_unit(plain: Bench) -> None:
    plain.execute("w.open_example('cabin-door')")
    expect(plain.node.locator(".sk-name span")).to_have_text("Light two-seater, cabin door")
    for width in (1056, 848, 438, 408):
        plain.page.set_viewport_size({"width": width, "height": 900})
        for unit in ("inch", "mm"):
            plain.execute(f"w.unit = {unit!r}")
            expect(plain.node.locator(".sk-boxes .sk-unit")).to_have_text(unit)
            plain.page.wait_for_timeout(100)
            assert plain.node.evaluate(BOXES) == [0, 1, 0], (width, unit)
    plain.page.set_viewport_size(WIDE)
    plain.execute(f"w.open_door({str(DOORS / 'rear-hatch.toml')!r})")
    expect(plain.node.locator(".sk-name span")).to_have_text("Market van, rear hatch")
    plain.at_rest()


def test_every_text_can_be_read_in_light_and_dark(wide: Bench) -> None:
    wide.execute("w.angle = 0.73")
    assert_readable(wide)
    wide.shoot("light-wide")
    set_theme(wide.page, "JupyterLab Dark")
    assert_readable(wide)
    wide.shoot("dark-wide")
    set_theme(wide.page, "JupyterLab Light")


def test_colours_follow_the_ground_not_the_name_of_the_theme(wide: Bench) -> None:
    ground = (
        "(node, colour) => { node.closest('.jp-OutputArea').style.background = colour;"
        " document.body.classList.toggle('poke'); }"
    )
    wide.node.evaluate(ground, "#102030")
    expect(wide.node).to_have_class(lambda_class("sk-dark"))
    wide.node.evaluate(ground, "#7a7a7a")
    expect(wide.node).to_have_class(lambda_class("sk-own-ground"))
    assert_readable(wide)
    wide.node.evaluate(ground, "")
    expect(wide.node).not_to_have_class(lambda_class("sk-own-ground"))


def lambda_class(name: str) -> Any:
    return re.compile(rf"\b{name}\b")


def test_nothing_scrolls_sideways_at_any_width(wide: Bench) -> None:
    for width in (1440, 1100, 900):
        wide.page.set_viewport_size({"width": width, "height": 1000})
        wide.page.wait_for_timeout(150)
        room = wide.node.evaluate("(node) => node.scrollWidth - node.clientWidth")
        assert room <= 0, width
    wide.page.set_viewport_size({"width": 1440, "height": 1900})


def test_hostile_and_long_names_are_shown_as_written(wide: Bench, jupyterlab: Lab) -> None:
    with jupyterlab.cell(wide.page, HOSTILE):
        assert_shown_as_written(shown(wide.page, 1))
    assert jupyterlab.page_errors == []


def assert_shown_as_written(bench: Bench) -> None:
    assert bench.page.evaluate("window.broken") is None
    expect(bench.node.locator(".sk-name span")).to_contain_text("<img src=x onerror=")
    expect(bench.slider("<script>window.broken=1</script>, mount on panel")).to_be_visible()
    chosen = bench.node.get_by_label("Shown in").locator("option").nth(1)
    assert "</option></select><b onmouseover" in (chosen.text_content() or "")
    assert bench.node.locator("script, img:not(.sk-paper), iframe, b").count() == 0
    bench.node.get_by_label("Shown in").select_option(index=1)
    bench.at_rest()
    assert bench.node.evaluate("(node) => node.scrollWidth - node.clientWidth") <= 0
    assert bench.page.locator(".strutkit-still script, .strutkit-still img").count() == 0
    assert_readable(bench)
    bench.shoot("light-hostile-names")


def test_roles_have_the_contrast_that_their_use_needs() -> None:
    """WCAG 2.1: text 4.5, graphics 3, on the ground of each theme."""
    for theme in (0, 1):
        for role, colours in COLOURS.items():
            if role in ("paper", "raised", "grid"):
                continue
            least = 3.0 if role == "line" else 4.5
            for ground in ("paper", "raised"):
                found = contrast(colours[theme], COLOURS[ground][theme])
                assert found >= least, (role, ground, found)


@pytest.mark.parametrize("files", [page_files, start_files, finder_files])
def test_no_name_is_given_twice_in_a_page(files: Any) -> None:
    """Files of a page make one module, in which a later function takes an earlier one's place."""
    names = re.findall(
        r"^(?:async )?(?:function|class|const|let) (\w+)", files.module(), re.MULTILINE
    )
    assert len(names) > 50
    assert sorted(names) == sorted(set(names))
