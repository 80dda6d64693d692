"""The cautions that go with everything a person may act on (model section 10)."""

_SHORT = [
    (
        "A strut is charged to 20 to 130 bar: never open, drill, heat or cut one. {hold} while you"
        " work. Assume that a strut can fail. Local rules and licensed practice have the"
        " last word."
    ),
]

_FULL = [
    (
        "A gas strut is charged to some 20 to 130 bar and holds 0.2 to 3.7 kJ. Never open, drill,"
        " heat or cut one, not even an old one; hand it in where they are taken."
    ),
    (
        "{hold} whenever a strut is off or being changed, and keep hands, head and children away"
        " from its edge and from the hinge side."
    ),
    (
        "Assume that a strut can fail at any time, in the cold first. What happens then stands"
        " among the findings."
    ),
    "Do not scratch, paint or bend a rod, and let nothing touch it. Keep the balls clipped.",
    (
        "The figures hold for a rigid panel and frame, slow movement and the weight stated here:"
        " weigh the panel as built, glass, trim and lock in it."
    ),
    (
        "Doors of aircraft, road vehicles, boats, lifts and machines fall under rules and"
        " inspectors that this sheet does not replace. Local rules and licensed practice have the"
        " last word."
    ),
]


def short(shut: bool) -> list[str]:
    """On page 1, beside the drawing. shut: struts go in with the panel shut and locked."""
    return _held(_SHORT, shut)


def full(shut: bool) -> list[str]:
    """On the pages behind it."""
    return _held(_FULL, shut)


def _held(texts: list[str], shut: bool) -> list[str]:
    hold = "Keep the panel shut and locked" if shut else "Prop the panel"
    return [words.replace("{hold}", hold) for words in texts]
