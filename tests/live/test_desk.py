"""The finder's state in the page, without a notebook: answers that cross with a hand."""

import pytest
from playwright.sync_api import Page

from strutkit.live import finder_files

MODEL = """
window.sent = [];
window.hears = {};
window.desk = new Desk({
    get: () => 'mm', set: () => {}, save_changes: () => {}, off: () => {},
    on: (name, hear) => { window.hears[name] = hear; },
    send: (content) => window.sent.push(content),
});
window.door = (corners) => ({ zones: { frame: 0, panel: null },
    scene: { zones: [{ corners }] }, results: null, progress: null });
window.answer = async (asked, body) => {
    hears['msg:custom']({ ...body, client: asked.client, seq: asked.seq, kind: asked.kind });
    await new Promise((resolve) => setTimeout(resolve));
};
window.OLD = [[0, 0, 0], [9, 0, 0], [9, 9, 0]];
window.FIRST = [[1, 0, 0], [9, 0, 0], [9, 9, 0]];
window.SECOND = [[1, -10, 0], [9, 0, 0], [9, 9, 0]];
"""


@pytest.fixture
def page(bare_page: Page) -> Page:
    page = bare_page
    page.goto("http://bench.test/")
    page.add_script_tag(content=finder_files.module().replace("export default", "window.finder ="))
    page.add_script_tag(content=MODEL)
    page.evaluate("async () => { desk.request('door'); await answer(sent.pop(), door(OLD)); }")
    return page


def test_an_answer_about_the_door_before_leaves_a_moved_corner(page: Page) -> None:
    found = page.evaluate("""async () => {
        desk.request('door');
        const asked = sent.pop();
        desk.move('frame', FIRST);
        await answer(asked, door(OLD));
        desk.stay('frame');
        return [desk.corners('frame'), sent.pop().corners];
    }""")
    assert found == [[[1, 0, 0], [9, 0, 0], [9, 9, 0]]] * 2


def test_a_search_waits_for_what_was_typed_and_leaves_nothing_out(page: Page) -> None:
    """It asks once the corner is in the door; while a box holds what cannot be read it says so."""
    found = page.evaluate("""async () => {
        const said = (kind) => sent.filter((one) => one.kind === kind).length;
        const wait = () => new Promise((resolve) => setTimeout(resolve));
        const type = (text) => desk.expect((async () => {
            const { unread } = await desk.type('frame', { at: 0, axis: 0, sense: 1, text });
            if (unread) desk.unread.set('corner', { words: unread });
            else desk.unread.clear();
        })());
        type('7');
        desk.run();
        await wait();
        const before = said('run');
        const { corners, typed } = sent.at(-1);
        await answer(sent.at(-1), door([[7, 0, 0], [9, 0, 0], [9, 9, 0]]));
        const after = [said('run'), desk.corners('frame')[0][0]];
        type('lots');
        desk.run();
        await answer(sent.at(-1), { unread: 'lots has no number.' });
        await wait();
        const wrong = [said('run'), desk.notice];
        type('90');
        desk.run();
        await answer(sent.at(-1), { fault: 'crosses itself', corners: SECOND });
        await wait();
        return [before, corners, typed.text, after, wrong, said('run'), desk.notice.more,
            desk.corners('frame')];
    }""")
    before, corners, text, after, wrong, runs, words, drawn = found
    assert (before, corners, text) == (0, None, "7")
    assert after == [1, 7]
    said = "What is typed in a box cannot be used: lots has no number."
    assert wrong == [1, {"words": "Not searched.", "state": "fails", "more": said}]
    assert (runs, words) == (1, "crosses itself")
    assert drawn == [[1, -10, 0], [9, 0, 0], [9, 9, 0]]


def test_a_corner_moved_while_the_zone_is_kept_is_kept_as_well(page: Page) -> None:
    found = page.evaluate("""async () => {
        desk.move('frame', FIRST);
        desk.stay('frame');
        const kept = sent.pop();
        desk.move('frame', SECOND);
        await answer(kept, door(FIRST));
        const meanwhile = desk.corners('frame');
        desk.stay('frame');
        await answer(sent.pop(), door(SECOND));
        return [meanwhile, desk.corners('frame'), desk.held.frame];
    }""")
    second = [[1, -10, 0], [9, 0, 0], [9, 9, 0]]
    assert found == [second, second, False]


def test_a_corner_that_is_typed_is_kept_through_another_answer(page: Page) -> None:
    found = page.evaluate("""async () => {
        desk.request('door');
        const asked = sent.pop();
        desk.drafts.frame = FIRST;
        desk.stay('frame');
        const kept = sent.pop();
        await answer(asked, door(OLD));
        const meanwhile = desk.corners('frame');
        await answer(kept, door(FIRST));
        return [meanwhile, desk.corners('frame'), desk.held.frame];
    }""")
    first = [[1, 0, 0], [9, 0, 0], [9, 9, 0]]
    assert found == [first, first, False]


def test_a_kernel_that_is_given_up_is_said_and_throws_nothing(page: Page) -> None:
    """The notebook's own error on sending, as when its tab is closed."""
    found = page.evaluate("""async () => {
        desk.model.send = () => { throw new Error('Cannot send'); };
        const answer = await desk.ask('door');
        return [answer.fault, desk.talk.lost];
    }""")
    assert found == ["Not connected: run the cell again; what you typed is kept.", True]
