"""How long the sweep of a door takes, beside MuJoCo doing the same angles in the same run.

Two struts, eight conditions, 181 angles. Aim: under 1 ms on one core. MuJoCo is given its model
built and its positions one by one, and answers with lengths, arms and moments alone: a mark to
measure against, not a like for like.
"""

import math
import statistics
import time
from collections.abc import Callable
from dataclasses import replace

import mujoco
import numpy as np
import pytest

from strutkit.decide.conditions import all_conditions, door_statics
from strutkit.decide.loads import hinge_loads
from strutkit.decide.summary import summaries
from strutkit.decide.sweep import Sweep, sweep, sweep_conditions, sweep_many
from strutkit.decide.window import rating_window
from strutkit.describe.records import Condition, Door, FittedStrut, Hinge, Limits, Panel, Strut
from tests.mujoco_rig import Rig

ANGLES = 181
ROUNDS = 60


def lid() -> Door:
    """A level lid on a mirrored pair, nominal and seven more conditions, 90° in steps of 0.5°."""
    strut = Strut(
        name="left",
        rating=220.0,
        extended_length=0.60,
        stroke=0.32,
        force_ratio=1.28,
        friction=18.0,
    )
    conditions = tuple(
        Condition(name=f"condition {i}", temperature=253.15 + 8.0 * i, ageing=0.85 + 0.02 * i)
        for i in range(7)
    )
    return Door(
        name="lid",
        panel=Panel(mass=11.6, centre_of_gravity=(0.33, 0.0, -0.012), handle=(0.655, 0.0, -0.025)),
        hinge=Hinge(
            first=(0.0, -0.38, 0.0),
            second=(0.0, 0.38, 0.0),
            opens_toward="up",
            stop_angle=math.pi / 2,
        ),
        struts=(
            FittedStrut(
                strut=strut,
                frame_mount=(0.09, -0.4, -0.30),
                panel_mount=(0.21, -0.4, -0.03),
                mirrored=True,
            ),
        ),
        conditions=conditions,
    )


def limited() -> Door:
    return replace(
        lid(),
        limits=Limits(hand_opening=60.0, hand_closing=120.0, lift_off=0.5, reserve_force=20.0),
    )


def mujoco_sweep(rigs: list[Rig], forces: list[np.ndarray], angle: np.ndarray) -> np.ndarray:
    """Net moments of each condition at each angle, MuJoCo's loop and nothing else [c, n]."""
    net = np.empty((len(rigs), len(angle)))
    for row, rig in enumerate(rigs):
        model, state, force = rig.hung, rig.hung_state, forces[row]
        for column, theta in enumerate(angle):
            state.qpos[0] = theta
            state.ctrl[:] = force[:, column]
            mujoco.mj_forward(model, state)
            net[row, column] = state.qfrc_actuator[0] - state.qfrc_bias[0]
    return net


@pytest.fixture(scope="module")
def swept() -> tuple[Sweep, ...]:
    return sweep_conditions(lid())


@pytest.fixture(scope="module")
def mujoco_task(swept: tuple[Sweep, ...]) -> tuple[list[Rig], list[np.ndarray], np.ndarray]:
    rigs = [Rig(one.door, one.condition) for one in swept]
    return rigs, [one.strut_force for one in swept], swept[0].angle


@pytest.mark.benchmark(group="sweep")
def test_sweep_conditions(benchmark, swept: tuple[Sweep, ...]) -> None:
    assert (len(swept), swept[0].strut_length.shape) == (8, (2, ANGLES))
    benchmark(sweep_conditions, lid())


@pytest.mark.benchmark(group="sweep")
def test_one_sweep(benchmark) -> None:
    benchmark(sweep, lid())


@pytest.mark.benchmark(group="sweep")
def test_mujoco(benchmark, mujoco_task: tuple, swept: tuple[Sweep, ...]) -> None:
    net = benchmark(mujoco_sweep, *mujoco_task)
    np.testing.assert_allclose(net, [one.moment for one in swept], rtol=0.0, atol=1e-9 * 200.0)


@pytest.mark.benchmark(group="sweep")
def test_ratio(benchmark, mujoco_task: tuple) -> None:
    """Taken in turn, so that a busy machine slows both."""
    door = lid()
    tasks = {"kit": lambda: sweep_conditions(door), "mujoco": lambda: mujoco_sweep(*mujoco_task)}
    median = benchmark.pedantic(in_turn, args=(tasks,), rounds=1)
    print(
        f"\n2 struts, 8 conditions, {ANGLES} angles: sweep_conditions {1e3 * median['kit']:.3f} ms"
        f" (aim under 1 ms), MuJoCo's loop {1e3 * median['mujoco']:.2f} ms,"
        f" ratio {median['mujoco'] / median['kit']:.1f}"
    )


def in_turn(tasks: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Median seconds of each task, all of them run one after the other, many times."""
    taken: dict[str, list[float]] = {name: [] for name in tasks}
    for _ in range(ROUNDS):
        for name, task in tasks.items():
            start = time.perf_counter()
            task()
            taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(each) for name, each in taken.items()}


@pytest.mark.benchmark(group="answers")
def test_all_summaries(benchmark) -> None:
    door = limited()
    benchmark(lambda: summaries(door, door_statics(door, all_conditions(door))))


@pytest.mark.benchmark(group="answers")
def test_rating_window(benchmark) -> None:
    benchmark(rating_window, limited())


@pytest.mark.benchmark(group="answers")
def test_hinge_loads(benchmark) -> None:
    benchmark(hinge_loads, sweep(lid()))


@pytest.mark.benchmark(group="answers")
def test_what_a_drag_needs(benchmark) -> None:
    """All sweeps, lift-off, peaks and window. Aim: under 4 ms."""
    door = limited()

    def answer() -> None:
        model = door_statics(door, all_conditions(door))
        sweep_many(door, all_conditions(door), model)
        summaries(door, model)
        rating_window(door)

    benchmark(answer)
