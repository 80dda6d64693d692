"""The page without a notebook: what was typed and is not in the door is shown and said."""

import pytest
from playwright.sync_api import Page

from tests.live.conftest import BOXES, run

UNTAKEN = """
    const edit = { place: 0, typed: { mount: 'panel', axis: 0 } };
    const untaken = [{ words: '24 mm inward (door side, one)', why: 'Too long.', read: true,
        edit }];
    type(inward, '24');
    await answered(asked('commit')[0], { changed: false, fault: 'Too long.', design: 'd',
        kept: true, untaken });
    answer(asked('scene').at(-1), { layout: null, scene: store.scene, map_keys: {},
        state: { untaken } });
    await frame();
"""


@pytest.fixture
def page(fresh_store: Page) -> Page:
    return fresh_store


def test_a_number_that_was_not_taken_is_said_whatever_follows(page: Page) -> None:
    """900 does not fit; 107 in the next box does. A file that is saved then says it as well."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '900');
        type(up, '107');
        const [first, second] = asked('commit');
        const edit = { place: 0, typed: { mount: 'panel', axis: 0 } };
        const untaken = [{ words: '900 mm inward (door side, one)', why: 'Too short.', read: true,
            edit }];
        const refused = { changed: false, fault: 'Too short.', design: 'd', kept: true };
        await answered(first, { ...refused, untaken });
        await answered(second, { untaken });
        const message = new Message(store);
        store.verdict = { findings: [{ state: 'passes' }], judged: true };
        const said = message.line();
        const saving = store.save('save', { path: 'x' });
        answer(asked('save')[0], { layout: null, file: 'x', untaken });
        message.update();
        message.dismiss.click();
        answer(asked('drop')[0], { layout: null, untaken: [] });
        await frame();
        return [said.words, said.more, (await saving).besides, message.line().words];
        """,
    )
    assert found == [
        "Not in the door: 900 mm inward (door side, one).",
        "It does not fit yet and will be tried again with the next number. Too short.",
        "Not in it, as it does not fit: 900 mm inward (door side, one).",
        "All that is judged passes.",
    ]


def test_a_text_that_cannot_be_read_stays_in_its_box_and_is_said(page: Page) -> None:
    """Whatever else is done: another box, another mount, undo. Dismissed, it is given up; typed
    over before its answer it is gone."""
    found = run(
        page,
        BOXES
        + """
        const message = new Message(store);
        const one = { words: '31,5 inward (door side, one)', why: 'It has a comma.', read: false,
            edit: { place: 0, typed: { mount: 'panel', axis: 0, text: '31,5' } } };
        const shown = () => [inward.value, inward.getAttribute('aria-invalid')];
        type(inward, '31,5');
        await answered(asked('commit')[0], { changed: false, unread: 'It has a comma.',
            untaken: [one] });
        const seen = [shown()];
        type(up, '7');
        store.change('undo');
        store.select(0, 'frame');
        seen.push(shown());
        store.select(0, 'panel');
        seen.push(shown());
        const { words, more, boxes: ofBoxes } = message.line();
        message.update();
        message.dismiss.click();
        answer(asked('drop')[0], { layout: null, untaken: [] });
        await frame();
        boxes.update();
        seen.push(shown());
        type(inward, 'zz');
        type(inward, '33');
        const [, , first] = asked('commit');
        await answered(first, { changed: false, unread: 'zz', untaken: [{ ...one,
            edit: { place: 0, typed: { mount: 'panel', axis: 0, text: 'zz' } } }] });
        seen.push(shown());
        return [seen, words, more, ofBoxes];
        """,
    )
    assert found == [
        [["31,5", "true"], ["0", None], ["31,5", "true"], ["35", None], ["33", None]],
        "Cannot be read: 31,5 inward (door side, one).",
        "It has a comma. Nothing is saved until it is mended, or dismissed.",
        [[0, "panel", 0]],
    ]


def test_the_number_that_stands_there_typed_over_one_that_waits_is_sent(page: Page) -> None:
    """Without one that waits it is nothing new."""
    found = run(
        page,
        BOXES
        + UNTAKEN
        + """
        const shown = inward.value;
        type(up, up.value);
        type(inward, shown);
        return [shown, asked('commit').map((one) => one.edit.typed.text)];
        """,
    )
    assert found == ["35", ["24", "35"]]


def test_escape_in_a_box_gives_up_what_waits_for_it(page: Page) -> None:
    """And what is on its way; the place that does not fit is drawn no more."""
    found = run(
        page,
        BOXES
        + UNTAKEN
        + """
        key(up, 'Escape');
        const none = asked('drop').length;
        key(inward, 'Escape');
        const refused = [store.refused !== null];
        answer(asked('drop')[0], { layout: null, untaken: [] });
        await frame();
        refused.push(store.refused !== null);
        type(up, '7');
        key(up, 'Escape');
        return [none, asked('drop').flatMap((one) => one.boxes), refused, store.state.untaken];
        """,
    )
    assert found == [0, [[0, "panel", 0], [0, "panel", 1]], [True, False], []]


def test_what_else_the_line_says_hides_no_number_that_waits(page: Page) -> None:
    """Another message, or a door that cannot be swept."""
    found = run(
        page,
        BOXES
        + UNTAKEN
        + """
        const message = new Message(store);
        store.refused = null;
        store.notice = { words: '240 fits now and is taken.', more: 'Undo.' };
        const told = [message.line().more];
        store.notice = null;
        store.fault = 'Too short. Move it.';
        told.push(message.line().more);
        return told;
        """,
    )
    also = "Not in the door: 24 mm inward (door side, one)."
    assert found == [f"Undo. {also}", f"Move it. {also}"]


def test_a_text_that_was_let_go_leaves_the_box_in_use(page: Page) -> None:
    """Entered, and given up by another door: the box shows that door; half a number stays."""
    found = run(
        page,
        BOXES
        + """
        inward.focus();
        inward.value = '31,5';
        inward.dispatchEvent(new Event('input'));
        inward.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter' }));
        const one = { words: 'w', why: 'y', read: false,
            edit: { place: 0, typed: { mount: 'panel', axis: 0, text: '31,5' } } };
        await answered(asked('commit')[0], { changed: false, unread: 'y', untaken: [one] });
        const shown = [inward.value];
        store.state = { untaken: [] };
        boxes.rebuild();
        shown.push(inward.value, document.activeElement === inward);
        inward.value = '3';
        inward.dispatchEvent(new Event('input'));
        boxes.update();
        return [...shown, inward.value];
        """,
    )
    assert found == ["31,5", "35", True, "3"]


def test_a_number_that_fits_with_the_next_is_told_of(page: Page) -> None:
    """In the line itself, and beside the file."""
    found = run(
        page,
        BOXES
        + UNTAKEN
        + """
        type(up, '7');
        await answered(asked('commit')[1], { joined: [untaken[0].words], untaken: [] });
        store.verdict = { findings: [{ state: 'passes' }], judged: true };
        const { words } = new Message(store).line();
        const saving = store.save('save', { path: 'x' });
        answer(asked('save')[0], { layout: null, file: 'x', untaken: [] });
        return [words, (await saving).besides];
        """,
    )
    assert found == ["24 mm inward (door side, one) fits now and is taken."] * 2


def test_papers_say_which_number_is_not_in_them(page: Page) -> None:
    """The message line may be scrolled away above them."""
    found = run(
        page,
        BOXES
        + UNTAKEN
        + """
        const papers = new Papers(store);
        papers.update();
        const said = [papers.missing.textContent, papers.missing.hidden];
        said.push(store.besides({ untaken: [...untaken, { words: '31,5 up', read: false }] }));
        store.state = { untaken: [] };
        papers.update();
        return [said, papers.missing.hidden];
        """,
    )
    words = "Not in it, as it does not fit: 24 mm inward (door side, one)."
    both = "Not in it: 24 mm inward (door side, one); 31,5 up."
    assert found == [[words, False, both], True]


def test_a_text_that_is_given_up_leaves_its_box_at_once(page: Page) -> None:
    """Whatever is drawn before Python answers; and where Python says that it waits, it is back."""
    found = run(
        page,
        BOXES
        + """
        const one = { words: 'w', why: 'y', read: false,
            edit: { place: 0, typed: { mount: 'panel', axis: 0, text: 'zz' } } };
        store.state = { untaken: [one] };
        boxes.update();
        const shown = [inward.value];
        key(inward, 'Escape');
        boxes.update();
        shown.push(inward.value);
        answer(asked('drop')[0], { layout: null, untaken: [one] });
        await frame();
        return [...shown, inward.value];
        """,
    )
    assert found == ["zz", "35", "zz"]
