"""Angles at which rules are asked, and the conditions that may decide there.

Of two conditions at one angle, one implies the other where it has the smaller force and weight
moment (for rules that ask for lift where the arm is positive; the greater force where it is
negative; the reverse for rules that ask against it). Few survive this, and only those are
computed.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from strutkit.decide.search import task as names
from strutkit.decide.search.problem import Problem
from strutkit.decide.search.task import Choices, Task

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

SLIM_NODES = 60


@dataclass(frozen=True, slots=True)
class Nodes:
    """Angles at which rules are asked [k], and which conditions decide there.

    weight: moment of the weight [c, k]; low, high: whether a condition may decide low and high
    rows [c, k].
    """

    angle: Floats
    weight: Floats
    low: Flags
    high: Flags

    def take(self, rows: Indices) -> "Nodes":
        """The nodes of these numbers."""
        return Nodes(self.angle[rows], self.weight[:, rows], self.low[:, rows], self.high[:, rows])


def make_nodes(task: Task, choices: Choices, alive: Indices, step: float, more: Floats) -> Nodes:
    """Nodes at most `step` apart from shut to the stop, with the angles `more` [rad].

    alive: the choices that are still looked at.
    """
    count = max(1, int(np.ceil(task.stop / step - 1e-9)))
    angle = np.unique(np.concatenate([np.linspace(0.0, task.stop, count + 1), more]))
    weight = task.gravity_moment(angle)
    gas = choices.gas[alive]
    always = np.asarray(choices.applies[alive].all(axis=0))
    smaller = np.asarray((gas[:, :, None] <= gas[:, None, :]).all(axis=0))
    lighter = weight[:, None, :] <= weight[None, :, :]
    heavier = np.swapaxes(lighter, 0, 1)
    low = _undominated(smaller, lighter, always) | _undominated(smaller.T, lighter, always)
    high = _undominated(smaller.T, heavier, always) | _undominated(smaller, heavier, always)
    return Nodes(angle=angle, weight=weight, low=low, high=high)


def _undominated(stronger: Flags, worse: Flags, always: Flags) -> Flags:
    """Conditions [c, k] that no other implies: stronger [c, c] and worse [c, c, k] are "first
    implies second"; of two that imply each other the first is kept."""
    count = len(stronger)
    implies = stronger[:, :, None] & worse & always[:, None, None]
    order = np.arange(count)
    tie = implies & np.swapaxes(implies, 0, 1)
    implies &= ~tie | (order[:, None, None] < order[None, :, None])
    implies[order, order] = False
    return np.asarray(~implies.any(axis=0))


def slimmed(problem: Problem, alive: Indices) -> Problem:
    """The problem with only the conditions that may decide for the choices `alive`.

    Hinge load and reserve share are not ordered by force and weight: with them all are kept.
    """
    if {names.HINGE, names.RESERVE} & set(problem.wanted):
        return problem
    task, choices = problem.judge.task, problem.judge.choices
    nodes = make_nodes(task, choices, alive, task.stop / SLIM_NODES, np.zeros(0))
    kept = np.flatnonzero((nodes.low | nodes.high).any(axis=1))
    slim_task = replace(
        task,
        names=tuple(task.names[row] for row in kept),
        gravity_cosine=task.gravity_cosine[kept],
        gravity_sine=task.gravity_sine[kept],
        weight=task.weight[kept],
    )
    slim_choices = replace(choices, gas=choices.gas[:, kept], applies=choices.applies[:, kept])
    return replace(problem, judge=replace(problem.judge, task=slim_task, choices=slim_choices))
