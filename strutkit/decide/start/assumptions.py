"""What a door takes without measuring, one by one: where to change it, and what it touches."""

from dataclasses import dataclass

from strutkit.decide.start.kinds import Kind
from strutkit.decide.start.questions import questions
from strutkit.describe.records import Door

EDIT = "“Change anything”"
EVERY_FORCE = "every force, and the load of the hinge"

TOLD: dict[str, tuple[str, str]] = {
    "panel thickness": ("thickness", "how far in brackets and balls stand"),
    "knuckle diameter": ("knuckle_diameter", "how far the pin lies off the face: all places"),
    "panel width": ("width", "where struts stand sideways, and the load of each hinge point"),
    "handle": ("handle", "the force of the hand"),
    "panel mass": ("mass", EVERY_FORCE),
    "centre of gravity": ("centre_of_gravity", EVERY_FORCE),
    "hinge stop angle": ("stop_angle", "how far it opens, and the stroke that this wants"),
    "lean of the panel": ("lean", "forces near shut, and where the door comes to rest"),
    "slope of the hinge line": ("rise", EVERY_FORCE),
    "depth of the centre of gravity": (
        "“Weigh it better”, a second pull",
        "where it lifts off, and the force to spare when open",
    ),
    "hinge points": (f"{EDIT}, Hinge", "the load of each hinge point"),
    "open stop": (f"{EDIT}, Handles and stop", "the load of the hinge when it hits the stop"),
    "strut label": (f"{EDIT}, Struts, or “A strut without a label”", EVERY_FORCE),
}
"""What a door lists as assumed -> box of the form or words for where it is changed, and what it
touches."""

LABELS = (
    ("friction", "Friction of a strut: half the published limit"),
    ("force_ratio", "Force ratio of a strut: 1.3, common practice"),
)
"""Fields of a label that count as assumed where they are empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One value that nobody measured: words, where it is changed, what it touches."""

    words: str
    change: str
    touches: str


def door_assumptions(door: Door, kind: Kind) -> tuple[Assumption, ...]:
    """Every value that the door takes without measuring; as many as its findings count."""
    listed = [_listed(text, kind) for text in door.assumed]
    labels = [
        Assumption(words=words, change=f"{EDIT}, Struts", touches=EVERY_FORCE)
        for field, words in LABELS
        if any(getattr(one.strut, field) is None for one in door.struts)
    ]
    return (*listed, *labels)


def _listed(text: str, kind: Kind) -> Assumption:
    place, touches = TOLD.get(text.partition(":")[0], (f"{EDIT}, Door", ""))
    asked = [one.name for one in questions(kind)]
    if place in asked:
        place = f"box {asked.index(place) + 1}"
    return Assumption(words=text[:1].upper() + text[1:], change=place, touches=touches)
