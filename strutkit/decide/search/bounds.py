"""What no layout of a box can hold or beat: rules as rows in the strut's pressed arm.

At an angle theta in a condition every moment is linear in phi = J g, with g = 1/(1 - (Lext -
L)/G): M = F phi + Mg, and friction is f |J| = f |phi| / g. With what is allowed of each rule (its
limit; of the ranked rule what has still to be beaten), a rule is a row

    low    F phi - q (f |phi| / g + Mh) + Mg >= base
    high   F phi +   (f |phi| / g + Mh) + Mg <= base

    hand_opening   low, q = 1, base = -allowed · r    hand_closing   high, base = allowed · r_c
    lift_off       low, q = 1, base = 0, late         latch          high, no friction, shut
    reserve        low, q = 0, base = share |Mg|      reserve_force  low, q = 0, base = N · r

F and f those of all struts of the choice. So all rows together leave one window of phi at each
angle. A box whose own range of phi (`ranges`) misses the window at any angle holds no layout: the
window couples rules that pull against each other at one angle, whatever the geometry. g is taken
at its greatest, which favours the layout. Any subset of angles is a valid relaxation.

Layouts whose struts end the travel are bounded apart: at the angles that all of a box reach, and
at the end itself (`ends`), where L = Lext and g = 1.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from strutkit.compute.geometry import LENGTH_SLACK
from strutkit.decide.search import task as names
from strutkit.decide.search.ends import (
    End,
    end_of_travel,
    sure_after_moves,
    surely_ended_length,
    weight_range,
)
from strutkit.decide.search.moved import moved_ranges
from strutkit.decide.search.nodes import Nodes
from strutkit.decide.search.ranges import Boxes, Ranges, joined, psi_ranges, ranges
from strutkit.decide.search.task import Choices, Task

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]

FIRST_NODES = 6
ROUNDING = 1e-9
"""What is allowed for the rounding of doubles [m, rad, N·m]."""


@dataclass(frozen=True, slots=True)
class _Strut:
    """The choice of each box [n]; gas and applies [c, n]."""

    extended: Floats
    shortest: Floats
    inverse_column: Floats
    friction: Floats
    gas: Floats
    applies: Flags

    @staticmethod
    def of(choices: Choices, boxes: Boxes) -> "_Strut":
        row = boxes.choice
        gas, applies = choices.gas[row].T, choices.applies[row].T
        weakest = np.where(applies, gas, np.inf).min(axis=0)
        return _Strut(
            extended=choices.extended[row],
            shortest=choices.extended[row] - choices.stroke[row],
            inverse_column=choices.inverse_column[row],
            friction=np.minimum(choices.friction[row], 0.99 * weakest),
            gas=np.where(applies, gas, weakest),
            applies=applies,
        )

    def take(self, rows: Indices) -> "_Strut":
        return _Strut(*(getattr(self, field.name)[..., rows] for field in fields(self)))


@dataclass(frozen=True, slots=True)
class _Block:
    """Rows at k angles for n boxes.

    low, high: range of phi, and rubbing, f / g at most [k, n]; weight_low, weight_high: range of
    the weight moment [c, k, n or 1]; low_rows, high_rows: conditions that may decide [c, k];
    asked, late, span: where the rules, the lift-off and the reserves are asked [k, n or 1];
    angle [k, n or 1]; shut: whether the first angle is 0.
    """

    low: Floats
    high: Floats
    rubbing: Floats
    weight_low: Floats
    weight_high: Floats
    low_rows: Flags
    high_rows: Flags
    asked: Flags
    late: Flags
    span: Flags
    angle: Floats
    shut: bool
    stop: bool

    def take(self, columns: Indices) -> "_Block":
        """The same for some of the boxes."""
        shared = ("weight_low", "weight_high", "asked", "late", "span", "angle")
        own = [name for name in shared if getattr(self, name).shape[-1] > 1]
        names_of_boxes = ("low", "high", "rubbing", *own)
        return replace(self, **{name: getattr(self, name)[..., columns] for name in names_of_boxes})


def bounded(
    task: Task,
    choices: Choices,
    boxes: Boxes,
    nodes: Nodes,
    allowed: Floats,
    ranking: tuple[int, ...],
    *,
    ends_first: bool = True,
) -> Boxes:
    """The boxes that may hold a layout with every cost at most `allowed` [n, 9].

    Each comes with the least cost of the ranked rules over it, if that is more than it had. The
    hinge load is not looked at here (`hinge`). A few nodes are asked first, the others only of the
    boxes that pass; ends_first: lengths shut and open before all, where many may fail by them.
    """
    if ends_first:
        rows = np.flatnonzero(_ends_fit(task, choices, boxes, allowed))
        boxes, allowed = boxes.take(rows), allowed[rows]
    for group in _groups(nodes):
        parts, kept_rows = [boxes.take(slice(0, 0))], [np.zeros(0, dtype=np.intp)]
        for by_strut, bound in ((False, _stopped), (True, _ended_by_strut)):
            own = np.flatnonzero(boxes.by_strut == by_strut)
            if len(own):
                kept, cost = bound(task, choices, boxes.take(own), group, allowed[own], ranking)
                part = boxes.take(own[kept])
                parts.append(replace(part, cost=np.maximum(part.cost, cost - ROUNDING)))
                kept_rows.append(own[kept])
        boxes, allowed = joined(parts), allowed[np.concatenate(kept_rows)]
    return boxes


def _groups(nodes: Nodes) -> list[Nodes]:
    """Some nodes spread over all, then the others."""
    count = len(nodes.angle)
    first = np.unique(np.linspace(0, count - 1, min(count, FIRST_NODES)).astype(int))
    rest = np.setdiff1d(np.arange(count), first)
    return [nodes.take(first), *([nodes.take(rest)] if len(rest) else [])]


def _ends_fit(task: Task, choices: Choices, boxes: Boxes, allowed: Floats) -> Flags:
    """Whether struts may fit shut and, unless they end the travel, at the stop [n]."""
    strut = _Strut.of(choices, boxes)
    found = ranges(boxes, task.offset, np.array([0.0, task.stop]))
    kept, left = _least_strokes(allowed)
    shortest, longest = strut.shortest + kept, strut.extended - left
    shut = (found.longest[0] >= shortest) & (found.shortest[0] <= strut.extended + 2 * LENGTH_SLACK)
    at_stop = (found.longest[1] >= shortest) & (found.shortest[1] <= longest)
    return np.asarray(shut & (boxes.by_strut | (at_stop & (found.shortest[0] <= longest))))


def _least_strokes(allowed: Floats) -> tuple[Floats, Floats]:
    """Stroke to be kept at either end, less the slack of lengths [n] [m]."""
    kept = np.maximum(-allowed[:, names.COMPRESSED], 0.0) - 2.0 * LENGTH_SLACK
    left = np.maximum(-allowed[:, names.EXTENDED], 0.0) - 2.0 * LENGTH_SLACK
    return kept, left


def _stopped(
    task: Task,
    choices: Choices,
    boxes: Boxes,
    nodes: Nodes,
    allowed: Floats,
    ranking: tuple[int, ...],
) -> tuple[Indices, Floats]:
    """Boxes of layouts that open to the stop: rows to keep, and their least costs."""
    strut = _Strut.of(choices, boxes)
    found = ranges(boxes, task.offset, nodes.angle)
    kept, left = _least_strokes(allowed)
    pushed = found.longest.min(axis=0) - strut.shortest
    pulled = strut.extended - found.shortest.max(axis=0)
    fits = (pushed >= kept) & (pulled >= left)
    angle = nodes.angle[:, None]
    span = angle >= task.stop - task.reserve_span - ROUNDING
    late = angle >= np.minimum(allowed[:, names.LIFT_OFF], task.stop) - ROUNDING
    block = _node_block(strut, found, nodes, np.ones_like(span), late, span)
    block = replace(block, stop=bool(nodes.angle[-1] == task.stop))
    kept_rows = np.flatnonzero(fits & _window_open(task, strut, block, allowed))
    strut, block = strut.take(kept_rows), block.take(kept_rows)
    if task.drilling_error > 0.0 and len(kept_rows):
        reach = sure_after_moves(task, strut.extended, boxes.take(kept_rows))
        sure = angle <= reach
        moved = _moved_strokes(task, strut, found.take(kept_rows), sure)
        pushed = np.minimum(pushed[kept_rows], moved[0])
        pulled = np.minimum(pulled[kept_rows], np.where(reach >= task.stop, moved[1], np.inf))
        whole = _with_moves(task, strut, boxes.take(kept_rows), nodes, block)
        block = replace(
            whole,
            low=np.where(sure, whole.low, block.low),
            high=np.where(sure, whole.high, block.high),
        )
        fits = (pushed >= kept[kept_rows]) & (pulled >= left[kept_rows])
        rows = np.flatnonzero(fits & _window_open(task, strut, block, allowed[kept_rows]))
        pushed, pulled = pushed[rows], pulled[rows]
        kept_rows, strut, block = kept_rows[rows], strut.take(rows), block.take(rows)
    else:
        pushed, pulled = pushed[kept_rows], pulled[kept_rows]
    cost = _block_cost(task, strut, block, ranking)
    for rule, stroke in ((names.COMPRESSED, pushed), (names.EXTENDED, pulled)):
        if rule in ranking:
            cost = np.maximum(cost, -stroke)
    return kept_rows, cost


def _with_moves(task: Task, strut: _Strut, boxes: Boxes, nodes: Nodes, block: _Block) -> _Block:
    """The block with every row asked after the move, within the drilling error, worst for it."""
    lowered, raised = moved_ranges(
        boxes,
        task.offset,
        nodes.angle,
        task.drilling_error,
        strut.extended,
        strut.inverse_column,
    )
    _, high, most_lowered = _pressed(strut, lowered)
    low, _, most_raised = _pressed(strut, raised)
    rubbing = strut.friction / np.maximum(most_lowered, most_raised)
    return replace(block, low=low, high=high, rubbing=np.minimum(block.rubbing, rubbing))


def _moved_strokes(task: Task, strut: _Strut, found: Ranges, sure: Flags) -> tuple[Floats, Floats]:
    """Greatest strokes kept at both ends, both mounts moved along the strut toward that end, at
    the angles that are surely reached then [k, n]."""
    flat = [
        np.sqrt(np.maximum(0.0, one**2 - task.offset**2)) + change * task.drilling_error
        for one, change in ((found.longest, -2.0), (found.shortest, 2.0))
    ]
    shortest, longest = (np.hypot(np.maximum(one, 0.0), task.offset) for one in flat)
    pushed = np.where(sure, shortest, np.inf).min(axis=0) - strut.shortest
    return pushed, strut.extended - longest.max(axis=0)


def _node_block(
    strut: _Strut, found: Ranges, nodes: Nodes, asked: Flags, late: Flags, span: Flags
) -> _Block:
    low, high, most = _pressed(strut, found)
    return _Block(
        low=low,
        high=high,
        rubbing=strut.friction / most,
        weight_low=nodes.weight[:, :, None],
        weight_high=nodes.weight[:, :, None],
        low_rows=nodes.low,
        high_rows=nodes.high,
        asked=asked,
        late=late,
        span=span,
        angle=nodes.angle[:, None],
        shut=bool(nodes.angle[0] == 0.0),
        stop=False,
    )


def _pressed(strut: _Strut, found: Ranges) -> tuple[Floats, Floats, Floats]:
    """Least and greatest phi = J g, and greatest g [k, n]."""
    shortest = np.clip(found.shortest, strut.shortest - LENGTH_SLACK, strut.extended)
    longest = np.minimum(found.longest, strut.extended + LENGTH_SLACK)
    most = 1.0 / (1.0 - (strut.extended - shortest) * strut.inverse_column)
    least = 1.0 / (1.0 - (strut.extended - longest) * strut.inverse_column)
    high = found.arm_high * np.where(found.arm_high > 0.0, most, least)
    low = found.arm_low * np.where(found.arm_low > 0.0, least, most)
    return low, high, most


def _window_open(task: Task, strut: _Strut, block: _Block, allowed: Floats) -> Flags:
    """Whether each box's range of phi meets the window that all rows leave at every angle [n]."""
    least, most = np.full(block.low.shape, -np.inf), np.full(block.high.shape, np.inf)
    raised = np.broadcast_to(-allowed[:, names.OPENING] * task.radius_opening, least.shape)
    late = block.late & np.isfinite(allowed[:, names.LIFT_OFF])
    raised = np.where(late, np.maximum(raised, 0.0), raised) + task.hinge_friction
    lowered = allowed[:, names.CLOSING] * task.radius_closing - task.hinge_friction
    for row, (gas, applies) in enumerate(zip(strut.gas, strut.applies, strict=True)):
        here = np.flatnonzero(block.low_rows[row])
        base = raised[here] - block.weight_high[row, here]
        needed = base / (gas - np.sign(base) * block.rubbing[here])
        least[here] = np.maximum(least[here], np.where(applies, needed, -np.inf))
        here = np.flatnonzero(block.high_rows[row])
        base = lowered - block.weight_low[row, here]
        needed = base / (gas + np.sign(base) * block.rubbing[here])
        most[here] = np.minimum(most[here], np.where(applies, needed, np.inf))
    _ask_reserves(task, strut, block, allowed, least)
    _ask_latch(task, strut, block, allowed, most)
    meets = (least <= block.high + ROUNDING) & (most >= block.low - ROUNDING)
    meets &= least <= most + ROUNDING
    return np.asarray((meets | ~block.asked).all(axis=0))


def _ask_reserves(task: Task, strut: _Strut, block: _Block, allowed: Floats, least: Floats) -> None:
    """Raise `least` to what the reserves ask: F phi + Mg >= share |Mg| and >= N r.

    With Mg between two weights, share |Mg| - Mg is least at one of them, or 0 at Mg = 0.
    """
    shares, forces = -allowed[:, names.RESERVE], -allowed[:, names.RESERVE_FORCE]
    shared = np.isfinite(shares)
    if not (shared.any() or np.isfinite(forces).any()):
        return
    here = np.flatnonzero(block.span.any(axis=1))
    shares = np.where(shared, shares, 0.0)
    for row, (gas, applies) in enumerate(zip(strut.gas, strut.applies, strict=True)):
        low, high = block.weight_low[row, here], block.weight_high[row, here]
        base = np.minimum(shares * np.abs(low) - low, shares * np.abs(high) - high)
        base = np.where(low * high < 0.0, np.minimum(base, 0.0), base)
        base = np.maximum(np.where(shared, base, -np.inf), forces * task.radius_opening - high)
        needed = np.where(applies & block.span[here], base / gas, -np.inf)
        least[here] = np.maximum(least[here], needed)


def _ask_latch(task: Task, strut: _Strut, block: _Block, allowed: Floats, most: Floats) -> None:
    """Lower `most` at shut to what the latch allows: F phi + Mg <= N r."""
    latch = allowed[:, names.LATCH]
    if not block.shut or not np.isfinite(latch).any():
        return
    for gas, applies, weight in zip(strut.gas, strut.applies, block.weight_low, strict=True):
        needed = (latch * task.radius_opening - weight[0]) / gas
        most[0] = np.minimum(most[0], np.where(applies, needed, np.inf))


def _block_cost(task: Task, strut: _Strut, block: _Block, ranking: tuple[int, ...]) -> Floats:
    """Least cost of the ranked rules over each box, each row taken by itself [n]."""
    cost = np.full(block.low.shape[1], -np.inf)
    moments = {names.OPENING, names.CLOSING, names.LIFT_OFF, names.RESERVE_FORCE, names.LATCH}
    if moments & set(ranking):
        lifted, pressed = _extreme_moments(strut, block)
        raised = lifted - block.rubbing * np.abs(block.high) - task.hinge_friction
        lowered = pressed + block.rubbing * np.abs(block.low) + task.hinge_friction
        spare = np.where(block.asked & block.span, lifted, np.inf).min(axis=0)
        sinks = block.asked & (raised < -ROUNDING)
        sunk_at = np.where(sinks, block.angle, 0.0).max(axis=0)
        costs = {
            names.OPENING: -np.where(block.asked, raised, np.inf).min(axis=0) / task.radius_opening,
            names.CLOSING: np.where(block.asked, lowered, -np.inf).max(axis=0)
            / task.radius_closing,
            names.LIFT_OFF: np.where(block.stop & sinks[-1], np.inf, sunk_at),
            names.RESERVE_FORCE: -spare / task.radius_opening,
            names.LATCH: pressed[0] / task.radius_opening if block.shut else cost,
        }
        for rule in moments & set(ranking):
            cost = np.maximum(cost, costs[rule])
    if names.RESERVE in ranking:
        cost = np.maximum(cost, _reserve_cost(strut, block))
    return cost


def _extreme_moments(strut: _Strut, block: _Block) -> tuple[Floats, Floats]:
    """Greatest F phi + Mg in the worst condition for low rows, least for high rows [k, n]."""
    lifted, pressed = np.full(block.high.shape, np.inf), np.full(block.low.shape, -np.inf)
    for row, (gas, applies) in enumerate(zip(strut.gas, strut.applies, strict=True)):
        here = np.flatnonzero(block.low_rows[row])
        moment = gas * block.high[here] + block.weight_high[row, here]
        lifted[here] = np.minimum(lifted[here], np.where(applies, moment, np.inf))
        here = np.flatnonzero(block.high_rows[row])
        moment = gas * block.low[here] + block.weight_low[row, here]
        pressed[here] = np.maximum(pressed[here], np.where(applies, moment, -np.inf))
    return lifted, pressed


def _reserve_cost(strut: _Strut, block: _Block) -> Floats:
    """Least -M/|Mg| [n]: (F phi + Mg)/|Mg| is monotone in Mg on either side of zero."""
    share = np.full(block.high.shape, np.inf)
    for row, (gas, applies) in enumerate(zip(strut.gas, strut.applies, strict=True)):
        lift = gas * block.high
        low, high = block.weight_low[row], block.weight_high[row]
        best = np.maximum(
            *((lift + weight) / np.maximum(np.abs(weight), 1e-300) for weight in (low, high))
        )
        best = np.where(low * high <= 0.0, np.inf, best)
        share = np.minimum(share, np.where(applies, best, np.inf))
    return np.asarray(np.where(block.asked & block.span, -share, -np.inf).max(axis=0))


def _ended_by_strut(
    task: Task,
    choices: Choices,
    boxes: Boxes,
    nodes: Nodes,
    allowed: Floats,
    ranking: tuple[int, ...],
) -> tuple[Indices, Floats]:
    """Boxes of layouts whose struts end the travel: rows to keep, and their least costs."""
    strut = _Strut.of(choices, boxes)
    end = end_of_travel(task, strut.extended, boxes)
    found = ranges(boxes, task.offset, nodes.angle)
    angle = nodes.angle[:, None]
    asked = angle <= end.low
    pushed = np.where(asked, found.longest, np.inf).min(axis=0) - strut.shortest
    kept, left = _least_strokes(allowed)
    surely = end_of_travel(task, surely_ended_length(task, strut.extended), boxes).reached
    fits = end.reached & (pushed >= kept) & (surely | (left <= 0.0))
    span = angle >= end.high - task.reserve_span - ROUNDING
    late = angle >= allowed[:, names.LIFT_OFF] - ROUNDING
    block = _node_block(strut, found, nodes, asked, late, span)
    last = _end_block(task, strut, boxes, end)
    fits &= _window_open(task, strut, block, allowed) & _window_open(task, strut, last, allowed)
    rows = np.flatnonzero(fits)
    strut = strut.take(rows)
    block, last, pushed = block.take(rows), last.take(rows), pushed[rows]
    cost = np.maximum(
        _block_cost(task, strut, block, ranking), _block_cost(task, strut, last, ranking)
    )
    if task.drilling_error > 0.0 and len(rows):
        moved = _moved_block(task, strut, boxes.take(rows), nodes, block)
        stroke = _moved_strokes(task, strut, found.take(rows), moved.asked)[0]
        pushed = np.minimum(pushed, stroke)
        fits = _window_open(task, strut, moved, allowed[rows])
        fits &= pushed >= _least_strokes(allowed[rows])[0]
        cost = np.maximum(cost, _block_cost(task, strut, moved, ranking))
        here = np.flatnonzero(fits)
        rows, cost, pushed = rows[here], cost[here], pushed[here]
    if names.COMPRESSED in ranking:
        cost = np.maximum(cost, -pushed)
    return rows, cost


def _moved_block(task: Task, strut: _Strut, boxes: Boxes, nodes: Nodes, block: _Block) -> _Block:
    """The rows of layouts whose struts end the travel after the worst moves, where those surely
    reach; moved so, the travel ends at the stop at the latest."""
    angle = nodes.angle[:, None]
    sure = angle <= sure_after_moves(task, strut.extended, boxes)
    span = angle >= task.stop - task.reserve_span - ROUNDING
    whole = _with_moves(task, strut, boxes, nodes, block)
    return replace(whole, asked=sure, span=span)


def _end_block(task: Task, strut: _Strut, boxes: Boxes, end: End) -> _Block:
    """Rows at the end of travel alone, where L = Lext and g = 1."""
    low, high = np.exp(1j * end.psi_low)[None], np.exp(1j * end.psi_high)[None]
    found = psi_ranges(boxes, task.offset, low, high)
    weight_low, weight_high = weight_range(task, end)
    yes = np.ones((1, len(boxes)), dtype=bool)
    everyone = np.ones((len(strut.gas), 1), dtype=bool)
    return _Block(
        low=found.arm_low,
        high=found.arm_high,
        rubbing=strut.friction[None],
        weight_low=weight_low[:, None],
        weight_high=weight_high[:, None],
        low_rows=everyone,
        high_rows=everyone,
        asked=yes,
        late=yes,
        span=yes,
        angle=end.low[None],
        shut=False,
        stop=True,
    )
