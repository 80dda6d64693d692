"""Parts of the page without a notebook: figures, places of labels, edges of areas."""

import itertools
import re
from dataclasses import replace

import numpy as np
import pytest
from playwright.sync_api import Page

from strutkit import Condition, Limits, check, read_door
from strutkit.data import door_path
from strutkit.describe.numbers import inch_text
from strutkit.live import answers
from strutkit.live.mapping import Mount, map_of
from tests.live.conftest import run


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


def test_inches_are_those_of_the_kit(page: Page) -> None:
    """Each figure beside the fraction that Python writes on paper and in findings."""
    for millimetres in (0.0, 1.5, 24.0, 25.4, 108.0, 114.3, -108.0, 610.0, 715.99):
        shown = page.evaluate("(value) => lengthFigure(value, 'inch')", millimetres)
        assert shown == inch_text(millimetres / 1e3, unit=False)


def test_a_weaker_strut_may_be_left_no_charge_before_it_breaks_a_rule(page: Page) -> None:
    """400 N, of which a condition takes 120 N; 20 N of friction. A rule with a low edge comes
    before."""
    door = read_door(door_path("rear-hatch"))
    weak = Condition(name="weak charge", rating_change=-120.0)
    door = replace(door, conditions=(weak,))
    for limits, said in (
        (Limits(hand_closing=95.0), r"under 101 N no charge is left in “weak charge”\."),
        (
            Limits(reserve_force=1.0),
            r"of these rules “Stays up, 1 N to spare” breaks first, under \d+ N\.",
        ),
    ):
        words = page.evaluate(
            """(verdict) => {
                const late = { window: { shown: false } };
                const view = new RatingView({ window: verdict.window, selected: { place: 0 }, late,
                    scene: { small: false }, strutAt: () => ({ rating: 400 }) });
                view.layout(600, false);
                const notes = [view.note.textContent];
                late.window.shown = true;
                view.stale();
                const all = [...view.bars.querySelectorAll('.sk-rule')].at(-1).textContent;
                return [...view.first.map((one) => one.textContent), all, view.unlooked.textContent,
                    ...notes, view.note.textContent];
            }""",
            answers.verdict(replace(door, limits=limits), (), 0),
        )
        weaker, stronger, together, unlooked, of, waits = words
        assert re.fullmatch("Stronger(: | than 400 N: none ).*of these rules .*", stronger), words
        assert together == "All these rules"
        assert unlooked == "Not looked at here: gas to spare, rod buckling, charge pressure."
        assert re.fullmatch(f"Weaker: {said}", weaker), words
        assert of == "at these mounts; dotted: in the stock list"
        assert waits == "waiting: these bars are of an earlier place"


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
        const over = [nodes.map(() => -1), nodes.map(([x, y]) => Math.hypot(x, y) - 12.3),
            nodes.map(([x]) => x - 5.25)].map((row) => Float32Array.from(row));
        const made = (here) => new MountGrid({ columns: n, rows: n, origin: [-20, -20], step: 1,
            rules: ['fits', 'disc', 'plane'], here, arrays: { over, value: [Float32Array.from(nodes,
                ([x, y]) => 50 + x + y)] } });
        const at = [-8.6, -8.6];
        const grid = made({ at, value: 32.8, holds: false });
        const beside = made({ at, value: 32.8, holds: true });
        const ends = (pieces) => pieces.flatMap((one) => one.ends);
        const [disc, plane] = [1, 2].map((rule) => grid.edge(rule));
        return { disc: ends(disc.pieces), bound: ends(disc.bounding), plane: ends(plane.bounding),
            away: plane.bounding.map((one) => one.away), range: grid.range,
            between: grid.between(grid.value, [1.5, -2.25]), level: grid.level(50).flat(),
            beside: beside.range, worth: [beside.worthOf(at), beside.worthOf([1.5, -2.25])] };
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
    assert found["beside"] == found["range"] | {"low": 32.8, "at": [-8.6, -8.6]}
    assert found["worth"] == [
        {"value": 32.8, "holds": True},
        {"value": pytest.approx(49.25, abs=1e-4), "holds": True},
    ]
    assert all(abs(x + y) < 1e-4 for x, y in found["level"])


def test_only_where_the_struts_fit_has_a_rule_an_edge_or_is_broken(page: Page) -> None:
    """They fit left of x = 0; there the second rule holds below y = 0, the third nowhere, the
    fourth everywhere. Beyond, the arrays have all rules over by 1."""
    found = run(
        page,
        """
        const n = 21;
        const nodes = Array.from({ length: n * n }, (_, i) => [i % n - 10, Math.floor(i / n) - 10]);
        const rules = [() => -1, ([, y]) => y - 0.5, () => 4, () => -2];
        const grid = (fits) => new MountGrid({ columns: n, rows: n, origin: [-10, -10], step: 1,
            rules: ['fits', 'half', 'never', 'always'], here: { at: [0, 0], value: null,
                holds: false }, arrays: { over: rules.map((rule) => Float32Array.from(nodes,
                (node) => (fits(node) ? rule(node) : 1))), value: [new Float32Array(n * n)] } });
        const part = grid(([x]) => x < 0);
        return { edges: part.rules.map((_, rule) => part.edge(rule, true).bounding
            .flatMap((one) => one.ends)), part: part.brokenEverywhere(),
            all: grid(() => true).brokenEverywhere(), none: grid(() => false).brokenEverywhere() };
        """,
    )
    fits, half, never, always = found["edges"]
    assert {x for x, _ in fits} == {-0.5}
    assert {y for _, y in half} == {0.5}
    assert max(x for x, _ in half) == -1.0
    assert never == always == []
    assert found["part"] == {"where": "Wherever it fits", "rules": ["never"]}
    assert found["all"] == {"where": "Everywhere", "rules": ["never"]}
    assert found["none"] == {"where": "Everywhere", "rules": ["fits"]}


def test_a_map_on_which_nothing_holds_speaks_of_no_zone(page: Page) -> None:
    """Of a door that marks none."""
    door = replace(read_door(door_path("rear-hatch")), zones=())
    door = replace(door, limits=replace(door.limits, hand_opening=0.001))
    figures, arrays = map_of(Mount(door, 0, "panel"), fine=False)
    words = page.evaluate(
        """([figures, arrays]) => {
        const strut = { place: 0, name: 'left', frame: [0, 0, 0], panel: [...figures.here.at, 0] };
        Object.assign(store.scene, { struts: [strut], name: 'door', small: false });
        store.map = new MountGrid({ ...figures, arrays });
        const view = new MapView(store);
        view.layout(440);
        return view.words.hidden ? '' : view.words.textContent; }""",
        [figures, {name: np.atleast_2d(rows).tolist() for name, rows in arrays.items()}],
    )
    assert words.startswith("No place on this map holds all rules.")
    assert "zone" not in words


def test_the_map_names_what_fails_outside_its_rules(page: Page) -> None:
    """All that `check` judges is a rule of the map or named beside it, with what fails now."""
    door = read_door(door_path("rear-hatch"))
    kept = replace(door.limits, lift_off=None, reserve_force=None, hinge_radial=None)
    hung = door.struts[0]
    weak = replace(hung, strut=replace(hung.strut, rating=200.0))
    thin = replace(hung, strut=replace(hung.strut, rod_diameter=0.004))
    said = []
    for strut in (hung, weak, thin):
        tried = replace(door, struts=(strut,), limits=kept)
        grid = map_of(Mount(tried, 0, "panel"), fine=False)[0]
        text = page.evaluate(
            """([grid, verdict]) => {
            const view = Object.assign(Object.create(MapView.prototype),
                { grid, store: { verdict }, unlooked: element('p') });
            view.sayUnlooked();
            return view.unlooked.hidden ? '' : view.unlooked.textContent; }""",
            [grid, answers.verdict(tried, (), 0)],
        )
        beyond = {one.name: one.ok for one in check(tried) if not hasattr(kept, one.name)}
        judged = [name.replace("_", " ") for name, ok in beyond.items() if ok is not None]
        fails = [name.replace("_", " ") for name, ok in beyond.items() if ok is False]
        now = f" Fails as it is now: {', '.join(fails)}." if fails else ""
        assert text == f"Not looked at here: {', '.join(judged)}.{now}"
        said.append(sorted(fails))
    assert said == [[], ["gas to spare"], ["charge pressure", "rod buckling"]]
