"""What a finding is about, in two or three words."""

SUBJECTS = {
    "hand_opening": "hand force to open",
    "lift_off": "lift-off angle",
    "travel_compressed": "stroke kept pushed in",
    "travel_extended": "stroke kept extended",
    "reserve": "held-open reserve",
    "latch": "push on the latch",
    "hinge_resultant": "hinge line",
    "hinge_radial": "either hinge point",
    "gas_to_spare": "gas to spare",
    "rod_buckling": "rod buckling",
    "charge_pressure": "charge pressure",
    "strut_as_stop": "pull on the strut as open stop",
    "outside_zone": "a mount outside its zone",
}


def subject(finding: str, condition: str | None = None) -> str:
    """Words for a finding of this name; one on a lost strut is that condition."""
    if condition is not None and finding.startswith("fault_"):
        return condition
    return SUBJECTS.get(finding, finding.replace("_", " "))
