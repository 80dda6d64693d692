"""A form half or wholly filled in, as a door as far as it goes, with what is said beside each box.

States of a box: "blank" (nothing yet), "fault" (words say what to write), "given", "assumed" (a
default is taken and listed), "follows" (worked out from other boxes), "left out".
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from strutkit.decide.start.flanges import FLANGE_BOXES, flange_zones, read_flanges
from strutkit.decide.start.kinds import Kind, find_kind
from strutkit.decide.start.questions import (
    Question,
    opening_angle,
    questions,
    read_answer,
    read_pull,
)
from strutkit.decide.start.starter_door import (
    KNUCKLE_DIAMETER,
    THICKNESS,
    WIDTH,
    starter_door,
)
from strutkit.decide.start.weighing import Lump, Pull
from strutkit.describe.bare import with_unit
from strutkit.describe.numbers import LengthUnit, length_text, quantity_text
from strutkit.describe.records import Door
from strutkit.describe.units import parse_quantity
from strutkit.errors import RecordError, StrutkitError

OWNERS = {
    "length": "length",
    "thickness": "thickness",
    "knuckle diameter": "knuckle_diameter",
    "width": "width",
    "handle": "handle",
    "the pull": "pull",
    "pull": "pull",
    "The pull": "mass",
    "Pull and weight": "mass",
    "The two pulls": "second_pull",
    "mass": "mass",
    "centre of gravity": "centre_of_gravity",
    "lean": "lean",
    "rise": "rise",
    "hinge: stop_angle": "stop_angle",
    "door: hinge_height": "hinge_height",
    "panel": "length",
}
"""How a refusal begins -> the box that it stands beside."""

STOP = "hinge: stop_angle: "
HIGHEST = 20.0
"""Most that is taken for the height of the hinge line [m]."""

GREATEST_PULL, LEAST_SPREAD, GREATEST_SPREAD = 500.0, 1.0, 150.0
"""Over this pull [N], under or over this mass of a square metre [kg/m²] an answer is questioned
(common practice, no published source)."""

USUAL_SIZES = {
    "length": (0.15, 4.0),
    "width": (0.15, 4.0),
    "thickness": (0.003, 0.2),
    "knuckle_diameter": (0.003, 0.08),
    "hinge_height": (0.15, 8.0),
}
"""Outside these [m] it is asked whether the unit is right (common practice, no source)."""

SECOND_PULL = "second_pull"
SECOND_ANGLE = "second_angle"
STRUT_MASS = "strut_mass"
STRUT_PLACE = "strut_place"
EXTRAS = (SECOND_PULL, SECOND_ANGLE, STRUT_MASS, STRUT_PLACE, *FLANGE_BOXES)
"""Boxes beside the numbered ones: they may stay empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was typed into a box, and whether "don't know" is ticked."""

    text: str = ""
    unknown: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxState:
    """How a box stands: its state, and the words beside it."""

    state: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """A form judged: boxes by name, the door as far as it goes (None: not yet), the count in
    words, whether nothing is blank or at fault, and what is amiss as a whole."""

    boxes: Mapping[str, BoxState]
    door: Door | None
    words: str
    ready: bool
    trouble: str = ""


@dataclass
class _Reading:
    kind: Kind
    unit: LengthUnit
    values: dict[str, tuple[float, str]] = field(default_factory=dict)
    boxes: dict[str, BoxState] = field(default_factory=dict)
    lumps: list[Lump] = field(default_factory=list)

    def value(self, name: str) -> float | None:
        return self.values[name][0] if name in self.values else None

    def fault(self, name: str, words: str) -> None:
        self.boxes[name] = BoxState(state="fault", words=words)
        self.values.pop(name, None)


def outcome(
    kind: str,
    answers: Mapping[str, Answer],
    *,
    lumps: Sequence[tuple[str, str]] = (),
    count: int = 2,
    unit: LengthUnit = "mm",
    name: str | None = None,
) -> Outcome:
    """The form judged. answers by box; lumps: (mass, distance from the hinge line) as typed;
    count: struts, for the half of each that hangs on the panel. Never raises for what was typed.
    """
    reading = _Reading(find_kind(kind), unit)
    asked = questions(reading.kind)
    for question in asked:
        _read(reading, question, answers.get(question.name, Answer()))
    _read_extras(reading, answers, lumps, count)
    door, trouble = _built(reading, name)
    if door is not None:
        door = _with_flanges(reading, answers, door)
        _note_odd_sizes(reading)
        _note_beyond(reading, door)
        _note_heavy(reading, door)
        for question in asked:
            if answers.get(question.name, Answer()).unknown and not question.required:
                reading.boxes[question.name] = _default_words(reading, question.name, door)
    return _counted(reading, asked, door, trouble)


def _read(reading: _Reading, question: Question, answer: Answer) -> None:
    if answer.unknown and not question.required:
        reading.boxes[question.name] = BoxState(state="assumed")
    elif not answer.text.strip():
        reading.boxes[question.name] = BoxState(state="blank")
    else:
        try:
            reading.values[question.name] = _within_reach(question, answer.text, reading.unit)
            reading.boxes[question.name] = BoxState(state="given")
        except StrutkitError as fault:
            reading.fault(question.name, str(fault))


def _within_reach(question: Question, text: str, unit: LengthUnit) -> tuple[float, str]:
    _refuse_odd_number(question, text)
    value, kind = read_answer(question, text, unit)
    if question.name == "hinge_height" and not -HIGHEST <= value <= HIGHEST:
        raise RecordError(f"{text.strip()[:40]} is out of reach. Write at most {HIGHEST:g} m.")
    return value, kind


def _refuse_odd_number(question: Question, text: str) -> None:
    """A bare number that no unit makes right is refused before a unit is asked for."""
    try:
        bare = float(text)
    except ValueError:
        return
    signed = question.name in ("lean", "rise", "hinge_height", "stop_angle")
    if abs(bare) > 1e4 or not math.isfinite(bare) or (bare <= 0.0 and not signed):
        least = "" if signed else "over 0 and "
        most = {"length": " 10 m", "mass": " 2000 kg", "pull": f" {GREATEST_PULL:g} N"}
        bound = most.get(question.kind, " 10 m")
        raise RecordError(f"{text.strip()[:40]} is out of reach. Write {least}at most{bound}.")


def _read_extras(
    reading: _Reading,
    answers: Mapping[str, Answer],
    lumps: Sequence[tuple[str, str]],
    count: int,
) -> None:
    readers: dict[str, Callable[[str], tuple[float, str]]] = {
        SECOND_PULL: lambda text: (read_pull(text), "force"),
        SECOND_ANGLE: lambda text: (_angle(text), "angle"),
        STRUT_MASS: lambda text: (_positive(text, "mass", reading.unit), "mass"),
        STRUT_PLACE: lambda text: (_positive(text, "length", reading.unit), "length"),
    }
    for name, reader in readers.items():
        text = answers.get(name, Answer()).text
        if not text.strip():
            continue
        try:
            reading.values[name] = reader(text)
            reading.boxes[name] = BoxState(state="given")
        except StrutkitError as fault:
            reading.fault(name, str(fault))
    for one, other, words in (
        (SECOND_PULL, SECOND_ANGLE, "Write at which angle above level, as 40 deg."),
        (SECOND_ANGLE, SECOND_PULL, "Write what the scale shows there, as 60 N."),
        (STRUT_MASS, STRUT_PLACE, "Write how far its mount is from the hinge line, as 120 mm."),
        (STRUT_PLACE, STRUT_MASS, "Write what one strut weighs, as 0.4 kg."),
    ):
        if one in reading.values and other not in reading.boxes:
            reading.fault(other, words)
    for number, (mass, place) in enumerate(lumps):
        _read_lump(reading, f"lump_{number}", mass, place)
    half, along = reading.value(STRUT_MASS), reading.value(STRUT_PLACE)
    if half is not None and along is not None:
        reading.lumps.append(Lump(mass=0.5 * count * half, along=along, inward=_depth(reading)))


def _read_lump(reading: _Reading, box: str, mass: str, place: str) -> None:
    if not mass.strip() and not place.strip():
        return
    try:
        lump = Lump(
            mass=_positive(mass, "mass", reading.unit),
            along=_positive(place, "length", reading.unit),
            inward=_depth(reading),
        )
    except StrutkitError as fault:
        reading.fault(box, str(fault))
        return
    reading.lumps.append(lump)
    reading.boxes[box] = BoxState(state="given")


def _angle(text: str) -> float:
    return parse_quantity(with_unit(text, "angle", "mm"), "angle")


def _positive(text: str, kind: Any, unit: LengthUnit) -> float:
    value = parse_quantity(with_unit(text, kind, unit), kind)
    most = 1000.0 if kind == "mass" else 10.0
    if not 0.0 < value <= most:
        limit = "1000 kg" if kind == "mass" else "10 m"
        raise RecordError(f"{text.strip()[:40]} is not taken. Write over 0 and at most {limit}.")
    return value


def _depth(reading: _Reading) -> float:
    """Half-way through the thickness, where further parts are taken to hang."""
    knuckle = reading.value("knuckle_diameter")
    thickness = reading.value("thickness")
    radius = (KNUCKLE_DIAMETER if knuckle is None else knuckle) / 2.0
    return radius + (THICKNESS if thickness is None else thickness) / 2.0


def _built(reading: _Reading, name: str | None) -> tuple[Door | None, str]:
    """The door, with answers that it refuses left out one by one."""
    for _ in range(len(OWNERS)):
        if "length" not in reading.values:
            return None, ""
        try:
            return _door(reading, name), ""
        except StrutkitError as fault:
            owner = _owner(str(fault))
            if owner not in reading.values:
                return None, str(fault)
            reading.fault(owner, _capital(str(fault).removeprefix(STOP)))
    return None, ""


def _owner(text: str) -> str:
    found = [start for start in OWNERS if text.startswith(start)]
    return OWNERS[max(found, key=len)] if found else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _door(reading: _Reading, name: str | None) -> Door:
    further = []
    force, angle = reading.value(SECOND_PULL), reading.value(SECOND_ANGLE)
    if force is not None and angle is not None:
        further.append(Pull(force=force, angle=angle))
    sizes = {
        one: reading.value(one)
        for one in (
            "thickness",
            "knuckle_diameter",
            "width",
            "handle",
            "pull",
            "mass",
            "centre_of_gravity",
            "hinge_height",
            "lean",
            "rise",
        )
    }
    length = reading.values["length"][0]
    trial: dict[str, Any] = {"length": length, **sizes}
    door = starter_door(
        reading.kind.name, **trial, further_pulls=further, lumps=reading.lumps, name=name
    )
    if "stop_angle" not in reading.values:
        return door
    return starter_door(
        reading.kind.name,
        **trial,
        further_pulls=further,
        lumps=reading.lumps,
        name=name,
        stop_angle=_stop_angle(reading, length),
    )


def _stop_angle(reading: _Reading, length: float) -> float:
    value, kind = reading.values["stop_angle"]
    if kind == "angle":
        return value
    knuckle = reading.value("knuckle_diameter")
    radius = (KNUCKLE_DIAMETER if knuckle is None else knuckle) / 2.0
    try:
        angle = opening_angle(
            reading.kind,
            value,
            length - radius,
            radius,
            (reading.value("lean") or 0.0) if reading.kind.leans else 0.0,
            (reading.value("rise") or 0.0) if reading.kind.slopes else 0.0,
            reading.value("width") or WIDTH,
        )
    except RecordError as fault:
        raise RecordError(f"{STOP}{fault}") from None
    return math.radians(round(math.degrees(angle), 2))


def _pulled(reading: _Reading) -> bool:
    """Whether a pull was read, level or at the second angle."""
    second = reading.value(SECOND_PULL) is not None and reading.value(SECOND_ANGLE) is not None
    return second or reading.value("pull") is not None


def _default_words(reading: _Reading, name: str, door: Door) -> BoxState:
    """The value that stands for "don't know", in words."""
    unit = reading.unit

    def size(value: float | None) -> str:
        return "" if value is None else length_text(value, unit)

    panel = door.panel
    section = panel.section or ()
    edge = math.dist(section[0], section[-1])
    if name == "pull":
        return BoxState(state="follows", words="from the weight")
    if name == "mass":
        derived = _pulled(reading)
        words = quantity_text(panel.mass, "mass")
        return BoxState(
            state="follows" if derived else "assumed",
            words=f"{words}, from the pull" if derived else f"{words}, by its area",
        )
    if name == "centre_of_gravity":
        if _pulled(reading) and reading.value("mass") is not None:
            return BoxState(state="follows", words="from pull and weight")
        return BoxState(state="assumed", words=f"half-way out ({size(edge / 2.0)})")
    if name == "hinge_height":
        return BoxState(state="left out", words="left out")
    words = {
        "thickness": size(panel.thickness),
        "knuckle_diameter": size(KNUCKLE_DIAMETER),
        "width": size(panel.width),
        "handle": f"at the free edge ({size(edge)})",
        "stop_angle": quantity_text(door.hinge.stop_angle, "angle"),
        "lean": "upright",
        "rise": "level",
    }[name]
    return BoxState(state="assumed", words=words)


def _with_flanges(reading: _Reading, answers: Mapping[str, Answer], door: Door) -> Door:
    """The door with the flanges that are marked on it."""
    flanges = read_flanges(lambda name: answers.get(name, Answer()).text, reading.unit)
    for name in flanges.values:
        reading.boxes[name] = BoxState(state="given")
    for name, words in flanges.faults.items():
        reading.fault(name, words)
    try:
        return replace(door, zones=flange_zones(door, reading.kind, flanges))
    except StrutkitError as fault:
        name, _, words = str(fault).partition(": ")
        reading.fault(name if name in FLANGE_BOXES else "panel_far", words or name)
        return door


def _note_odd_sizes(reading: _Reading) -> None:
    """A size that hardly any door has is most often one in another unit."""
    for name, (least, most) in USUAL_SIZES.items():
        value = reading.value(name)
        if value is not None and not least <= abs(value) <= most:
            size = "little" if abs(value) < least else "much"
            words = f"{length_text(value, reading.unit)} is very {size}: check the unit."
            reading.boxes[name] = BoxState(state="given", words=words)


def _note_beyond(reading: _Reading, door: Door) -> None:
    """Beside a handle or a centre of gravity beyond the free edge it is said that it is."""
    edge = _edge(door)
    for name, words in (
        ("handle", "right only for a handle that stands out past it"),
        ("centre_of_gravity", "measure it again"),
    ):
        value = reading.value(name)
        if value is not None and value > edge + 0.001:
            shown = length_text(edge, reading.unit)
            words = f"Beyond the free edge, which is at {shown}: {words}."
            reading.boxes[name] = BoxState(state="given", words=words)


def _edge(door: Door) -> float:
    section = door.panel.section or ()
    return math.dist(section[0], section[-1])


def _note_heavy(reading: _Reading, door: Door) -> None:
    """A pull, or a weight for the size of the door, that is hardly possible is questioned."""
    spread = door.panel.mass / (_edge(door) * (door.panel.width or WIDTH))
    pull = reading.value("pull")
    if (pull or 0.0) <= GREATEST_PULL and LEAST_SPREAD <= spread <= GREATEST_SPREAD:
        return
    shown = quantity_text(door.panel.mass, "mass")
    figure = f"{spread:.{0 if spread >= 10.0 else 1}f}"
    words = (
        f"That makes a door of {shown}, {figure} kg for a square metre: hardly so, read the"
        " scale again."
    )
    for name in ("pull", "mass"):
        if name in reading.values:
            reading.boxes[name] = BoxState(state="given", words=words)
            return


def _counted(
    reading: _Reading, asked: Sequence[Question], door: Door | None, trouble: str
) -> Outcome:
    names = [one.name for one in asked]
    numbered = [reading.boxes[name].state for name in names]
    faults, blanks = numbered.count("fault"), numbered.count("blank")
    further = [one.state for name, one in reading.boxes.items() if name not in names]
    below = further.count("fault")
    parts = []
    if faults:
        parts.append(f"{faults} of {len(asked)} to put right")
    if blanks:
        parts.append(f"{blanks} of {len(asked)} still to fill in")
    if not parts:
        parts.append(f"All {len(asked)} filled in")
    if below:
        parts.append(f"{below} to put right in the boxes below")
    return Outcome(
        boxes=reading.boxes,
        door=door,
        words=", ".join(parts),
        ready=not faults and not below and not blanks and door is not None,
        trouble=trouble,
    )
