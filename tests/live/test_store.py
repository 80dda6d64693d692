"""The page's own parts without a notebook: the stream of messages, figures, places of labels."""

import itertools
import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from strutkit.describe.numbers import inch_text
from strutkit.live import page_files
from tests.live.conftest import MODEL, store_page


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


def run(page: Page, code: str) -> Any:
    return page.evaluate(f"async () => {{ {code} }}")


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
    second = {"place": 1, "frame": [5, 5, 5], "strut": "two"}
    assert found == [
        second,
        [{"place": 0, "panel": [7, 7, 7], "strut": "one"}, second],
        [7, 7, 7],
        {"frame": [5, 5, 5], "panel": [1, 9, 0]},
    ]


def test_a_number_goes_to_the_mount_it_was_typed_for(page: Page) -> None:
    """Also when a hand has taken hold of another mount before the box was left."""
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
        input.dispatchEvent(new Event('change'));
        const length = sent.find((one) => one.kind === 'length');
        answer(length, { layout: null, value: 215 });
        await frame();
        return [length.text, commits(), store.selected, store.dragging];
        """,
    )
    assert found == [
        "215",
        [{"place": 0, "strut": "one", "panel": [0, 215, 0]}],
        {"place": 1, "mount": "frame"},
        True,
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
        input.dispatchEvent(new Event('change'));
        answer(sent.filter((one) => one.kind === 'length').at(-1),
            { layout: null, value: millimetres });
        await frame();
        const edit = commits().at(-1);
        store.scene.struts[0].panel = edit.panel;
        boxes.update();
        return edit.panel[0];
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


def test_a_message_on_a_typed_number_goes_with_its_mount(page: Page) -> None:
    found = run(
        page,
        BOXES
        + """
        boxes.boxes[0].input.value = 'abc';
        boxes.boxes[0].input.dispatchEvent(new Event('change'));
        const asked = sent.find((one) => one.kind === 'length');
        store.hear({ client: asked.client, seq: asked.seq, fault: 'abc has no number' }, []);
        await frame();
        const said = store.notice.words;
        store.select(1, 'panel');
        return [said, store.notice, boxes.boxes[0].input.value];
        """,
    )
    assert found == ["abc has no number", None, "1"]


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


def test_the_edges_of_an_area_pass_every_point_of_their_curves(page: Page) -> None:
    """Straight pieces between few corners, a kink and a steep piece among them: numpy's own
    interpolation finds every point of the arrays on the drawn edge, to a twentieth of a pixel and
    the rounding of two decimals."""
    angle = np.linspace(0.0, 1.7, 197)
    upper = 40.0 + 30.0 * np.sin(2.0 * angle) + 25.0 * np.maximum(angle - 0.9, 0.0)
    lower = np.where(angle < 1.2, -20.0 * angle**2, -28.8 + 400.0 * (angle - 1.2) ** 2)
    path = page.evaluate(
        """([angle, upper, lower]) => {
            const plot = new Plot('sk-test', 'test');
            plot.fit({ width: 440, height: 220, top: 24, bottom: 24, low: -60, high: 110,
                stop: 1.7 });
            return plot.between(angle, upper, lower, [1, -1]);
        }""",
        [angle.tolist(), upper.tolist(), lower.tolist()],
    )
    points = np.array(re.findall(r"[ML]([-\d.]+) ([-\d.]+)", path), dtype=float)
    turn = int(points[:, 0].argmax()) + 1
    x = 52.0 + angle / 1.7 * (440.0 - 14.0 - 52.0)
    for edge, values in ((points[:turn], upper), (points[turn:][::-1], -lower)):
        y = 196.0 - (values + 60.0) / 170.0 * (196.0 - 24.0)
        off = np.abs(np.interp(x, edge[:, 0], edge[:, 1]) - y)
        assert off.max() < 0.05 + 0.03
        assert 5 < len(edge) < 100


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


@pytest.fixture
def stored(page: Page) -> Page:
    """A page with a place of its own, so that the browser lets it keep something."""
    page.route("http://bench.test/", lambda route: route.fulfill(body="<!doctype html>"))
    page.goto("http://bench.test/")
    page.add_script_tag(content=page_files.module().replace("export default", "window.bench ="))
    page.add_script_tag(content=MODEL)
    return page


def test_unsaved_moves_of_an_earlier_kernel_are_restored(stored: Page) -> None:
    asked, words, _ = run(stored, f"{KEEP} return begun({{}});")
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
    stored: Page, kept: str, rerun: bool, changed: bool
) -> None:
    """Where the door was changed since, the cell was run again, or both."""
    asked, words, more = run(stored, f"{KEEP} return begun({kept});")
    assert asked == [["differs", "moved"]]
    assert "is kept in this browser" in words
    assert ("The cell was run again." in more) == rerun
    assert ("The door was changed since: bringing the design back undoes that" in more) == changed
    assert "It changes a: 1 kg becomes 2 kg; b: 1 kg" in more
    assert "and 1 more. Undo takes it back." in more


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
def test_what_is_kept_otherwise_is_left_alone(stored: Page, kept: str) -> None:
    """The same design, too long, too old, of no true time, or no record."""
    assert run(stored, f"{KEEP} return begun({kept});") == [[], None, None]


def test_the_browser_keeps_few_designs_and_none_that_is_saved(stored: Page) -> None:
    found = run(
        stored,
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


def test_moves_that_python_has_not_answered_are_kept(stored: Page) -> None:
    """What was let go, and what is in hand when the kernel goes."""
    found = run(
        stored,
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


def test_inches_are_those_of_the_kit(page: Page) -> None:
    """Each figure beside the fraction that Python writes on paper and in findings."""
    for millimetres in (0.0, 1.5, 24.0, 25.4, 108.0, 114.3, -108.0, 610.0, 715.99):
        shown = page.evaluate("(value) => lengthFigure(value, 'inch')", millimetres)
        assert shown == inch_text(millimetres / 1e3, unit=False)


@pytest.mark.parametrize(
    ("value", "text"), [(0.4, "0"), (-0.4, "0"), (12.5, "13"), (-3.2, "−3"), (89.6, "90")]
)
def test_whole_figures_have_a_true_minus_and_no_minus_zero(
    page: Page, value: float, text: str
) -> None:
    assert page.evaluate("(value) => whole(value)", value) == text


def test_figures_are_moved_apart_as_little_as_can_be(page: Page) -> None:
    """Against quadratic programming in small: the mean of a crowded group stays where it was."""
    moved = page.evaluate("() => spread([10, 12, 50, 11], 15)")
    assert moved == [-4, 26, 50, 11]
    apart = sorted(page.evaluate("() => spread([5, 5, 5, 40, 41, 90], 15)"))
    assert all(high - low >= 15 - 1e-9 for low, high in itertools.pairwise(apart))
    assert sum(apart) == pytest.approx(5 * 3 + 40 + 41 + 90)


def test_a_label_stands_clear_of_what_is_there(page: Page) -> None:
    place = run(
        page,
        """
        const labels = new Labels(300, 200);
        labels.block(90, 40, 120, 30);
        return labels.place('hold 18 N', [[150, 60, 'middle'], [150, 120, 'middle']]);
        """,
    )
    assert place["y"] == 120


def test_edges_of_the_map_run_where_a_rule_is_just_kept(page: Page) -> None:
    """Two rules, a disc and a half plane: each edge at its own place, bounding where both hold."""
    found = run(
        page,
        """
        const n = 41;
        const nodes = Array.from({ length: n * n }, (_, i) => [i % n - 20, Math.floor(i / n) - 20]);
        const over = [nodes.map(([x, y]) => Math.hypot(x, y) - 12.3), nodes.map(([x]) => x - 5.25)]
            .map((row) => Float32Array.from(row));
        const grid = new MountGrid({ columns: n, rows: n, origin: [-20, -20], step: 1,
            rules: ['disc', 'plane'], arrays: { over, value: [Float32Array.from(nodes,
                ([x, y]) => 50 + x + y)] } });
        const ends = (pieces) => pieces.flatMap((one) => one.ends);
        const [disc, plane] = [0, 1].map((rule) => grid.edge(rule));
        return { disc: ends(disc.pieces), bound: ends(disc.bounding), plane: ends(plane.bounding),
            away: plane.bounding.map((one) => one.away), range: grid.range,
            between: grid.between(grid.value, [1.5, -2.25]), level: grid.level(50).flat() };
        """,
    )
    radii = [(x * x + y * y) ** 0.5 for x, y in found["disc"]]
    assert max(abs(one - 12.3) for one in radii) < 0.02
    assert len(found["bound"]) < len(found["disc"])
    assert max(x for x, _ in found["bound"]) < 5.25 + 1.0
    assert {round(x, 5) for x, _ in found["plane"]} == {5.25}
    assert max(abs(y) for _, y in found["plane"]) < (12.3**2 - 5.25**2) ** 0.5 + 1.0
    assert all(away == pytest.approx([1.0, 0.0], abs=1e-6) for away in found["away"])
    assert found["range"]["low"] == min(
        50 + x + y for x in range(-20, 6) for y in range(-20, 21) if x * x + y * y <= 12.3**2
    )
    assert found["between"] == pytest.approx(49.25, abs=1e-4)
    assert all(abs(x + y) < 1e-4 for x, y in found["level"])


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
