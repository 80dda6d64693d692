"""The page without a notebook: what a hand does while Python has not answered yet."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.live.conftest import MODEL, run, store_page

BOXES = """
    const boxes = new Boxes(store);
    document.body.replaceChildren(boxes.node);
    store.listen((topic) => {
        if (topic === 'select' || topic === 'draft') boxes.update();
        if (topic === 'scene') boxes.rebuild();
    });
    store.scene.name = 'door';
    store.scene.struts[0].panel = [-35, 9, 0];
    boxes.rebuild();
    const [inward, up] = boxes.boxes.map((one) => one.input);
    const type = (input, text) => {
        input.value = text;
        input.dispatchEvent(new Event('input'));
        input.dispatchEvent(new Event('change'));
    };
    const key = (input, name) => {
        input.focus();
        input.dispatchEvent(new KeyboardEvent('keydown', { key: name, cancelable: true }));
    };
    const asked = (kind) => sent.filter((one) => one.kind === kind);
    const answered = async (one, more = {}) => {
        answer(one, { layout: null, changed: true, ...more });
        await frame();
    };
    const drawn = async (panel) => {
        store.scene.struts[0].panel = panel;
        if (!store.dragging) store.settle();
        store.tell('scene');
        await frame();
    };
"""


@pytest.fixture(scope="module")
def shared(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


@pytest.fixture
def page(shared: Page) -> Page:
    """A store anew in the one page of this file."""
    shared.evaluate("store.stop()")
    shared.evaluate(MODEL)
    return shared


def test_a_number_typed_back_to_the_one_before_is_sent(page: Page) -> None:
    """30, then 35 again before 30 is answered: 35 counts, and the box shows it all the while."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '30');
        const waits = inward.value;
        store.tell('draft');
        type(inward, '35');
        const [first, second] = asked('commit');
        await answered(first);
        await drawn([-30, 9, 0]);
        const meanwhile = inward.value;
        await answered(second);
        await drawn([-35.04, 9, 0]);
        return [asked('commit').map((one) => one.edit.typed.text), waits, meanwhile, inward.value];
        """,
    )
    assert found == [["30", "35"], "30", "35", "35"]


def test_a_drag_that_was_let_go_stays_drawn_while_a_number_is_on_its_way(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        store.hold(0, 'panel');
        store.move({ place: 0, panel: [-27, 25, 0], axes: [0, 1] });
        store.commit();
        type(up, '7');
        const meanwhile = [inward.value, up.value];
        await answered(asked('commit')[1], { changed: false, unread: 'not read' });
        return [meanwhile, inward.value, up.value, store.waiting];
        """,
    )
    assert found == [["27", "7"], "27", "7", False]


def test_keys_count_from_what_is_on_its_way_and_move_their_own_axis_alone(page: Page) -> None:
    """Typed 39, arrow up in the same box: 40. Arrow up in another box leaves the 39 to the door."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        key(inward, 'ArrowUp');
        key(up, 'ArrowUp');
        const first = [store.draft.panel[1], store.draft.axes];
        await answered(asked('commit')[0]);
        await drawn([-39, 9, 0]);
        return [first, store.draft.panel[0], store.draft.axes, inward.value, up.value];
        """,
    )
    assert found == [[10, [1]], -40, [1, 0], "40", "10"]


def test_escape_in_a_box_takes_back_what_its_keys_moved(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        key(inward, 'ArrowUp');
        key(inward, 'ArrowUp');
        key(inward, 'Escape');
        const { edit } = asked('back').at(-1);
        return [edit, store.draft, asked('commit').length];
        """,
    )
    assert found == [{"place": 0, "strut": "one", "panel": [-35, 9, 0]}, None, 0]


def test_text_that_is_selected_whole_is_typed_over(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        inward.focus();
        inward.select();
        await drawn([-30, 9, 0]);
        return [inward.selectionStart, inward.selectionEnd, inward.value];
        """,
    )
    assert found == [0, 2, "30"]


def test_a_number_is_not_put_into_another_door(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        inward.focus();
        inward.value = '31';
        inward.dispatchEvent(new Event('input'));
        store.scene.name = 'another';
        store.tell('scene');
        inward.dispatchEvent(new Event('change'));
        return [asked('commit').length, inward.value, store.notice.words];
        """,
    )
    words = "Another door was opened while 31 was typed; nothing was changed."
    assert found == [0, "35", words]


def test_messages_keep_the_order_of_the_hand(page: Page) -> None:
    """Typed, Save, Undo: Python gets them so, and knows which typed numbers the file waits for."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        const [commit] = asked('commit');
        store.save('save', { path: 'x' });
        store.change('undo');
        const order = sent.map((one) => one.kind).filter((one) =>
            ['commit', 'save', 'undo'].includes(one));
        const { after } = asked('save')[0];
        await answered(commit);
        store.save('save', { path: 'x' });
        return [order, after.map((one) => one === commit.seq), asked('save')[1].after];
        """,
    )
    assert found == [["commit", "save", "undo"], [True], []]


def test_keys_of_the_rating_and_a_drag_are_two_steps(page: Page) -> None:
    """Escape takes back the drag alone."""
    found = run(
        page,
        """
        store.hold(0, 'rating');
        store.move({ place: 0, rating: 405 });
        store.commitSoon();
        store.hold(0, 'panel');
        store.move({ place: 0, panel: [1, 2, 0], axes: [0, 1] });
        store.cancel();
        return commits();
        """,
    )
    assert found == [{"place": 0, "rating": 405, "strut": "one"}]


def test_what_is_being_typed_can_be_taken_back_by_a_click(page: Page) -> None:
    """Undo and Reset are there from the first letter until its answer is drawn."""
    found = run(
        page,
        BOXES
        + """
        const bar = new Bar(store);
        const off = () => { bar.update(); return [bar.undo.disabled, bar.reset.disabled]; };
        const before = off();
        inward.value = '3';
        inward.dispatchEvent(new Event('input'));
        const typing = off();
        type(inward, '39');
        const waits = off();
        await answered(asked('commit')[0]);
        return [before, typing, waits, off()];
        """,
    )
    assert found == [[True, True], [False, False], [False, False], [True, True]]


def test_a_file_is_replaced_only_under_the_name_that_was_asked_about(page: Page) -> None:
    found = run(
        page,
        """
        store.state = { path: null };
        const form = new FileForm(store);
        form.toggle('save', null);
        form.ask('q1.toml is there already.', true);
        const asked = !form.replace.hidden;
        form.path.value = 'q2.toml';
        form.path.dispatchEvent(new Event('input'));
        return [asked, form.replace.hidden, form.words.textContent];
        """,
    )
    assert found == [True, True, ""]


def test_rows_of_another_strut_are_not_used(page: Page) -> None:
    found = run(
        page,
        """
        const compare = new CompareView(store);
        const row = { name: '400 N', edit: { place: 0, rating: 400 }, price: null, opens_to: '',
            state: 'passes', fails: [], fails_narrow: [], broken: [], angle: [0, 1],
            opening: [0, 0], closing: [0, 0] };
        Object.assign(store.scene, { limits: {}, stop_angle: 1 });
        store.scene.limits.hand_closing = null;
        store.compare = { rows: [row], source: 'list', of: 'one alone, the others stay',
            scale: { low: -1, high: 1 } };
        compare.update();
        const use = () => [compare.table.querySelector('button').disabled,
            compare.note.textContent];
        const own = use();
        store.selected = { place: 1, mount: 'panel' };
        compare.stale();
        return [own, use()];
        """,
    )
    words = "one alone, the others stay; list; at these mounts, worst of all conditions"
    waits = "waiting: these figures are of another strut"
    assert found == [[False, words], [True, waits]]


def test_pages_of_a_paper_chosen_before_are_not_shown_under_the_next(page: Page) -> None:
    found = run(
        page,
        """
        const papers = new Papers(store);
        papers.toggle(null);
        papers.kind.value = 'card';
        papers.look();
        const give = async (one, pictures) => {
            store.hear({ client: one.client, seq: one.seq, kind: 'paper', pictures }, []);
            await frame();
            return [papers.pictures, papers.sheet.className];
        };
        const [sheet, card] = sent.filter((one) => one.kind === 'paper');
        return [await give(sheet, ['a']), await give(card, ['b'])];
        """,
    )
    assert found == [[[], "sk-paper-page sk-paper-earlier"], [["b"], "sk-paper-page"]]


def test_the_rating_window_catches_up_once_the_hand_holds_still(page: Page) -> None:
    """Findings of a drag come without it but now and then; then it is asked for once."""
    found = run(
        page,
        """
        const give = (asked, verdict) => store.hear({ client: asked.client, seq: asked.seq,
            kind: 'judge', verdict }, []);
        const judges = () => sent.filter((one) => one.kind === 'judge');
        store.dragging = true;
        store.held = 'one';
        store.nextWindow = Infinity;
        store.window = 'old';
        store.move({ place: 0, panel: [1, 0, 0] });
        const [drag] = streamed();
        answer(drag);
        give(drag, { findings: 'first' });
        const moving = [drag.window, store.verdict.findings, store.window];
        store.nextJudged = 0;
        store.watch();
        const [still] = judges();
        give(still, { findings: 'first', window: 'new' });
        store.nextJudged = 0;
        store.watch();
        return [moving, still.window, store.window, judges().length];
        """,
    )
    assert found == [[False, "first", "old"], True, "new", 1]
