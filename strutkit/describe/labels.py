"""What a strut's label says, and what is assumed where it says nothing.

Model sections 2 and 11.1-11.4. Every assumption is given back as a text.
"""

from dataclasses import dataclass

from strutkit.compute import gas
from strutkit.data import tables
from strutkit.describe.fields import shown
from strutkit.errors import RecordError

ASSUMED_FORCE_RATIO = 1.3
"""Force ratio where the label gives none (common practice, no published source)."""

ASSUMED_PRESSURE = 10e6
"""Absolute charge pressure [Pa] where the rod diameter is unknown (published range 1.8-11 MPa)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GasLaw:
    """A label turned into the gas law: Fgas = Fext / (1 - x/G), friction apart.

    `force_extended` Fext [N], `inverse_column` 1/G [1/m], `friction` f [N] (half the loop
    width), `pressure` absolute [Pa] at full extension and 20 °C, `force_ratio` used,
    `distance` C [m], and `assumed`: the names of the values that the label leaves out.
    """

    force_extended: float
    inverse_column: float
    friction: float
    pressure: float
    force_ratio: float
    distance: float
    assumed: tuple[str, ...]


def assumed_friction(rating: float) -> float:
    """Half the greatest dynamic friction published for a rating [N] (table B.1).

    >>> assumed_friction(400.0)
    20.0
    """
    return tables.row_value(tables.FRICTION_LIMITS, rating) / 2.0


def gas_law(
    *,
    rating: float,
    stroke: float,
    force_ratio: float | None = None,
    friction: float | None = None,
    rod_diameter: float | None = None,
    measuring_distance: float | None = None,
) -> GasLaw:
    """The gas law of a label; None stands for what it leaves out.

    Raises `RecordError` where the stroke is too short for its measuring points, or the label
    gives no gas column longer than the stroke.
    """
    distance = gas.measuring_distance(stroke) if measuring_distance is None else measuring_distance
    if stroke <= 2.0 * distance:
        raise RecordError(
            f"stroke is {shown(stroke, 'length')}; it must be over {shown(2 * distance, 'length')},"
            f" twice the measuring distance of {shown(distance, 'length')}."
        )
    ratio = ASSUMED_FORCE_RATIO if force_ratio is None else force_ratio
    half_loop = assumed_friction(rating) if friction is None else friction
    force_extended, inverse_column = gas.gas_column(rating, ratio, half_loop, stroke, distance)
    if inverse_column * stroke >= 1.0 or force_extended <= 0.0:
        raise RecordError(
            f"force_ratio is {ratio:.6g} with a stroke of {shown(stroke, 'length')}; that leaves"
            " no gas column longer than the stroke. Check the force ratio."
        )
    if rod_diameter is None:
        pressure = ASSUMED_PRESSURE
    else:
        pressure = float(gas.charge_pressure(force_extended, rod_diameter))
    given = {"force ratio": force_ratio, "friction": friction, "charge pressure": rod_diameter}
    return GasLaw(
        force_extended=force_extended,
        inverse_column=inverse_column,
        friction=half_loop,
        pressure=pressure,
        force_ratio=ratio,
        distance=distance,
        assumed=tuple(name for name, value in given.items() if value is None),
    )


def assumption_texts(name: str, law: GasLaw) -> tuple[str, ...]:
    """One text for each value that the label of the strut `name` leaves out."""
    texts = {
        "force ratio": f"{name}: force ratio {law.force_ratio:g} assumed; its label gives none"
        " (common practice).",
        "friction": f"{name}: friction {law.friction:g} N assumed, half the loop width and half"
        " the published upper limit for its rating; its label gives none.",
        "charge pressure": f"{name}: charge pressure {law.pressure / 1e6:g} MPa assumed;"
        " its rod diameter is not given.",
    }
    return tuple(texts[value] for value in law.assumed)
