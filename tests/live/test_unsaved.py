"""What the browser keeps of unsaved moves."""

import pytest
from playwright.sync_api import Page

from tests.live.conftest import run

KEEP = """
    const changes = ['a', 'b', 'c', 'd'].map((one) => `${one}: 1 kg becomes 2 kg`);
    changes.push('x'.repeat(300));
    const kept = (more) => localStorage.setItem('strutkit.kept.k', typeof more === 'string' ? more
        : JSON.stringify({ design: 'moved', origin: 'o', session: 'before', time: Date.now() - 5,
            ...more }));
    const begun = async (more) => {
        localStorage.clear();
        kept(more);
        sent.length = 0;
        store.notice = null;
        store.unsaved.found = null;
        const done = store.unsaved.bringBack();
        const asked = sent.at(-1);
        const { client, seq } = asked ?? {};
        if (asked) store.hear({ client, seq, restored: true, changes }, []);
        await done;
        return [sent.map((one) => [one.kind, one.design]), store.notice?.words ?? null,
            store.notice?.more ?? null];
    };
"""


def test_unsaved_moves_of_an_earlier_kernel_are_restored(page: Page) -> None:
    asked, words, _ = run(page, f"{KEEP} return begun({{}});")
    assert asked == [["restore", "moved"]]
    assert words == "Your unsaved moves were restored."


@pytest.mark.parametrize(
    ("kept", "rerun", "changed"),
    [
        ("{ origin: 'another' }", False, True),
        ("{ session: 's' }", True, False),
        ("{ origin: 'another', session: 's' }", True, True),
    ],
)
def test_a_kept_design_is_offered_with_what_it_changes(
    page: Page, kept: str, rerun: bool, changed: bool
) -> None:
    """Where the door was changed since, the cell was run again, or both; each change in whole."""
    asked, words, more = run(page, f"{KEEP} return begun({kept});")
    assert asked == [["differs", "moved"]]
    assert "is kept in this browser" in words
    assert ("The cell was run again." in more) == rerun
    assert ("It was made on another door than this one" in more) == changed
    lines = [*(f"{one}: 1 kg becomes 2 kg" for one in "abcd"), "x" * 300]
    assert more.splitlines()[1:] == [f"• {one}" for one in lines]
    assert "Undo takes back what it changes:" in more


@pytest.mark.parametrize(
    "kept",
    [
        "{ design: 'd' }",
        "{ design: 3 }",
        "{ design: 'x'.repeat(200001) }",
        "{ time: Date.now() - 31 * 24 * 3600 * 1000 }",
        "{ time: Date.now() + 3600 * 1000 }",
        "{ time: 'never' }",
        "'null'",
        "'not JSON'",
        "'[1, 2'",
    ],
)
def test_what_is_kept_otherwise_is_left_alone(page: Page, kept: str) -> None:
    """The same design, too long, too old, of no true time, or no record."""
    assert run(page, f"{KEEP} return begun({kept});") == [[], None, None]


def test_the_browser_keeps_few_designs_and_none_that_is_saved(page: Page) -> None:
    found = run(
        page,
        """
        localStorage.setItem('other', 'stays');
        for (let i = 0; i < 30; i += 1) {
            localStorage.setItem(`strutkit.kept.${i}`, i % 3 ? 'no record' : JSON.stringify({
                design: 'd', origin: 'o', session: 's', time: Date.now() - 1000 * i }));
        }
        store.state = { unsaved: true };
        traits.design = 'moved';
        store.unsaved.keep();
        const count = () => Object.keys(localStorage).filter((one) => one.startsWith('strutkit'));
        const kept = [count().length, JSON.parse(localStorage.getItem('strutkit.kept.k')).design,
            localStorage.getItem('strutkit.kept.0') !== null];
        store.state = { unsaved: false };
        store.unsaved.keep();
        return [kept, localStorage.getItem('strutkit.kept.k'), localStorage.getItem('other')];
        """,
    )
    assert found == [[20, "moved", True], None, "stays"]


def test_moves_that_python_has_not_answered_are_kept(page: Page) -> None:
    """What was let go, and what is in hand when the kernel goes."""
    found = run(
        page,
        """
        const kept = () => JSON.parse(localStorage.getItem('strutkit.kept.k')).moves
            .map((one) => one.edit.panel[0]);
        store.hold(0, 'panel');
        store.move({ place: 0, panel: [7, 0, 0] });
        store.commit();
        const released = kept();
        store.hold(0, 'panel');
        store.move({ place: 0, panel: [8, 0, 0] });
        store.lose();
        return [released, kept()];
        """,
    )
    assert found == [[7], [7, 8]]


WAITS = "[{ words: '24 mm inward', why: 'Too long.', read: true, edit: { place: 0 } }]"


def test_a_number_that_waits_is_kept_though_nothing_else_is(page: Page) -> None:
    """With a new kernel it comes back; in a page that is loaded again Python has it still."""
    found = run(
        page,
        f"""{KEEP}
        store.state = {{ unsaved: false, untaken: {WAITS} }};
        store.unsaved.keep();
        const inBrowser = JSON.parse(localStorage.getItem('strutkit.kept.k'));
        store.state = {{ unsaved: false, untaken: [] }};
        const before = await begun({{ design: 'd', untaken: {WAITS} }});
        const restored = sent.at(-1).untaken.length;
        const again = await begun({{ design: 'd', session: 's', untaken: {WAITS} }});
        return [inBrowser.untaken[0].why, inBrowser.moves, before[0], restored, again[0]];
        """,
    )
    assert found == ["Too long.", [], [["restore", "d"]], 1, []]
