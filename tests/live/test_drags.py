"""The whole life of a drag: once all is answered the screen shows the design, come what may.

The page's store beside a small stand-in for Python, whose answers come when a test says so.
"""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.live.conftest import store_page

Steps = list[str | int]

PYTHON = """
    const at = (edit) => edit?.panel?.[0] ?? 0;
    let design = 0;
    const set = (value) => {
        const changed = value !== design;
        design = value;
        traits.design = `d${design}`;
        if (changed) hears['change:design']();
        return changed;
    };
    const swept = (value) => ({ figures: { end: 1, of: value }, layout: [['angle', 1, 2]] });
    const handlers = {
        curves: ({ edit }) => (at(edit) > 5 ? { fault: 'too short' } : swept(at(edit))),
        commit: ({ edit, earlier = [] }) => {
            const fits = [edit, ...earlier].find((one) => at(one) <= 5);
            const changed = fits ? set(at(fits)) : false;
            const refused = { fault: 'too short', design: `d${design}` };
            return { changed, ...(fits === edit ? {} : refused) };
        },
        undo: () => { set(0); return {}; },
        scene: () => ({ scene: { struts: [{ place: 0, name: 'one', frame: [7, 0, 0],
            panel: [design, 0, 0] }] }, state: { unsaved: design !== 0 }, map_keys: {},
            ...swept(design) }),
        judge: ({ edit }) => ({ verdict: edit ? at(edit) : design }),
        compare: () => ({ compare: design }),
    };
    let read = 0;
    const reply = async () => {
        const asked = sent[read];
        if (!asked) return false;
        read += 1;
        const kinds = [asked.kind];
        if (asked.kind === 'curves' && 'place' in asked) kinds.push('judge');
        for (const kind of kinds.filter((one) => handlers[one])) {
            const body = handlers[kind](asked);
            store.hear({ client: asked.client, seq: asked.seq, kind, ...body },
                [new Float32Array([0, 1]).buffer]);
            for (let i = 0; i < 9; i += 1) await null;
        }
        return true;
    };
    const settle = async () => { while (await reply()); };
    const acts = {
        down: () => store.hold(0, 'panel'), up: () => store.commit(), escape: () => store.cancel(),
        undo: () => { store.change('undo'); }, reset: () => { set(0); }, one: reply, all: settle,
    };
    const live = async (steps) => {
        sent.length = 0;
        read = 0;
        design = 0;
        traits.design = 'd0';
        window.store = new Store(model);
        store.start();
        await settle();
        for (const step of steps) {
            if (acts[step]) await acts[step]();
            else store.move({ place: 0, panel: [step, 0, 0] });
        }
        await settle();
        store.stop();
        return { picture: store.mounts(store.scene.struts[0]).panel[0], charts: store.curves.of,
            findings: store.verdict, table: store.compare, design,
            fits: at(sent.filter((one) => one.edit && at(one.edit) <= 5).at(-1)?.edit),
            refused: store.refused && [at(store.refused.edit), store.refused.words],
            left: [store.draft, store.accepted, store.resting] };
    };
    const found = [];
    for (const steps of every) found.push(await live(steps));
    return found;
"""
"""In small: the door as given is at 0, what lies beyond 5 does not fit."""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with store_page(browser) as page:
        yield page


ANSWERS: list[Steps] = [[], ["one"], ["one", "one"], ["all"]]


def lives(page: Page, every: list[Steps]) -> list[dict[str, Any]]:
    """How the view rests after each row of steps; picture, charts and findings are the design's."""
    found = page.evaluate(f"async (every) => {{ {PYTHON} }}", every)
    for steps, one in zip(every, found, strict=True):
        seen = [one[name] for name in ("picture", "charts", "findings", "table")]
        assert seen == [one["design"]] * 4, (steps, one)
        assert one["left"] == [None, None, True], (steps, one)
    return list(found)


def drags(*places: int) -> list[Steps]:
    """A drag through these places, with every way that answers may come in between."""
    every: list[Steps] = [["down"]]
    for place in places:
        every = [[*steps, place, *answers] for steps in every for answers in ANSWERS]
    return [[*steps, "up"] for steps in every]


@pytest.mark.parametrize("places", [(9,), (2, 9), (2, 3, 9), (2, 3, 4, 9), (9, 2, 9, 8)])
def test_a_drag_that_ends_where_nothing_fits_rests_at_the_last_place_that_did(
    page: Page, places: tuple[int, ...]
) -> None:
    """Of the places that Python was asked about, whatever it had answered by then."""
    for one in lives(page, drags(*places)):
        assert one["design"] == one["fits"]
        assert one["refused"] == [places[-1], "too short"]


def test_a_drag_that_ends_where_it_fits_rests_there(page: Page) -> None:
    """Also after a place that did not fit, and back where it began."""
    for places in ((2,), (2, 9, 4), (9, 3), (2, 0)):
        for one in lives(page, drags(*places)):
            assert one["design"] == places[-1]
            assert one["refused"] is None


def test_a_drag_that_is_taken_back_leaves_the_design(page: Page) -> None:
    for places in ((2,), (2, 9), (9, 2)):
        for one in lives(page, [[*steps[:-1], "escape"] for steps in drags(*places)]):
            assert (one["design"], one["refused"]) == (0, None)


@pytest.mark.parametrize(
    ("then", "rests", "clears"),
    [
        (["undo"], {0}, True),
        (["all", "reset"], {0}, True),
        (["reset"], {0, 2}, False),
        (["all", "escape"], {0, 2}, True),
        (["down", "up"], {0, 2}, False),
        (["down", 3, "up"], {3}, True),
        (["down", 3, "one", "escape"], {0, 2}, True),
        (["down", 8, "one", "up", "one", "undo"], {0}, True),
    ],
)
def test_what_follows_a_drag_that_did_not_fit(
    page: Page, then: Steps, rests: set[int], clears: bool
) -> None:
    """While its answers are on their way: a change from elsewhere, or the next drag."""
    every = [[*steps, *answers, *then] for steps in drags(2, 9) for answers in ANSWERS]
    for one in lives(page, every):
        assert one["design"] in rests
        assert one["refused"] is None or not clears


def test_a_drag_that_is_taken_back_after_one_that_never_fitted(page: Page) -> None:
    every = [[*one, "down", 3, *answers, "escape"] for one in drags(9) for answers in ANSWERS]
    for one in lives(page, every):
        assert (one["design"], one["refused"]) == (0, None)


def test_a_move_that_goes_on_after_the_keys_came_to_rest_is_let_go_as_well(
    page: Page,
) -> None:
    """A burst of keys ends by itself, also while a hand holds the same mount."""
    for answers in ANSWERS:
        (one,) = lives(page, [["down", 1, *answers, "up", 2, 3, *answers, "up"]])
        assert one["design"] == 3
