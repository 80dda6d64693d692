"""How a vehicle or vessel stands, as people say it, turned into pitch and roll of the structure.

"nose up 5 deg", "leaning left 3 deg", "bow down 2 deg, heeling to port 4 deg". It needs to know
which side of the vehicle the door faces (`Door.faces`). Model section 1.
"""

import math
import re

import numpy as np

from strutkit.describe.units import literal, parse_quantity
from strutkit.errors import RecordError, UnitError

OUTSIDE = {
    "front": (1.0, 0.0, 0.0),
    "rear": (-1.0, 0.0, 0.0),
    "left": (0.0, 1.0, 0.0),
    "right": (0.0, -1.0, 0.0),
}
"""Outside of a door (+x of the structure) in vehicle axes: x forward, y to the left, z up."""

PHRASE = re.compile(
    r"(?:(?P<end>nose|bow|tail|stern)\s+(?P<way>up|down)"
    r"|(?:leaning|heeling)\s+(?:to\s+)?(?P<side>left|right|port|starboard))\s+(?P<angle>\S.*)"
)
HOW = 'Write for example "nose up 5 deg" or "leaning left 3 deg".'
LONGEST = 200


def attitude(text: str, faces: str | None) -> tuple[float, float]:
    """Pitch and roll of the structure [rad] of a door that faces this side of the vehicle.

    text: one or two phrases parted by a comma or "and": nose (bow) or tail (stern) up or down by
    an angle; leaning (heeling) left (port) or right (starboard), that side going down. faces:
    front, rear, left or right. The vehicle is pitched, then rolled about its own length, as the
    structure is; both go through the direction of gravity, so the result is exact.

    Raises `UnitError` where the text cannot be read, `RecordError` where the door does not state
    which way it faces.

    >>> pitch, roll = attitude("nose up 5 deg", "rear")
    >>> round(math.degrees(pitch), 9), round(math.degrees(roll), 9)
    (-5.0, 0.0)
    """
    if faces is None:
        raise RecordError(
            "door: faces is not given, so nose and sides are unknown. Write faces ="
            ' "front", "rear", "left" or "right", or give pitch and roll.'
        )
    nose_up, left_up = _tilts(text)
    up = np.array(
        [
            math.sin(nose_up),
            math.cos(nose_up) * math.sin(left_up),
            math.cos(nose_up) * math.cos(left_up),
        ]
    )
    out = np.array(OUTSIDE[faces])
    right = np.cross([0.0, 0.0, 1.0], out)
    pitch = math.asin(max(-1.0, min(1.0, float(up @ out))))
    return pitch + 0.0, math.atan2(float(up @ right), float(up[2])) + 0.0


def _tilts(text: str) -> tuple[float, float]:
    """Nose up and left side up [rad]."""
    if len(text) > LONGEST:
        raise UnitError(f"The attitude has {len(text)} letters. {HOW}")
    found: dict[str, float] = {}
    for phrase in re.split(r"\s*,\s*|\s+and\s+", text.strip().lower()):
        match = PHRASE.fullmatch(phrase)
        if match is None:
            raise UnitError(f"{literal(phrase)!r} is no attitude. {HOW}")
        angle = parse_quantity(match["angle"], "angle")
        if not 0.0 <= angle < math.pi / 2.0:
            raise UnitError(f"{literal(phrase)!r}: write an angle from 0 to under 90 deg.")
        axis = "nose" if match["end"] else "side"
        if axis in found:
            raise UnitError(f"{literal(text)!r} gives the same tilt two times; give it once.")
        found[axis] = angle * _sign(match)
    return found.get("nose", 0.0), found.get("side", 0.0)


def _sign(match: re.Match[str]) -> float:
    if match["end"]:
        return 1.0 if (match["end"] in ("nose", "bow")) == (match["way"] == "up") else -1.0
    return -1.0 if match["side"] in ("left", "port") else 1.0
