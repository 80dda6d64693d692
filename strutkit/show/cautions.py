"""The cautions that go with everything a person may act on (model section 10)."""

SHORT = [
    (
        "A strut is charged to 20 to 130 bar: never open, drill, heat or cut one. Prop the panel"
        " while you work. Assume that a strut can fail. Local rules and licensed practice have the"
        " last word."
    ),
]
"""On page 1, beside the drawing."""

FULL = [
    (
        "A gas strut is charged to some 20 to 130 bar and holds 0.2 to 3.7 kJ. Never open, drill,"
        " heat or cut one, not even an old one; hand it in where they are taken."
    ),
    (
        "Prop the panel whenever a strut is off or being changed, and keep hands, head and children"
        " away from its edge and from the hinge side."
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
"""On the pages behind it."""
