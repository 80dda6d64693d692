"""Findings on what is assumed: values not measured, and verdicts that lean on a label's silence.

Model section 11.1.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from strutkit.decide import limit_rules
from strutkit.decide.judging import PRACTICE, Finding, Study, capital, study
from strutkit.describe.labels import assumed_friction
from strutkit.describe.records import Door, Strut
from strutkit.errors import StrutkitError

Floats = npt.NDArray[np.float64]


def findings(study: Study) -> list[Finding]:
    """Every finding on this subject that has something to say."""
    several = [
        _assumed_values(study),
        _assumed_friction(study),
        _assumed_force_ratio(study),
    ]
    return [finding for finding in several if finding is not None]


def _assumed_values(study: Study) -> Finding | None:
    """What the door's own file lists as assumed."""
    subjects = [text.partition(":")[0] for text in study.door.assumed]
    if not subjects:
        return None
    return Finding(
        name="assumed_values",
        value=float(len(subjects)),
        unit="1",
        words=f"{len(subjects)} assumed, not measured: {', '.join(subjects)}.",
        source="listed as assumed in the door file",
    )


def _assumed_friction(study: Study) -> Finding | None:
    """Which verdicts would turn with no friction, or with the whole published limit."""
    open_labels = [one for one in study.door.struts if one.strut.friction is None]
    if not open_labels:
        return None
    shown = " and ".join(
        sorted({f"{one.strut.gas_law.friction:g} N" for one in open_labels}, key=len)
    )
    trials: dict[str, Change] = {
        "with none": lambda strut: replace(strut, friction=0.0),
        "with the whole": lambda strut: replace(
            strut, friction=2.0 * assumed_friction(strut.rating)
        ),
    }
    turned = _turned(study, trials, lambda strut: strut.friction is None)
    return Finding(
        name="assumed_friction",
        value=open_labels[0].strut.gas_law.friction,
        unit="N",
        words=f"Friction of {shown} each is assumed, half the published limit. {turned}",
        source="gas spring design standard, annex B, table B.1",
    )


def _assumed_force_ratio(study: Study) -> Finding | None:
    """Which verdicts would turn with a force ratio of 1.2 or 1.5."""
    if all(one.strut.force_ratio is not None for one in study.door.struts):
        return None
    trials: dict[str, Change] = {
        "with 1.2": lambda strut: replace(strut, force_ratio=1.2),
        "with 1.5": lambda strut: replace(strut, force_ratio=1.5),
    }
    turned = _turned(study, trials, lambda strut: strut.force_ratio is None)
    return Finding(
        name="assumed_force_ratio",
        value=1.3,
        unit="1",
        words=f"A force ratio of 1.3 is assumed. {turned}",
        source=PRACTICE,
    )


Change = Callable[[Strut], Strut]


Applies = Callable[[Strut], bool]


def _turned(study_now: Study, trials: dict[str, Change], applies: Applies) -> str:
    """Which verdicts turn when the struts that `applies` picks are changed."""
    now = limit_rules.verdicts(study_now)
    texts = []
    for label, change in trials.items():
        try:
            then = limit_rules.verdicts(study(_with_struts(study_now.door, change, applies)))
        except StrutkitError as fault:
            texts.append(f"{capital(label)} it does not fit: {fault}")
            continue
        for name, worst in then.items():
            if worst.ok is not now[name].ok:
                verb = "pass" if worst.ok else "fail"
                texts.append(f"{capital(label)}, {SUBJECTS[name]} would {verb}.")
    return " ".join(texts) or "No verdict turns with less or more."


SUBJECTS = {
    "hand_opening": "opening",
    "hand_closing": "shutting",
    "lift_off": "lift-off",
    "reserve": "the reserve",
    "reserve_force": "staying up",
    "latch": "the latch",
    "travel_compressed": "stroke kept pushed in",
    "travel_extended": "stroke kept extended",
    "hinge_radial": "a hinge point",
    "hinge_resultant": "the hinge line",
}


"""Limits as sentences name them."""


def _with_struts(door: Door, change: Change, applies: Applies) -> Door:
    return replace(
        door,
        struts=tuple(
            replace(one, strut=change(one.strut)) if applies(one.strut) else one
            for one in door.struts
        ),
    )
