"""What the form that changes anything calls each value, and the group that it stands in."""

from types import MappingProxyType

GROUPS: tuple[tuple[str, str], ...] = (
    ("Door", ""),
    ("Hinge", ""),
    ("Panel", ""),
    ("Struts", "add, remove, pair, turn, take from the stock list"),
    ("Handles and stop", ""),
    ("Zones", "where a mount may go"),
    ("Tilt", "how the vehicle stands in each condition, as nose up 5 deg"),
    ("Conditions", "weather, age, load, a strut lost"),
    ("Limits", "what you ask; empty is not asked and not judged"),
)
"""Titles of the groups in their order, each with a hint."""

SINGLE: MappingProxyType[str, tuple[tuple[str, str, str], ...]] = MappingProxyType(
    {
        "Door": (
            ("door", "name", "Name of the door"),
            ("door", "hinge_height", "Hinge line above the ground"),
            ("door", "assumed", "Assumed, not measured"),
        ),
        "Hinge": (
            ("hinge", "first", "First hinge point"),
            ("hinge", "second", "Second hinge point"),
            ("hinge", "opens_toward", "The handle starts to move"),
            ("hinge", "thrust_at", "Holds it along the hinge line"),
            ("hinge", "friction_moment", "Friction of the hinge"),
            ("hinge", "damping", "Damping of the hinge"),
        ),
        "Panel": (
            ("panel", "name", "Name of the panel"),
            ("panel", "mass", "Weight, all that moves"),
            ("panel", "centre_of_gravity", "Centre of gravity"),
            ("panel", "thickness", "Thickness"),
            ("panel", "width", "Width along the hinge line"),
            ("panel", "middle", "Middle, if not half-way"),
            ("panel", "section", "Outer face, hinge to free edge"),
            ("panel", "inertia", "Moment of inertia"),
        ),
        "Handles and stop": (
            ("panel", "handle", "Handle, to open"),
            ("panel", "closing_handle", "Handle to shut, if another"),
            ("hinge", "stop_angle", "Opens as far as"),
            ("hinge", "stop", "Meets the stop, if not the handle"),
        ),
        "Limits": (
            ("limits", "hand_opening", "To open, at most"),
            ("limits", "hand_closing", "To shut, at most"),
            ("limits", "lift_off", "Rises by itself, at the latest from"),
            ("limits", "reserve_force", "To spare open, at the handle, at least"),
            ("limits", "reserve_span", "Counted over the last"),
            ("limits", "reserve", "To spare open, share of the weight, at least"),
            ("limits", "latch", "Push on the latch, at most"),
            ("limits", "travel_compressed", "Stroke kept pushed in, at least"),
            ("limits", "travel_extended", "Stroke kept extended, at least"),
            ("limits", "hinge_radial", "Load of either hinge point, at most"),
            ("limits", "hinge_resultant", "Load of the whole hinge line, at most"),
        ),
    }
)
"""Group -> part of the door, field, and what the form calls it."""

STRUT = (
    ("name", "Name"),
    ("frame_mount", "Mount on the fixed side"),
    ("panel_mount", "Mount on the door side"),
    ("rod_at", "Rod at"),
    ("frame_hole", "Hole from the ball, fixed side"),
    ("panel_hole", "Hole from the ball, door side"),
    ("frame_thread", "Thread of the stud, fixed side"),
    ("panel_thread", "Thread of the stud, door side"),
    ("rating", "Rating on the label"),
    ("extended_length", "Extended length, between centres"),
    ("stroke", "Stroke"),
    ("force_ratio", "Force ratio, pushed in to extended"),
    ("friction", "Friction, half the loop"),
    ("tolerance", "Tolerance of the rating"),
    ("rod_diameter", "Rod diameter"),
    ("tube_diameter", "Tube diameter"),
    ("tube_length", "Tube length"),
    ("measuring_distance", "Measuring distance of the label"),
    ("damping", "Damping"),
    ("order_code", "Order code"),
    ("price", "Price"),
)
ZONE = (("part", "Side"), ("corners", "Corners"))
TILT = (
    ("standing", "Stands, as people say it"),
    ("pitch", "Or pitch of the structure"),
    ("roll", "Or roll of the structure"),
)
CONDITION = (
    ("name", "Name"),
    ("temperature", "Temperature"),
    ("ageing", "Gas left, all struts (1 is new)"),
    ("strut_ageing", "Gas left, strut by strut"),
    ("rating_tolerance", "Place within the rating’s tolerance"),
    ("rating_change", "Ratings changed by"),
    ("mass_factor", "Weight times"),
    ("added_mass", "Weight hung on"),
    ("added_at", "Hung on at"),
    ("missing", "Strut that is lost"),
    ("wind_speed", "Wind (not looked at)"),
)
HINTS: MappingProxyType[tuple[str, str], str] = MappingProxyType(
    {
        ("hinge", "opens_toward"): "Write out, in, up, down, right or left.",
        ("hinge", "thrust_at"): "The hinge point that bears the load along the line.",
        ("hinge", "stop"): "Where the door meets its stop when open.",
        ("panel", "middle"): "A place half-way along the hinge line: pairs are mirrored there.",
        ("panel", "section"): "Points of the outer face in side view, parted by “;”.",
        ("panel", "inertia"): "About the hinge line. Nothing is judged by it.",
        ("limits", "reserve_span"): "Degrees of opening before the stop.",
        ("strut", "force_ratio"): "Force nearly pushed in, divided by the rating; 1.2 to 1.5.",
        ("strut", "friction"): "Half the difference between going in and coming out.",
        ("strut", "tolerance"): "How far a new strut may be off its rating, up or down.",
        ("strut", "measuring_distance"): "How far from full length the maker measures the rating.",
        ("strut", "frame_hole"): "From the ball’s centre to the hole’s, as a place.",
        ("strut", "panel_hole"): "From the ball’s centre to the hole’s, as a place.",
        ("condition", "rating_tolerance"): "From −1, the weakest allowed, to 1, the strongest.",
        ("condition", "mass_factor"): "1 is the weight as weighed.",
    }
)
"""What stands below a box whose label alone does not say enough."""

FACES = ("door", "faces", "Side of the vehicle")

CHOICES: MappingProxyType[tuple[str, str], dict[str, str]] = MappingProxyType(
    {
        ("zone", "part"): {"frame": "fixed side", "panel": "door side"},
        ("strut", "rod_at"): {
            "": "the lower mount when shut",
            "frame": "fixed side",
            "panel": "door side",
        },
        ("hinge", "thrust_at"): {"first": "first hinge point", "second": "second hinge point"},
        ("door", "faces"): {"": "not stated"},
        ("strut", "frame_thread"): {"": "not stated"},
        ("strut", "panel_thread"): {"": "not stated"},
    }
)
"""Words of a choice where they are other than its key."""
