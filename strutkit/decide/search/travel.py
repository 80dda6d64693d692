"""The travel of layouts: where it ends, whether the struts fit, what stroke they keep.

Model 11.6, 11.7 and 11.19.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from strutkit.compute import geometry
from strutkit.decide.search.ends import surely_ended_length
from strutkit.decide.search.layouts import Layouts, Others, lengths_and_arms
from strutkit.decide.search.task import Task

if TYPE_CHECKING:
    from strutkit.decide.search.rows import Judge

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Travel:
    """End of travel [rad], whether the struts fit, and stroke kept at each end [m], each [m];
    extended is inf where the struts are the stop.

    lost [k, m]: stroke kept pushed in [m], less than 0 where one bottoms out, with each of the
    other struts lost and last with the one that is moved, if it has no twin; none without others.
    """

    end: Floats
    fits: Flags
    compressed: Floats
    extended: Floats
    lost: Floats


def measure_travel(judge: "Judge", layouts: Layouts) -> Travel:
    """Where each layout's travel ends, and what stroke it keeps (model 11.6, 11.7, 11.19).

    Beside other struts the stroke is looked at with each of them lost as well, where the travel
    may end later; where one then bottoms out no stroke is kept that could be measured.
    """
    task, choices = judge.task, judge.choices
    shape = _shape(task, layouts)
    extended, stroke = choices.extended[layouts.choice], choices.stroke[layouts.choice]
    own = own_end(shape, extended, task.stop)
    end = own if judge.others is None else np.minimum(own, judge.others.statics.end[0])
    shut, arm = lengths_and_arms(layouts, task.offset, np.zeros(len(layouts)))
    fits = shut <= extended + geometry.LENGTH_SLACK
    fits &= (shut < extended) | (arm <= 0.0)
    fits &= end >= min(task.least_opening, task.stop) - geometry.ANGLE_SLACK

    def kept(ends: Floats, moved: bool, rest: list[int]) -> tuple[Floats, Floats]:
        parts = [_strokes(task, shape, extended, stroke, ends)] if moved else []
        if judge.others is not None:
            parts += [_other_strokes(judge.others, task, number, ends) for number in rest]
        pushed_in, left = zip(*parts, strict=True)
        return np.minimum.reduce(pushed_in), np.minimum.reduce(left)

    every = [] if judge.others is None else list(range(len(judge.others.stroke)))
    compressed, left = kept(end, True, every)
    fits &= compressed >= -geometry.LENGTH_SLACK
    lost = []
    for case in _losses(judge, layouts, own):
        pushed_in, spare = kept(*case)
        holds = pushed_in >= -geometry.LENGTH_SLACK
        compressed = np.where(holds, np.minimum(compressed, pushed_in), compressed)
        left = np.where(holds, np.minimum(left, spare), left)
        lost.append(pushed_in)
    return Travel(
        end,
        fits,
        np.maximum(0.0, compressed),
        np.maximum(0.0, left),
        np.array(lost).reshape(-1, len(layouts)),
    )


def _losses(judge: "Judge", layouts: Layouts, own: Floats) -> list[tuple[Floats, bool, list[int]]]:
    """Ends of travel [m] with each strut lost: whether the moved strut is there, and which of the
    others."""
    if judge.others is None:
        return []
    task, model = judge.task, judge.others.statics
    others = own_end(model.geometry, model.extended_length, task.stop)
    every = list(range(len(others)))
    cases = []
    for lost in every:
        rest = [number for number in every if number != lost]
        cases.append((np.minimum(own, others[rest].min(initial=task.stop)), True, rest))
    if int(judge.choices.count[0]) == 1:
        cases.append((np.full(len(layouts), others.min()), False, every))
    return cases


def least_left(judge: "Judge", layouts: Layouts) -> Floats:
    """Least stroke kept extended with the mounts anywhere within the drilling error [m], no other
    struts beside; inf where the struts are the stop at all those places.

    Where they are the stop at some of them only, they keep next to none at others.
    """
    task = judge.task
    extended = judge.choices.extended[layouts.choice]
    longest, _ = geometry.longest(_shape(task, layouts), task.stop)
    left = np.maximum(0.0, extended - surely_ended_length(task, longest))
    own = longest > extended + geometry.LENGTH_SLACK
    surely = longest > surely_ended_length(task, extended) + geometry.LENGTH_SLACK
    return np.where(surely, np.inf, np.where(own, 0.0, left))


def missing_to_open(judge: "Judge", layouts: Layouts, opening: float) -> Floats:
    """How much longer each layout's struts would have to be for the travel not to end before
    `opening` [rad] [m]; 0 or less: it goes that far (model 11.6)."""
    longest, _ = geometry.longest(_shape(judge.task, layouts), opening)
    return longest - judge.choices.extended[layouts.choice] - geometry.LENGTH_SLACK


def _shape(task: Task, layouts: Layouts) -> geometry.StrutGeometry:
    offset = np.full(len(layouts), task.offset)
    return geometry.StrutGeometry(layouts.radius_frame, layouts.radius_panel, layouts.phase, offset)


def _other_strokes(others: Others, task: Task, number: int, end: Floats) -> tuple[Floats, Floats]:
    """Strokes that one of the other struts keeps at both ends [m]."""
    shape = others.statics.geometry
    parts = (shape.radius_frame, shape.radius_panel, shape.phase, shape.offset)
    one = geometry.StrutGeometry(*(np.full(len(end), part[number]) for part in parts))
    extended = others.statics.extended_length[number]
    return _strokes(task, one, extended, others.stroke[number], end)


def _strokes(
    task: Task,
    shape: geometry.StrutGeometry,
    extended: Floats,
    stroke: Floats,
    end: Floats,
) -> tuple[Floats, Floats]:
    """Stroke kept pushed in and extended [m], inf where a strut is the stop [m]."""
    shortest, _ = geometry.shortest(shape, end)  # type: ignore[arg-type]
    longest, _ = geometry.longest(shape, end)  # type: ignore[arg-type]
    left = extended - longest
    is_stop = (end < task.stop) & (left <= geometry.LENGTH_SLACK)
    return shortest - (extended - stroke), np.where(is_stop, np.inf, left)


def own_end(shape: geometry.StrutGeometry, extended: Floats, stop: float) -> Floats:
    reached = geometry.angle_at_extension(shape, extended)
    longest, _ = geometry.longest(shape, stop)
    before = (reached < stop - geometry.ANGLE_SLACK) & (longest > extended + geometry.LENGTH_SLACK)
    return np.where(before, reached, stop)
