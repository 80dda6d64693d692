"""Forms of files and papers: the focus stays where the hand is, and no answer is lost."""

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.live.conftest import DOORS, Bench, run

FORM = """
    store.state = { path: 'hatch.toml', sheet_path: 'hatch.pdf' };
    const form = new FileForm(store);
    const opener = document.createElement('button');
    const box = document.createElement('input');
    document.body.replaceChildren(opener, box, form.node);
    const reply = async (more) => {
        answer(sent.findLast((one) => ['save', 'sheet', 'open'].includes(one.kind)),
            { layout: null, ...more });
        await frame();
    };
    const said = () => store.notice && [store.notice.words, store.notice.more];
    const here = () => [form.node.hidden, form.words.textContent];
"""
PAPERS = """
    const papers = new Papers(store);
    const opener = document.createElement('button');
    const box = document.createElement('input');
    document.body.replaceChildren(opener, box, papers.node);
    papers.toggle(opener);
    const [look] = sent.filter((one) => one.kind === 'paper');
    answer(look, { layout: null, pictures: ['data:,', 'data:,'], design: 'd' });
    await frame();
    const reply = async (more) => {
        answer(sent.findLast((one) => one.save), { layout: null, folder: '/f', ...more });
        await frame();
    };
    const said = () => store.notice && [store.notice.words, store.notice.more];
"""


@pytest.fixture
def page(fresh_store: Page) -> Page:
    return fresh_store


@pytest.mark.parametrize("kind", ["save", "sheet", "open"])
@pytest.mark.parametrize(
    ("hand", "focused"),
    [
        ("box.focus()", "box"),
        ("", "opener"),
        ("form.close.focus()", "opener"),
    ],
)
def test_a_form_that_closes_takes_the_focus_out_of_nothing_else(
    page: Page, kind: str, hand: str, focused: str
) -> None:
    """The button that sends is not to be clicked while its answer is waited for."""
    found = run(
        page,
        f"""{FORM}
        form.toggle('{kind}', opener);
        form.go.focus();
        form.send();
        await frame();
        const waits = form.node.contains(document.activeElement);
        {hand};
        await reply({{ file: 'hatch.toml', folder: '/f' }});
        return [waits, form.node.hidden, document.activeElement === {focused}];
        """,
    )
    assert found == [True, True, True]


def test_the_focus_stays_in_a_form_whose_question_goes(page: Page) -> None:
    found = run(
        page,
        f"""{FORM}
        form.toggle('sheet', opener);
        form.send();
        await reply({{ exists: 'hatch.pdf' }});
        form.replace.focus();
        form.replace.click();
        await frame();
        return [form.replace.hidden, form.node.contains(document.activeElement)];
        """,
    )
    assert found == [True, True]


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("fault: 'No such folder.'", ["away/x.toml was not saved.", "No such folder."]),
        ("exists: 'x.toml'", ["x.toml is there already; nothing was saved.", None]),
        (
            "exists: 'x.toml', changed: true",
            [
                "x.toml was changed by another hand since it was opened here; nothing was saved.",
                None,
            ],
        ),
    ],
)
@pytest.mark.parametrize(
    ("then", "shown"),
    [
        ("form.hide()", [True, ""]),
        ("form.toggle('sheet', opener)", [False, ""]),
    ],
)
def test_what_comes_after_its_form_was_closed_is_said_in_the_message_line(
    page: Page, answer: str, said: list[str | None], then: str, shown: list[Any]
) -> None:
    found = run(
        page,
        f"""{FORM}
        form.toggle('save', opener);
        form.path.value = 'away/x.toml';
        form.send();
        {then};
        await reply({{ {answer} }});
        return [here(), form.replace.hidden, said()];
        """,
    )
    assert found == [shown, True, said]


def test_a_door_that_cannot_be_opened_is_said_where_its_form_is_closed(page: Page) -> None:
    found = run(
        page,
        f"""{FORM}
        const open = async (then) => {{
            form.toggle('open', opener);
            form.send();
            then();
            await reply({{ fault: 'There is no file.' }});
            return [here(), said()?.[0]];
        }};
        return [await open(() => form.hide()), await open(() => {{}})];
        """,
    )
    assert found == [[[True, ""], "There is no file."], [[False, "There is no file."], None]]


def test_a_file_that_is_saved_closes_no_other_form(page: Page) -> None:
    """Neither that of another kind, nor its own where another name was typed since."""
    found = run(
        page,
        f"""{FORM}
        const save = async (then) => {{
            form.toggle('save', opener);
            form.send();
            then();
            await reply({{ file: 'hatch.toml', folder: '/f' }});
            const left = [form.kind, form.path.value, said()[0]];
            form.hide();
            return left;
        }};
        const write = (text) => {{ form.path.value = text; }};
        return [await save(() => {{ form.toggle('sheet', opener); write('mine.pdf'); }}),
            await save(() => write('next.toml')), await save(() => {{}})];
        """,
    )
    words = "Saved hatch.toml."
    assert found == [
        ["sheet", "mine.pdf", words],
        ["save", "next.toml", words],
        [None, "hatch.toml", words],
    ]


@pytest.mark.parametrize(
    ("hand", "focused"), [("box.focus()", "box"), ("papers.close.focus()", "opener")]
)
def test_papers_that_close_take_the_focus_out_of_nothing_else(
    page: Page, hand: str, focused: str
) -> None:
    found = run(
        page,
        f"""{PAPERS}
        {hand};
        papers.close.click();
        return [papers.node.hidden, document.activeElement === {focused}];
        """,
    )
    assert found == [True, True]


def test_the_focus_stays_in_the_papers(page: Page) -> None:
    """The last page is turned to, a paper is saved, an earlier design is looked at again."""
    found = run(
        page,
        f"""{PAPERS}
        const press = async (button) => {{
            button.focus();
            button.click();
            await frame();
            return [button.disabled, papers.node.contains(document.activeElement)];
        }};
        const turned = await press(papers.next);
        const saves = await press(papers.save);
        papers.shows.design = 'earlier';
        papers.update();
        const again = await press(papers.again);
        answer(sent.at(-1), {{ layout: null, pictures: ['data:,'], design: 'd' }});
        await frame();
        return [turned, saves, again, papers.old.hidden,
            papers.node.contains(document.activeElement)];
        """,
    )
    assert found == [[True, True], [True, True], [False, True], True, True]


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("fault: 'No room.'", ["The drawing was not saved.", "No room."]),
        ("exists: 'h.dxf'", ["h.dxf is there already; nothing was saved.", None]),
        ("file: 'h.dxf'", ["Saved h.dxf.", "/f"]),
    ],
)
def test_what_comes_after_the_papers_were_closed_is_said_in_the_message_line(
    page: Page, answer: str, said: list[str | None]
) -> None:
    found = run(
        page,
        f"""{PAPERS}
        papers.kind.value = 'drawing';
        papers.save.click();
        papers.close.click();
        await reply({{ {answer} }});
        return said();
        """,
    )
    assert found == said


def focus(bench: Bench) -> str:
    """The class, row or name of what has the focus; nothing where it is not in the view."""
    return str(
        bench.node.evaluate(
            """(node) => {
                const one = document.activeElement;
                return node.contains(one)
                    ? one.getAttribute('aria-label') ?? (one.className || one.textContent) : '';
            }"""
        )
    )


def test_half_a_number_stays_in_its_box_when_the_sheet_is_written(
    open_plain_bench: Any, tmp_path: Path
) -> None:
    """30.5, its first letter before the sheet is written and the rest after."""
    path = tmp_path / "hatch.toml"
    path.write_bytes((DOORS / "rear-hatch.toml").read_bytes())
    bench = open_plain_bench(path)
    bench.button("Save the sheet").click()
    bench.node.get_by_role("textbox", name="Save the sheet as").fill(str(tmp_path / "h.pdf"))
    bench.node.locator(".sk-form button[type=submit]:visible").click()
    box = bench.node.get_by_label(re.compile("left, mount on panel, inward"))
    box.click()
    box.press("Control+a")
    bench.page.keyboard.type("3")
    expect(bench.line).to_contain_text("Saved h.pdf.", timeout=20_000)
    bench.page.keyboard.type("0.5")
    bench.page.keyboard.press("Enter")
    bench.at_rest()
    place = bench.execute("print(round(-1e3 * w.door.struts[0].panel_mount[0], 6))")
    assert place.strip() == "30.5"


def test_keys_stay_in_the_view_where_what_had_them_goes(open_plain_bench: Any) -> None:
    """Use, Undo to the last step, and Back to it, by keyboard; Tab leads on from there."""
    bench = open_plain_bench(DOORS / "rear-hatch.toml")
    press = bench.page.keyboard.press
    bench.button("Use 400 N").focus()
    press("Enter")
    expect(bench.button("Use 400 N")).to_have_count(0)
    bench.at_rest()
    assert focus(bench).startswith("400 N now")
    press("Tab")
    assert focus(bench).startswith("Use ")
    bench.button("Undo").focus()
    press("Enter")
    expect(bench.button("Undo")).to_be_disabled()
    bench.at_rest()
    assert focus(bench) == "sk-tools"
    press("Tab")
    assert focus(bench) == "Redo"
    box = bench.node.get_by_label(re.compile("left, mount on panel, inward"))
    box.fill("900")
    box.press("Enter")
    back = bench.button("Back to it")
    back.focus()
    press("Enter")
    expect(back).to_be_hidden()
    bench.at_rest()
    assert focus(bench).startswith("sk-message")


def test_rows_that_come_anew_leave_the_focus_where_it_is(
    open_plain_bench: Any, tmp_path: Path
) -> None:
    """On the button of the same strut; and outside the view, where the hand types there."""
    moved = tmp_path / "hatch.toml"
    text = (DOORS / "rear-hatch.toml").read_text(encoding="utf-8")
    moved.write_text(text.replace("-24, -610", "-25, -610"), encoding="utf-8")
    bench = open_plain_bench(DOORS / "rear-hatch.toml")
    bench.page.evaluate("document.body.append(document.createElement('textarea'))")
    bench.button("Use 400 N").evaluate("(node) => { node.focus(); window.former = node; }")
    bench.execute(f"w.door = read_door({str(moved)!r})")
    bench.page.wait_for_function("() => !window.former.isConnected")
    assert focus(bench) == "Use 400 N"
    bench.page.keyboard.press("Enter")
    bench.page.locator("textarea").focus()
    expect(bench.button("Use 400 N")).to_have_count(0)
    bench.at_rest()
    assert bench.page.evaluate("document.activeElement.localName") == "textarea"


def test_pages_that_come_leave_what_was_said_of_a_file(page: Page) -> None:
    """Saved, and another paper chosen at once: its pages come after the answer about the file."""
    found = run(
        page,
        f"""{PAPERS}
        papers.send({{ paper: 'sheet', save: true }});
        papers.kind.value = 'card';
        papers.look();
        const draws = papers.words.textContent;
        await reply({{ file: 'h.pdf' }});
        const words = [papers.words.textContent];
        answer(sent.findLast((one) => one.kind === 'paper' && !one.save), {{ layout: null,
            pictures: ['data:,'], design: 'd' }});
        await frame();
        return [draws !== words[0], ...words, papers.words.textContent];
        """,
    )
    assert found == [True, *["Saved h.pdf in /f. "] * 2]
