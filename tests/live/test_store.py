"""The page without a notebook: the stream of moves and answers, and what it says of them."""

import re
from dataclasses import replace

import pytest
from playwright.sync_api import Page

from strutkit import check, verdict
from strutkit.live import answers
from tests.doors import short_of_the_stop
from tests.live.conftest import run


def test_moves_are_joined_and_at_most_two_are_in_flight(page: Page) -> None:
    found = run(
        page,
        """
        for (let i = 1; i <= 30; i += 1) {
            store.move({ place: 0, panel: [i, 0, 0] });
            if (i % 5 === 0) await frame();
        }
        const flying = streamed().map((one) => one.edit.panel[0]);
        answer(streamed()[0]);
        await frame();
        return [flying, streamed().map((one) => one.edit.panel[0])];
        """,
    )
    flying, after = found
    assert len(flying) == 2
    assert len(after) == 3
    assert after[-1] == 30


def test_a_late_answer_is_dropped(page: Page) -> None:
    found = run(
        page,
        """
        store.move({ place: 0, panel: [1, 0, 0] });
        await frame();
        store.move({ place: 0, panel: [2, 0, 0] });
        await frame();
        const [first, second] = streamed();
        answer(second);
        answer(first);
        return [store.curves.seq === second.seq, store.accepted.panel[0]];
        """,
    )
    assert found == [True, 2]


def test_a_drag_of_the_next_strut_leaves_the_former_where_it_was_put(page: Page) -> None:
    """The former commit is not answered yet; a hand that lets nothing go commits it as well."""
    found = run(
        page,
        """
        store.hold(0, 'panel');
        store.move({ place: 0, panel: [7, 7, 7] });
        store.commit();
        store.hold(1, 'frame');
        store.move({ place: 1, frame: [5, 5, 5] });
        const draft = store.draft;
        store.hold(0, 'frame');
        return [draft, commits(), store.mounts(store.scene.struts[0]).panel,
            store.mounts(store.scene.struts[1])];
        """,
    )
    second = {"place": 1, "frame": [5, 5, 5], "strut": "two", "door": "k"}
    assert found == [
        second,
        [{"place": 0, "panel": [7, 7, 7], "strut": "one", "door": "k"}, second],
        [7, 7, 7],
        {"frame": [5, 5, 5], "panel": [1, 9, 0]},
    ]


def test_a_number_goes_to_the_mount_it_was_typed_for(page: Page) -> None:
    """Also when a hand has taken hold of another mount before the box was left, and a cell has
    changed the unit: it is read in the unit in which it was typed."""
    found = run(
        page,
        """
        const boxes = new Boxes(store);
        document.body.append(boxes.node);
        boxes.rebuild();
        const { input } = boxes.boxes[1];
        input.value = '215';
        input.dispatchEvent(new Event('input'));
        store.hold(1, 'frame');
        traits.unit = 'inch';
        input.dispatchEvent(new Event('input'));
        input.dispatchEvent(new Event('blur'));
        return [commits(), store.selected, store.dragging, store.unit];
        """,
    )
    typed = {"mount": "panel", "axis": 1, "sense": 1, "text": "215", "unit": "mm"}
    assert found == [
        [{"place": 0, "strut": "one", "door": "k", "typed": typed}],
        {"place": 1, "mount": "frame"},
        True,
        "inch",
    ]


def test_an_answer_for_another_browser_tab_is_not_taken(page: Page) -> None:
    found = run(
        page,
        """
        store.move({ place: 0, panel: [1, 0, 0] });
        await frame();
        store.hear({ ...streamed()[0], client: 'somebody else', figures: {}, layout: [] }, []);
        return [store.curves, store.flying.size];
        """,
    )
    assert found == [None, 1]


def test_a_single_move_is_followed_by_one_empty_message(page: Page) -> None:
    kinds = run(
        page,
        """
        store.nextJudged = Infinity;
        store.move({ place: 0, panel: [1, 0, 0] });
        await frame();
        await frame();
        return sent.map((one) => one.kind);
        """,
    )
    assert kinds == ["curves", "nudge"]


def test_findings_follow_a_drag_and_never_hold_the_curves_up(page: Page) -> None:
    """One judging at a time, asked for with its curves; it shows while the hand moves."""
    found = run(
        page,
        """
        const kinds = () => sent.map(({ kind, place }) => [kind, place ?? null]);
        store.dragging = true;
        store.move({ place: 0, panel: [1, 0, 0] });
        store.move({ place: 0, panel: [2, 0, 0] });
        const first = kinds();
        answer(sent[0]);
        const judge = sent.find((one) => one.place === 0);
        const before = [store.curves.seq === sent[0].seq, store.verdict];
        store.hear({ client: judge.client, seq: judge.seq, kind: 'judge', verdict: 'new' }, []);
        const after = [judge.edit.panel[0], store.verdict];
        store.move({ place: 0, panel: [3, 0, 0] });
        const soon = kinds();
        answer(sent.at(-1));
        await new Promise((resolve) => setTimeout(resolve, 120));
        store.move({ place: 0, panel: [4, 0, 0] });
        return [first, before, after, soon, kinds()];
        """,
    )
    first, before, after, soon, later = found
    assert first == [["curves", 0], ["curves", None]]
    assert before == [True, None]
    assert after == [1, "new"]
    assert soon == [*first, ["curves", None]]
    assert later == [*soon, ["curves", 0]]


def test_findings_of_a_drag_that_was_taken_back_are_not_shown(page: Page) -> None:
    found = run(
        page,
        """
        store.dragging = true;
        store.move({ place: 0, panel: [1, 0, 0] });
        const judge = sent.find((one) => one.place === 0);
        store.cancel();
        store.hear({ client: judge.client, seq: judge.seq, kind: 'judge', verdict: 'old' }, []);
        return [store.verdict, store.judging];
        """,
    )
    assert found == [None, None]


BOXES = """
    const boxes = new Boxes(store);
    store.listen((topic) => { if (topic === 'select') boxes.update(); });
    document.body.append(boxes.node);
    store.scene.name = 'door';
    store.scene.struts[0].panel = [-35, 9, 0];
    boxes.rebuild();
    const shown = () => [boxes.boxes[0].word.textContent, boxes.boxes[0].input.value];
    const type = async (text, millimetres) => {
        const { input } = boxes.boxes[0];
        input.value = text;
        input.dispatchEvent(new Event('input'));
        input.dispatchEvent(new Event('blur'));
        const asked = sent.filter((one) => one.kind === 'commit').at(-1);
        const { axis, sense } = asked.edit.typed;
        answer(asked, { layout: null, changed: true });
        await frame();
        const { panel } = store.scene.struts[0];
        panel[axis] = sense * millimetres;
        boxes.rebuild();
        return panel[0];
    };
"""


def test_a_number_means_the_same_however_often_it_is_typed(page: Page) -> None:
    """Inward 35, then 20 the other way, then 35 inward again: never 35 outward, 70 mm off."""
    found = run(
        page,
        BOXES
        + """
        const first = shown();
        const other = [await type('-20', -20), ...shown()];
        const back = [await type('35', 35), ...shown()];
        await type('-20', -20);
        store.select(1, 'panel');
        store.select(0, 'panel');
        return [first, other, back, shown()];
        """,
    )
    assert found == [
        ["inward", "35"],
        [20, "inward", "−20"],
        [-35, "inward", "35"],
        ["outward", "20"],
    ]


LATER = "const later = (ms) => new Promise((resolve) => setTimeout(resolve, ms));"


def test_figures_of_an_earlier_place_are_said_to_be_so(page: Page) -> None:
    """While a mount is held its findings are of the newest place, else said to wait; the table of
    struts waits until it is put down."""
    found = run(
        page,
        LATER
        + """
        const late = () => [store.late.verdict.shown, store.late.compare.shown];
        const verdict = { findings: [{ state: 'fails', words: 'old', where: '' }], judged: true };
        const compare = new CompareView(store);
        const message = new Message(store);
        const seen = () => [...late(), message.line().words, compare.note.textContent];
        const give = (kind, more) => {
            const asked = sent.filter((one) => one.kind === kind).at(-1);
            store.hear({ client: asked.client, seq: asked.seq, kind, ...more }, []);
        };
        store.listen((topic) => { if (topic === 'waiting') compare.stale(); });
        store.every(20, () => store.watch());
        store.verdict = verdict;
        compare.words = 'at these mounts';
        store.dragging = true;
        store.held = 'one';
        store.move({ place: 0, panel: [1, 0, 0] });
        answer(streamed().at(-1));
        await later(350);
        const soon = seen();
        await later(350);
        const waits = seen();
        store.move({ place: 0, panel: [2, 0, 0] });
        answer(streamed().at(-1));
        await later(500);
        const asked = sent.filter((one) => one.kind === 'judge' || 'place' in one).at(-1);
        store.hear({ client: asked.client, seq: asked.seq, kind: 'judge', verdict }, []);
        await later(50);
        const judged = seen();
        store.dragging = false;
        store.settle();
        store.judge();
        give('judge', { verdict });
        await frame();
        give('compare', { compare: { rows: [] } });
        await later(50);
        return [soon, waits, judged, late()];
        """,
    )
    table = "waiting: these figures are of an earlier place"
    assert found[0] == [False, True, "old", table]
    assert found[1] == [True, True, "Waiting for the findings of this place.", table]
    assert found[2] == [False, True, "old", table]
    assert found[3] == [False, False]


def test_pages_of_an_earlier_design_say_so(page: Page) -> None:
    """Also after it was taken back they are of the present design, and in another unit not."""
    found = run(
        page,
        """
        const papers = new Papers(store);
        document.body.append(papers.node);
        const give = async (design) => {
            const asked = sent.filter((one) => one.kind === 'paper').at(-1);
            store.hear({ client: asked.client, seq: asked.seq, kind: 'paper', pictures: ['data:,'],
                design }, []);
            await frame();
        };
        const said = () => { papers.update(); return !papers.old.hidden; };
        const none = said();
        papers.toggle(null);
        await give('d');
        const fresh = said();
        traits.design = 'moved';
        const moved = said();
        papers.again.click();
        await give('moved');
        const again = said();
        traits.unit = 'inch';
        return [none, fresh, moved, again, said(), papers.old.textContent];
        """,
    )
    assert found == [False, False, True, False, True, "An earlier designLook again"]


def test_a_paper_that_is_drawn_is_not_taken_for_silence(page: Page) -> None:
    found = run(
        page,
        """
        store.ask('paper', {});
        store.asked.forEach((one) => { one.since -= 5000; });
        store.watch();
        const drawn = store.silentSince;
        store.ask('scene', {});
        store.asked.forEach((one) => { one.since -= 60000; });
        store.watch();
        return [drawn, store.silentSince !== null];
        """,
    )
    assert found == [None, True]


def test_no_answer_is_said_and_let_go_after_a_second(page: Page) -> None:
    found = run(
        page,
        """
        const later = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
        store.every(20, () => store.watch());
        for (let i = 1; i <= 3; i += 1) {
            store.move({ place: 0, panel: [i, 0, 0] });
            await frame();
        }
        const before = [store.waiting, streamed().length];
        await later(450);
        const during = [store.waiting, streamed().length];
        await later(900);
        const after = streamed().map((one) => one.edit.panel[0]);
        answer(streamed().at(-1));
        const answered = store.waiting;
        store.move({ place: 0, panel: [4, 0, 0] });
        await later(1200);
        const given_up = store.waiting;
        store.draft = null;
        store.refresh();
        answer(sent.filter((one) => one.kind === 'scene').at(-1),
            { scene: { struts: [], conditions: [] }, state: {}, map_keys: {} });
        await frame();
        return [before, during, after, answered, given_up, store.waiting];
        """,
    )
    assert found == [[False, 2], [True, 2], [1, 2, 3], False, True, False]


def test_a_refused_move_keeps_the_curves_and_the_last_good_edit(page: Page) -> None:
    found = run(
        page,
        """
        store.move({ place: 0, panel: [1, 0, 0] });
        await frame();
        answer(streamed()[0]);
        store.move({ place: 0, panel: [9, 0, 0] });
        await frame();
        const last = streamed().at(-1);
        store.hear({ client: last.client, seq: last.seq, kind: 'curves', fault: 'too short' }, []);
        store.commit();
        const { kind, edit, earlier } = sent.at(-1);
        return [store.curves.seq === streamed()[0].seq, store.refused.words, kind,
            [edit, ...earlier].map((one) => one.panel[0])];
        """,
    )
    assert found == [True, "too short", "commit", [9, 1]]


@pytest.mark.parametrize(
    ("notice", "seen"),
    [
        ("{ words: 'Old news.' }", ["Too short.", "Newer.", "Newer.", "Newer."]),
        ("{ words: 'Opened.', good: true }", ["Too short.", "Newer.", "Newer.", "Newer."]),
    ],
)
def test_why_a_door_cannot_be_swept_comes_before_older_news(
    page: Page, notice: str, seen: list[str]
) -> None:
    """Not before what is said after it."""
    found = run(
        page,
        f"""
        const line = () => new Message(store).line().words;
        const drawn = async (fault) => {{
            const done = store.refresh();
            const {{ client, seq }} = sent.at(-1);
            store.hear({{ client, seq, kind: 'scene', scene: store.scene, state: store.state,
                map_keys: {{}}, fault }}, []);
            await done;
        }};
        await new Promise((resolve) => setTimeout(resolve));
        store.refreshing = false;
        store.notice = {notice};
        await drawn('Too short.');
        const lines = [line()];
        store.say({{ words: 'Newer.' }});
        lines.push(line());
        await drawn('Too short.');
        lines.push(line());
        await drawn(undefined);
        return [...lines, line()];
        """,
    )
    assert found == seen


def test_news_comes_back_once_the_door_can_be_swept(page: Page) -> None:
    found = run(
        page,
        """
        store.notice = { words: 'Old news.', older: true };
        store.fault = 'Too short.';
        const first = new Message(store).line().words;
        store.fault = null;
        return [first, new Message(store).line().words];
        """,
    )
    assert found == ["Too short.", "Old news."]


def test_the_line_of_what_fails_says_how_far_it_opens(page: Page) -> None:
    """As the whole verdict does in a cell."""
    short = short_of_the_stop()
    door = replace(short, limits=replace(short.limits, hand_closing=1.0))
    told = verdict(check(door))
    assert re.match(r"opens only to [\d.]+°, the stop is at [\d.]+°; \d+ fail", told)
    line = page.evaluate(
        "(verdict) => { store.verdict = verdict; return new Message(store).line(); }",
        answers.verdict(door, (), 0, with_window=False),
    )
    assert (line["state"], line["count"]) == ("fails", told)


def test_after_the_kernel_is_gone_nothing_is_sent(page: Page) -> None:
    found = run(
        page,
        """
        store.lose();
        store.move({ place: 0, panel: [1, 0, 0] });
        await frame();
        return [sent.length, store.draft];
        """,
    )
    assert found == [0, None]


def test_a_kernel_that_is_given_up_is_said_and_throws_nothing(page: Page) -> None:
    """The notebook's own error on sending, as when its tab is closed."""
    found = run(
        page,
        """
        model.send = () => { throw new Error('Cannot send'); };
        store.move({ place: 0, panel: [1, 0, 0] });
        return store.lost;
        """,
    )
    assert found is True
