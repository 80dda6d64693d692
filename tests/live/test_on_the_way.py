"""The page without a notebook: what a hand does while Python has not answered yet."""

import pytest
from playwright.sync_api import Page

from tests.live.conftest import BOXES, run


@pytest.fixture
def page(fresh_store: Page) -> Page:
    return fresh_store


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
        await answered(asked('commit')[1], { changed: false });
        return [meanwhile, inward.value, up.value];
        """,
    )
    assert found == [["27", "7"], "27", "7"]


def test_keys_count_from_what_is_on_its_way(page: Page) -> None:
    """Typed 39, arrow up in the same box and in another, then on the handle: three steps that
    Python adds to what it has by then. Once all is drawn keys move what is drawn."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        key(inward, 'ArrowUp');
        key(up, 'ArrowUp');
        const handle = { place: 0, mount: 'panel', strut: store.scene.struts[0] };
        const side = { store, begin: SideView.prototype.begin };
        SideView.prototype.key.call(side, handle, { key: 'PageDown', preventDefault() {} });
        const steps = asked('commit').map(({ edit }) => [edit.typed.axis, edit.typed.by]);
        for (const one of asked('commit')) await answered(one);
        store.refresh();
        answer(asked('scene').at(-1), { layout: null, scene: store.scene, state: store.state,
            map_keys: {} });
        await frame();
        await drawn([-40, 10, -1]);
        key(up, 'ArrowUp');
        return [steps, store.draft.panel, store.draft.axes];
        """,
    )
    assert found == [[[0, None], [0, -1], [1, 1], [2, -1]], [-40, 11, -1], [1]]


def test_half_a_number_counts_before_a_key(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        inward.focus();
        inward.value = '31';
        inward.dispatchEvent(new Event('input'));
        key(inward, 'ArrowUp');
        return asked('commit').map(({ edit }) => [edit.typed.text, edit.typed.by]);
        """,
    )
    assert found == [["31", None], [None, -1]]


def test_escape_in_a_box_takes_back_what_its_keys_moved(page: Page) -> None:
    """Along their own axis alone, and never in another door."""
    found = run(
        page,
        BOXES
        + """
        const steps = async (key_) => {
            key(inward, 'ArrowUp');
            key(inward, 'ArrowUp');
            store.scene.key = key_;
            key(inward, 'Escape');
            return [asked('back').map((one) => one.edit), store.draft, asked('commit').length];
        };
        const first = await steps('k');
        await answered(asked('back')[0]);
        answer(asked('scene').at(-1), { layout: null, scene: store.scene, state: store.state,
            map_keys: {} });
        await frame();
        return [first, await steps('another')];
        """,
    )
    back = {"place": 0, "strut": "one", "door": "k", "panel": [-35, 9, 0], "axes": [0]}
    assert found == [[[back], None, 0], [[back], None, 0]]


def test_a_number_typed_again_after_undo_is_sent(page: Page) -> None:
    """While the undoing is on its way the box still shows the number that it takes back."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '30');
        await answered(asked('commit')[0]);
        await drawn([-30, 9, 0]);
        store.change('undo');
        type(inward, '30');
        return asked('commit').map((one) => one.edit.typed.text);
        """,
    )
    assert found == ["30", "30"]


def test_the_rating_in_hand_is_that_of_the_strut_chosen(page: Page) -> None:
    found = run(
        page,
        """
        store.scene.struts[0].rating = 400;
        store.scene.struts[1].rating = 350;
        const rating = () => Object.getOwnPropertyDescriptor(RatingView.prototype, 'rating').get
            .call({ store });
        store.hold(0, 'rating');
        store.move({ place: 0, rating: 405 });
        const first = rating();
        store.select(1, 'panel');
        const second = rating();
        store.hold(1, 'rating');
        return [first, second, rating(), store.scene.struts[0].rating];
        """,
    )
    assert found == [405, 350, 350, 405]


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
        store.scene.key = 'another';
        store.tell('scene');
        inward.dispatchEvent(new Event('blur'));
        return [asked('commit').length, inward.value, store.notice.words];
        """,
    )
    words = "Another door was opened while 31 was typed; nothing was changed."
    assert found == [0, "35", words]


def test_messages_keep_the_order_of_the_hand(page: Page) -> None:
    """Typed, Save, Undo: Python gets them so."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        store.save('save', { path: 'x' });
        store.change('undo');
        const order = sent.map((one) => one.kind).filter((one) =>
            ['commit', 'save', 'undo'].includes(one));
        return order;
        """,
    )
    assert found == ["commit", "save", "undo"]


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
    assert found == [{"place": 0, "rating": 405, "strut": "one", "door": "k"}]


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
    """Also where another name is typed before the question comes: the message line has it then."""
    found = run(
        page,
        """
        store.state = { path: null };
        const form = new FileForm(store);
        form.toggle('save', null);
        const write = (path) => {
            form.path.value = path;
            form.path.dispatchEvent(new Event('input'));
        };
        const save = async (path, then) => {
            write(path);
            form.send();
            const asked = sent.at(-1);
            then();
            answer(asked, { layout: null, exists: path });
            await frame();
            return [form.replace.hidden, form.words.textContent, store.notice?.words];
        };
        const before = await save('q1.toml', () => write('q2.toml'));
        store.say(null);
        const asked = await save('q1.toml', () => {});
        form.replace.click();
        const { path, replace } = sent.at(-1);
        write('q2.toml');
        return [before, asked, path, replace, form.replace.hidden, form.words.textContent];
        """,
    )
    words = "q1.toml is there already"
    late = [True, "", f"{words}; nothing was saved."]
    assert found == [late, [False, f"{words}.", None], "q1.toml", True, True, ""]


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
        store.compare = { door: 'k', rows: [row], source: 'list', of: 'one alone, the others stay',
            scale: { low: -1, high: 1 } };
        compare.update();
        const use = () => [compare.table.querySelector('button').disabled,
            compare.note.textContent];
        const own = use();
        store.selected = { place: 1, mount: 'panel' };
        compare.stale();
        const other = use();
        store.selected = { place: 0, mount: 'panel' };
        compare.stale();
        compare.table.querySelector('button').click();
        return [own, other, commits().map((one) => one.door)];
        """,
    )
    words = "one alone, the others stay; list; at these mounts, worst of all conditions"
    waits = "waiting: these figures are of another strut"
    assert found == [[False, words], [True, waits], ["k"]]


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


def test_keys_of_the_rating_count_from_what_is_on_its_way(page: Page) -> None:
    """Undo is not drawn yet: a key is a step that Python adds; so after a strut of the list."""
    found = run(
        page,
        """
        store.scene.struts[0].rating = 336;
        const view = new RatingView(store);
        view.axis = { low: 100, high: 900 };
        const press = (name) => view.thumb.dispatchEvent(
            new KeyboardEvent('keydown', { key: name, cancelable: true }));
        const steps = () => commits().map((one) => one.rating_by ?? one.rating ?? 'row');
        store.change('undo');
        press('ArrowRight');
        press('PageDown');
        const after = steps();
        store.undrawn = false;
        store.change('commit', { edit: { place: 0, stock: 2 } });
        press('ArrowLeft');
        return [after, steps()];
        """,
    )
    assert found == [[5, -50], [5, -50, "row", -5]]


def test_a_key_in_a_box_counts_on_though_the_rating_is_in_hand(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        store.hold(0, 'rating');
        store.move({ place: 0, rating: 405 });
        store.commitSoon();
        key(inward, 'ArrowUp');
        return commits().map((one) => one.rating ?? one.typed.text ?? one.typed.by);
        """,
    )
    assert found == ["39", 405, -1]


def test_escape_goes_back_to_the_number_typed_before_the_keys(page: Page) -> None:
    """Up, 30 typed, up again, all at rest: Escape takes back the last key alone."""
    found = run(
        page,
        BOXES
        + """
        const rest = async (panel) => {
            for (const one of asked('commit').slice(-1)) await answered(one);
            store.undrawn = false;
            await drawn(panel);
        };
        key(inward, 'ArrowUp');
        store.commit();
        await rest([-36, 9, 0]);
        inward.value = '30';
        inward.dispatchEvent(new Event('input'));
        inward.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter' }));
        await rest([-30, 9, 0]);
        key(inward, 'ArrowUp');
        key(inward, 'Escape');
        return asked('back').map((one) => one.edit.panel);
        """,
    )
    assert found == [[-30, 9, 0]]


def test_keys_that_follow_each_other_go_on_from_where_they_are(page: Page) -> None:
    """Python is told which step goes on from the one before, though that did not fit."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        key(inward, 'ArrowUp');
        key(inward, 'ArrowUp');
        store.steppedAt -= 1000;
        key(inward, 'ArrowUp');
        return commits().map((one) => one.typed.on);
        """,
    )
    assert found == [None, False, True, False]


def test_what_is_done_on_the_door_that_is_shown_names_it(page: Page) -> None:
    """A drag and a number begun before another door came keep the key of the former."""
    found = run(
        page,
        BOXES
        + """
        store.hold(0, 'panel');
        store.scene.key = 'another';
        store.move({ place: 0, panel: [1, 2, 0], axes: [0, 1] });
        store.commit();
        const gone = 'Another door was opened meanwhile; nothing was changed.';
        await answered(asked('commit')[0], { changed: false, gone: true, fault: gone });
        type(inward, '30');
        return [commits().map((one) => one.door), store.refused, asked('commit').length];
        """,
    )
    assert found == [["k", "another"], None, 2]


def test_bars_of_another_strut_are_said_to_be_so(page: Page) -> None:
    """Until those of the strut that was chosen have come: its rating is not judged by them."""
    found = run(
        page,
        """
        store.scene.struts[0].rating = 400;
        store.scene.struts[1].rating = 150;
        const view = new RatingView(store);
        const rule = { label: 'To shut', low: 100, high: 300, empty: false };
        store.window = { place: 0, rules: [rule], axis: { low: 50, high: 500, ticks: [] },
            stock: [], low: 100, high: 300, empty: false, range: '100 to 300 N', words: '',
            of: 'one alone', beside: '', unmended: '', unlooked: '', looked_from: 50, starved: '' };
        view.layout(600, false);
        const told = () => [view.first[1].textContent.includes('fails now'), view.note.textContent];
        const own = told();
        store.select(1, 'panel');
        view.update();
        return [own, told()];
        """,
    )
    assert found == [
        [True, "one alone; dotted: in the stock list"],
        [True, "waiting: these bars are of another strut"],
    ]


def test_escape_takes_back_keys_that_were_pressed_meanwhile(page: Page) -> None:
    """39 typed, two keys while it is on its way: back to the door before the first of them."""
    found = run(
        page,
        BOXES
        + """
        type(inward, '39');
        inward.focus();
        key(inward, 'ArrowUp');
        key(inward, 'ArrowUp');
        key(inward, 'Escape');
        const [, first] = asked('commit');
        return asked('back').map((one) => [one.step === first.seq, one.edit ?? null]);
        """,
    )
    assert found == [[True, None]]


def test_what_the_line_has_no_room_for_stands_below_it(page: Page) -> None:
    """A save that failed beside a place that does not fit; not beside a kernel that is gone."""
    found = run(
        page,
        """
        const message = new Message(store);
        const told = () => {
            message.update();
            return [message.words.textContent, message.done.textContent, message.doneLine.hidden];
        };
        store.verdict = { findings: [{ state: 'passes' }], judged: true };
        store.notice = { words: 'x.toml was not saved.' };
        const alone = told();
        store.refused = { edit: {}, words: 'Too long.' };
        const both = told();
        store.lose();
        const [lost, below, hidden] = told();
        return [alone, both, lost.startsWith('Not connected'), below, hidden];
        """,
    )
    failed = "x.toml was not saved."
    assert found == [[failed, "", True], ["Too long.", failed, False], True, "", True]


def test_a_door_without_limits_is_not_praised(page: Page) -> None:
    """Though published bounds are judged and pass; what fails is said first."""
    found = run(
        page,
        """
        const message = new Message(store);
        const line = (state) => {
            store.verdict = { findings: [{ state, words: 'It fails.' }], judged: false };
            const { sign, words } = message.line();
            return [sign, words];
        };
        return [line('passes'), line('fails')];
        """,
    )
    words = "Not judged: the door has no limits."
    assert found == [["not judged", words], ["fails", "It fails."]]
