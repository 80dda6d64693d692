"""Papers from the live view: pages as pictures, safe names, never over a file unasked."""

import base64
import re
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import expect

from strutkit import Door, bench, preview
from strutkit.errors import RecordError
from strutkit.live.papers import KINDS, file_name
from tests.live.asking import Page
from tests.live.conftest import ARTEFACTS, DOORS

HEADS = {"sheet": b"\x89PNG", "drill template": b"\x89PNG", "card": b"\x89PNG", "drawing": b"<svg"}

LEAST_PAGES = {"sheet": 5, "drill template": 2, "card": 1, "drawing": 1}


@pytest.fixture
def filed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Page:
    """A page of a bench whose door file lies in a folder of its own."""
    path = tmp_path / "hatch.toml"
    path.write_bytes((DOORS / "rear-hatch.toml").read_bytes())
    return Page(bench(path), monkeypatch)


@pytest.mark.parametrize("kind", KINDS)
def test_every_paper_is_shown_and_saved_with_one_click(filed: Page, kind: str, tmp_path) -> None:
    shown = filed.ask("paper", paper=kind, page="letter")
    assert len(shown["pictures"]) >= LEAST_PAGES[kind]
    for one in shown["pictures"]:
        _, _, data = one.partition(";base64,")
        assert base64.b64decode(data).startswith(HEADS[kind])
    assert sorted(one.name for one in tmp_path.iterdir()) == ["hatch.toml"]
    saved = filed.ask("paper", paper=kind, page="letter", save=True)
    assert saved["file"] == shown["name"]
    assert (tmp_path / saved["file"]).stat().st_size > 1000
    assert filed.ask("paper", paper=kind, save=True) == {
        "client": "page", "seq": 3, "kind": "paper", "exists": saved["file"],
        "untaken": [],
    }  # fmt: skip


def test_a_paper_is_replaced_when_that_is_said(filed: Page, tmp_path) -> None:
    file = filed.ask("paper", paper="card", save=True)["file"]
    (tmp_path / file).write_text("former")
    assert filed.ask("paper", paper="card", save=True, replace=True)["file"] == file
    assert (tmp_path / file).read_bytes().startswith(b"%PDF")
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("../../etc/passwd", "etc-passwd-card.pdf"),
        ('C:\\con <x> | "q" ?*', "c-con-x-q-card.pdf"),
        ("🚪 דלת", "door-card.pdf"),
        (". . .", "door-card.pdf"),
        ("W" * 250, "w" * 60 + "-card.pdf"),
    ],
)
def test_names_of_files_are_safe(rear_hatch: Door, name: str, safe: str) -> None:
    assert file_name(replace(rear_hatch, name=name), "card") == safe


def test_an_unknown_paper_is_refused(filed: Page, tmp_path) -> None:
    assert "write one of sheet" in filed.ask("paper", paper="../x", save=True)["fault"]
    assert "write one of a4" in filed.ask("paper", paper="card", page="../a4", save=True)["fault"]
    assert sorted(one.name for one in tmp_path.iterdir()) == ["hatch.toml"]


def test_a_cell_shows_the_pages_of_a_paper(rear_hatch: Door) -> None:
    """As many pictures as pages; nothing of a hostile name gets into the cell's markup."""
    shown = preview(replace(rear_hatch, name="<script>alert(1)</script>"), "card")
    assert repr(shown) == "card, pages: 1"
    assert shown._repr_html_().count('<img src="data:image/png;base64,') == 1
    assert "<script" not in shown._repr_html_()
    with pytest.raises(RecordError, match="paper is 'map'; write one of sheet"):
        preview(rear_hatch, "map")


def test_pages_are_turned_and_saved(open_plain_bench, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "hatch.toml"
    path.write_bytes((DOORS / "rear-hatch.toml").read_bytes())
    view = open_plain_bench(path)
    node = view.node
    node.get_by_role("button", name="Look at the papers").click()
    papers = node.get_by_role("region", name="Papers")
    expect(papers.get_by_role("status")).to_have_text(re.compile(r"1 of \d+"), timeout=30_000)
    papers.get_by_role("button", name="Next page").click()
    picture = papers.get_by_role("img")
    expect(picture).to_have_attribute("alt", re.compile("sheet, page 2 of"))
    assert picture.evaluate("one => one.complete && one.naturalWidth") > 500
    papers.get_by_label("Paper", exact=True).select_option("card")
    expect(papers.get_by_role("status")).to_have_text("1 of 1", timeout=30_000)
    view.execute("from dataclasses import replace; w.door = replace(w.door, name='Moved')")
    old = papers.get_by_text("An earlier design")
    expect(old).to_be_visible()
    papers.get_by_role("button", name="Look again").click()
    expect(old).to_be_hidden(timeout=30_000)
    papers.screenshot(path=ARTEFACTS / "papers.png")
    papers.get_by_role("button", name="Save").click()
    saved = papers.get_by_role("alert")
    expect(saved).to_contain_text("moved-card.pdf in", timeout=30_000)
    papers.get_by_role("button", name="Save").click()
    expect(saved).to_contain_text("is there already")


@pytest.mark.parametrize(("ending", "head"), [(".svg", b"<svg"), (".dxf", b"")])
def test_the_ending_decides_what_a_drawing_is_saved_as(
    filed: Page, tmp_path, ending: str, head: bytes
) -> None:
    saved = filed.ask("paper", paper="drawing", save=True, ending=ending)
    assert saved["file"].endswith(f"-drawing{ending}")
    data = (tmp_path / saved["file"]).read_bytes()
    assert data.lstrip().startswith(head)
    assert (b"ENTITIES" in data) == (ending == ".dxf")


@pytest.mark.parametrize(("paper", "ending"), [("drawing", "/../x.svg"), ("sheet", ".svg")])
def test_an_ending_that_a_paper_has_not_is_refused(
    filed: Page, tmp_path, paper: str, ending: str
) -> None:
    fault = filed.ask("paper", paper=paper, save=True, ending=ending)["fault"]
    assert "write one of ." in fault
    assert sorted(one.name for one in tmp_path.iterdir()) == ["hatch.toml"]
