"""Units: published definitions, pint as a second route where it reads rightly, refusals."""

import math
import random
import re
from fractions import Fraction
from functools import cache

import pint
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from strutkit.describe.unit_table import UNITS, Unit, find_unit
from strutkit.describe.units import (
    Kind,
    format_direction,
    format_point,
    format_points,
    format_quantity,
    in_unit,
    literal,
    parse_direction,
    parse_point,
    parse_points,
    parse_quantity,
    read_quantity,
    unit_symbols,
)
from strutkit.errors import StrutkitError, UnitError
from tests.texts import texts

# International yard and pound agreement, 1959: yard 0.9144 m, pound 0.45359237 kg. Standard
# gravity 9.80665 m/s²: 3rd CGPM, 1901. Pound-force 4.448 221 615 260 5 N: NIST SP 811 (2008),
# appendix B.8 (from memory; the product of the two exact figures). Knot 1852/3600 m/s: SI
# Brochure, 8th edition, table 8 (from memory). 0 °C = 273.15 K: SI Brochure.
DEFINED = [
    ("1 in", "length", 0.0254),
    ("1 ft", "length", 0.3048),
    ("36 in", "length", 0.9144),
    ("3 ft", "length", 0.9144),
    ("1 mm", "length", 0.001),
    ("1 lb", "mass", 0.45359237),
    ("16 oz", "mass", 0.45359237),
    ("1 lbf", "force", 4.4482216152605),
    ("1 kgf", "force", 9.80665),
    ("1 lbf ft", "moment", 1.3558179483314004),
    ("1 lbf in", "moment", 0.1129848290276167),
    ("180 deg", "angle", 3.141592653589793),
    ("0 degC", "temperature", 273.15),
    ("32 degF", "temperature", 273.15),
    ("-40 degF", "temperature", 233.15),
    ("-40 degC", "temperature", 233.15),
    ("1 mph", "speed", 0.44704),
    ("36 km/h", "speed", 10.0),
    ("3600 kn", "speed", 1852.0),
    ("1 lb ft2", "inertia", 0.0421401100938048),
    ("50 %", "number", 0.5),
]

READINGS = [
    ("24 1/2 in", "24.5 in"),
    ("24-1/2 in", "24.5 in"),
    ("24½ in", "24.5 in"),
    ("24 ½ in", "24.5 in"),
    ('24-½"', "24.5 in"),
    ("½ in", "0.5 in"),
    ("1/2 in", "0.5 in"),
    ("3⁄4 in", "0.75 in"),
    ("7⅞″", "7.875 in"),
    ("-3 1/4 in", "-3.25 in"),
    ("-3-1/4 in", "-3.25 in"),
    ("−3 ¼ in", "-3.25 in"),
    ("–3.25 in", "-3.25 in"),
    ("- 3.25 in", "-3.25 in"),
    ("+3.25 in", "3.25 in"),
    ("5' 6\"", "66 in"),
    ("5'6\"", "66 in"),
    ("5’ 6”", "66 in"),
    ("5′-6″", "66 in"),
    ("5'-6 1/2\"", "66.5 in"),
    ("5 ft 6 1/2 in", "66.5 in"),
    ("5 feet 6 inches", "66 in"),
    ("-5' 6 1/2\"", "-66.5 in"),
    ("0' 11 15/16\"", "11.9375 in"),
    ("6''", "6 in"),
    ("6in", "6 in"),
    (".5 in", "0.5 in"),
    ("5. in", "5 in"),
    ("1.5e2 mm", "150 mm"),
    ("\u00a0620\u202fmm ", "620 mm"),
]


@pytest.mark.parametrize(("text", "kind", "value"), DEFINED)
def test_published_definitions(text: str, kind: Kind, value: float) -> None:
    assert parse_quantity(text, kind) == value


@pytest.mark.parametrize(("text", "plain"), READINGS)
def test_the_same_length_however_it_is_written(text: str, plain: str) -> None:
    number, unit = plain.split()
    metres = {"in": Fraction(254, 10000), "mm": Fraction(1, 1000)}[unit]
    assert parse_quantity(text, "length") == float(Fraction(number) * metres)


def test_the_sign_covers_pounds_and_ounces_too() -> None:
    assert parse_quantity("-5 lb 8 oz", "mass") == -2.494758035
    assert parse_quantity("5 lb 8 oz", "mass") == 2.494758035


@pytest.mark.parametrize(
    "text", ["12 N m", "12 Nm", "12 N·m", "12 N*m", "12 N.m", "12 N-m", "12000 N mm", "0.012 kN m"]
)
def test_newton_metre_in_its_spellings(text: str) -> None:
    assert parse_quantity(text, "moment") == 12.0


@pytest.mark.parametrize("text", ["3.4 kg m2", "3.4 kg m²", "3.4 kg·m²", "3.4 kg m^2", "3.4 kgm2"])
def test_inertia_in_its_spellings(text: str) -> None:
    assert parse_quantity(text, "inertia") == 3.4


@pytest.mark.parametrize("text", ["-4 degF", "-20 degC", "-20°C", "-20 ℃", "−20 °C", "253.15 K"])
def test_temperature_in_its_spellings(text: str) -> None:
    assert parse_quantity(text, "temperature") == 253.15


PINT_NAMES = {
    "in": "inch",
    "ft": "foot",
    "oz": "avoirdupois_ounce",
    "kgf": "kilogram_force",
    "lbf ft": "pound_force * foot",
    "lbf in": "pound_force * inch",
    "lbf ft s": "pound_force * foot * second",
    "lbf in s": "pound_force * inch * second",
    "lbf s/in": "pound_force * second / inch",
    "mph": "mile / hour",
    "kn": "knot",
    "%": "percent",
    "": "dimensionless",
    "N m": "newton * meter",
    "kN m": "kilonewton * meter",
    "N mm": "newton * millimeter",
    "N m s": "newton * meter * second",
    "N s/m": "newton * second / meter",
    "N s/mm": "newton * second / millimeter",
    "kg m2": "kilogram * meter ** 2",
    "kg mm2": "kilogram * millimeter ** 2",
    "lb ft2": "pound * foot ** 2",
    "lb in2": "pound * inch ** 2",
}


@cache
def pint_registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


@pytest.mark.parametrize("symbol", [unit.symbol for unit in UNITS])
def test_every_unit_agrees_with_pint(symbol: str) -> None:
    """pint 0.25, given its own unit names and a plain float, which it converts rightly."""
    registry = pint_registry()
    unit = find_unit(symbol)
    assert unit is not None
    for number in (1.0, 0.37, 1234.5, -2.25):
        theirs = registry.Quantity(number, PINT_NAMES.get(symbol, symbol)).to_base_units()
        ours = parse_quantity(f"{number!r} {symbol}", unit.kind)
        si = theirs.to("radian") if unit.kind == "angle" else theirs
        assert ours == pytest.approx(si.magnitude, rel=1e-14)


@given(st.floats(allow_nan=False, allow_infinity=False), st.sampled_from(UNITS))
@example(1e-300, find_unit("degC"))
@example(273.15000000000003, find_unit("degC"))
@example(-0.0, find_unit("in"))
@example(5e-324, find_unit("kN"))
@example(1.7976931348623157e308, find_unit("%"))
def test_what_is_written_reads_back_bit_equal(value: float, unit: Unit) -> None:
    text = format_quantity(value, unit.symbol)
    again = parse_quantity(text, unit.kind)
    assert again == value
    assert math.copysign(1.0, again) == (math.copysign(1.0, value) if value else 1.0)


@given(st.integers(-9999, 9999), st.sampled_from(["mm", "cm", "in", "ft", "deg", "degC", "lb"]))
def test_a_number_of_few_digits_is_written_as_it_was(count: int, symbol: str) -> None:
    text = f"{count / 8:g} {symbol}"
    unit = find_unit(symbol)
    assert unit is not None
    assert format_quantity(parse_quantity(text, unit.kind), symbol) == text


@given(st.integers(-(10**6), 10**6), st.integers(1, 64))
def test_a_fraction_is_the_float_nearest_to_it(over: int, under: int) -> None:
    exact = Fraction(over, under) * Fraction(254, 10000)
    assert parse_quantity(f"{over}/{under} in", "length") == exact.numerator / exact.denominator


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (0.412, "mm", "412 mm"),
        (0.6223, "in", "24.5 in"),
        (0.6223, '"', '24.5"'),
        (253.15, "degC", "-20 degC"),
        (253.15, "degF", "-4 degF"),
        (1.3962634015954636, "deg", "80 deg"),
        (1.3962634015954636, "°", "80°"),
        (0.85, "%", "85%"),
        (-0.0, "mm", "0 mm"),
        (1e300, "mm", "1e303 mm"),
        (1e-9, "m", "1e-9 m"),
        (12.0, "kg·m²", "12 kg·m²"),
    ],
)
def test_the_text_is_short_and_keeps_the_unit(value: float, unit: str, text: str) -> None:
    assert format_quantity(value, unit) == text


def test_the_unit_is_kept_as_written() -> None:
    assert read_quantity("24 1/2 inches", "length").unit == "inches"
    assert read_quantity("5' 6\"", "length").unit == '"'
    assert read_quantity("-4 °F", "temperature").unit == "°F"


def test_in_unit_and_unit_symbols() -> None:
    assert in_unit(0.6223, "in") == 24.5
    assert in_unit(253.15, "degF") == pytest.approx(-4.0, rel=1e-12)
    assert unit_symbols("length") == ("mm", "cm", "m", "in", "ft")
    with pytest.raises(UnitError, match=r"The unit furlong is not known\."):
        in_unit(1.0, "furlong")
    with pytest.raises(UnitError, match=r"The unit furlong is not known\."):
        format_quantity(1.0, "furlong")
    with pytest.raises(UnitError, match=r"nan is no finite number"):
        format_quantity(math.nan, "mm")


REFUSED = [
    ("6 1/2", "length", "6 1/2 has no unit. Write 6 1/2 ft, 78 in or 1981 mm."),
    ("-6 1/2", "length", "-6 1/2 has no unit. Write -6 1/2 ft, -78 in or -1981 mm."),
    ("24 1/2", "length", "24 1/2 has no unit. Write 24 1/2 in or 622.3 mm."),
    ("1/2", "length", "1/2 has no unit. Write 1/2 in or 12.7 mm."),
    ("620", "length", "620 has no unit. Write 620 mm or 620 in."),
    ("11.6", "mass", "11.6 has no unit. Write 11.6 kg or 11.6 lb."),
    ("-20", "temperature", "-20 has no unit. Write -20 degC or -20 degF."),
    ("80", "angle", "80 has no unit. Write 80 deg."),
    ("-20 C", "temperature", "-20 C has a bare C. Write -20 degC."),
    ("70 F", "temperature", "70 F has a bare F. Write 70 degF."),
    ("20°", "temperature", "20° is an angle, and a temperature is asked. Write 20 degC or 20 deg"),
    ("12 kg", "force", "12 kg is a mass, and a force is asked. If a scale was pulled to that mark"),
    ("12 kg", "force", "write 117.7 N or 12 kgf."),
    ("12 lb", "force", "write 53.38 N or 12 lbf."),
    ("5 lb 8 oz", "force", "write 24.47 N."),
    ("12 lbf", "mass", "12 lbf is a force, and a mass is asked. Write it in kg, g, lb or oz."),
    ("12 N", "mass", "12 N is a force, and a mass is asked."),
    ("12 ft lb", "moment", "12 ft lb has lb, which is a mass. Write 12 lbf ft."),
    ("12 in-lbs", "moment", "12 in-lbs has lb, which is a mass. Write 12 lbf in."),
    ("12 mm", "moment", "12 mm is a length, and a moment is asked."),
    ("1.3 mm", "number", "1.3 mm has a unit, and a plain number is asked. Write 1.3."),
    ("-1.3 EUR", "number", "the unit EUR is not known. Write -1.3 alone."),
    ("85 %", "force", "85 % is a share, and a force is asked, as 220 N or 50 lbf."),
    ("12,5 mm", "length", "12,5 mm has a comma. Write 12.5 mm."),
    ("1,234 mm", "length", "1,234 mm has a comma. Write 1.234 mm or 1234 mm, as meant."),
    ("1,234.5 mm", "length", "1,234.5 mm has a comma. Write 1234.5 mm."),
    ("0,25 mm", "length", "0,25 mm has a comma. Write 0.25 mm."),
    ("1 000 mm", "length", "1 000 mm has two numbers in a row."),
    ("1.5 1/2 in", "length", "1.5 1/2 in has two numbers in a row."),
    ("nan mm", "length", "nan mm is no number to work with."),
    ("inf mm", "length", "inf mm is no number to work with."),
    ("-Infinity mm", "length", "-Infinity mm is no number to work with."),
    ("9**9**9 mm", "length", "9**9**9 mm is arithmetic, which is not worked out here."),
    ("3+4 mm", "length", "3+4 mm is arithmetic"),
    ("(3) mm", "length", "(3) mm is arithmetic"),
    ("3*4 mm", "length", "3*4 mm is arithmetic"),
    ("3^2 mm", "length", "3^2 mm is arithmetic"),
    ("10 / 2 mm", "length", "10 / 2 mm is arithmetic"),
    ("--3 mm", "length", "--3 mm is arithmetic"),
    ("24 -1/2 in", "length", "24 -1/2 in is arithmetic"),
    ("24 - 1/2 in", "length", "24 - 1/2 in is arithmetic"),
    ("5' - 6\"", "length", "is arithmetic"),
    ("24 3/2 in", "length", "24 3/2 in has a fraction of 1 or more behind a whole number."),
    ("1/0 in", "length", "1/0 in divides by zero."),
    ("5' 6", "length", "5' 6 does not read as feet and inches."),
    ("5' 13\"", "length", "less than 12 inches with their unit, as 5 ft 6 1/2 in."),
    ("5.5' 6\"", "length", "5.5' 6\" does not read as feet and inches."),
    ("10/2' 6\"", "length", "10/2' 6\" does not read as feet and inches."),
    ("5 lb 16 oz", "mass", "5 lb 16 oz does not read as pounds and ounces."),
    ("12 m 5 cm", "length", "12 m 5 cm: the unit m 5 cm is not known."),
    ("12 MM", "length", "12 MM: the unit MM is not known. Write 12 mm."),
    ("-12 Kg", "mass", "-12 Kg: the unit Kg is not known. Write -12 kg."),
    ("12 furlongs", "length", "the unit furlongs is not known. Write it in mm, cm, m, in or ft."),
    ("5 nm", "moment", "5 nm: the unit nm is not known. Write 5 N m."),
    ("", "length", "Nothing is written here. Write for example 620 mm or 24 1/2 in."),
    ("  ", "force", "Nothing is written here. Write for example 220 N or 50 lbf."),
    ("mm", "length", "mm has no number in front."),
    ("about 12 mm", "length", "about 12 mm has no number in front."),
    ("٣ mm", "length", "٣ mm has no number in front."),
    ("1_000 mm", "length", "1_000 mm: the unit _000 mm is not known."),
    ("0x10 mm", "length", "0x10 mm: the unit x10 mm is not known."),
    ("__import__('os') mm", "length", "has no number in front."),
    ("12 <b>mm</b>", "length", "12 <b>mm</b>: the unit <b>mm</b> is not known."),
    ("12 mm\x00", "length", r"12 mm\x00 holds a character that cannot be seen."),
    ("1\u200b2 mm", "length", r"1\u200b2 mm holds a character that cannot be seen."),
    ("12\u202emm", "length", r"12\u202emm holds a character that cannot be seen."),
    ("9" * 50 + " mm", "length", "has a number of more than 40 digits. Round it."),
    ("1/" + "9" * 45 + " mm", "length", "has a number of more than 40 digits. Round it."),
    ("9" * 10**6 + " mm", "length", "has 1000003 characters, and at most 120 are read."),
    ("1e999999 mm", "length", "1e999999 mm is too large or too small a number to work with."),
    ("1e-999999 mm", "length", "1e-999999 mm is too large or too small a number"),
    ("1e" + "9" * 30 + " mm", "length", "is too large or too small a number"),
    ("1e390 mm", "length", "1e390 mm is too large a number to work with."),
]


@pytest.mark.parametrize(("text", "kind", "message"), REFUSED, ids=lambda each: str(each)[:24])
def test_refused_with_what_to_write(text: str, kind: Kind, message: str) -> None:
    with pytest.raises(UnitError, match=re.escape(message)) as caught:
        parse_quantity(text, kind)
    said = str(caught.value)
    assert len(said) < 400
    assert not re.search(r"error|invalid|please|!", said, re.IGNORECASE)
    assert said.isprintable()


def advice(message: str) -> list[str]:
    """The quantities that a message says to write."""
    said = re.sub(r".*\b[Ww]rite (?:for example |it as )?", "", message).removesuffix(".")
    return re.split(r", | or ", said.removesuffix(", as meant").removesuffix(" alone"))


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        (text, kind)
        for text, kind, message in REFUSED
        if "Write " in message and " it " not in message and "number" not in message
    ],
)
def test_what_a_message_says_to_write_can_be_read(text: str, kind: Kind) -> None:
    with pytest.raises(UnitError) as caught:
        parse_quantity(text, kind)
    for quantity in advice(str(caught.value)):
        parse_quantity(quantity, kind)


@given(texts(max_size=40), st.sampled_from([unit.kind for unit in UNITS]))
def test_any_text_is_read_or_refused(text: str, kind: Kind) -> None:
    try:
        value = parse_quantity(text, kind)
    except UnitError as fault:
        said = str(fault)
    else:
        said = format_quantity(value, "")
    assert said.isprintable()


SIGNS = "0123456789 ½¼/.-+'\"−eE°*,;mfiNkglboztdCF²·"


@given(st.text(alphabet=SIGNS, max_size=30), st.sampled_from([unit.kind for unit in UNITS]))
def test_texts_near_the_grammar_are_read_or_refused(text: str, kind: Kind) -> None:
    try:
        quantity = read_quantity(text, kind)
    except UnitError:
        return
    assert parse_quantity(format_quantity(quantity.value, quantity.unit), kind) == quantity.value


def test_points() -> None:
    assert parse_point("330, 0, -12 mm") == (0.33, 0.0, -0.012)
    assert parse_point("13 1/2, 0, −½ in") == (0.3429, 0.0, -0.0127)
    assert parse_point("5' 6\", 0 mm, -1/2 in") == (1.6764, 0.0, -0.0127)
    assert parse_points("1,2,3 mm; 0, 1/4, 1 in") == ((0.001, 0.002, 0.003), (0.0, 0.00635, 0.0254))
    assert parse_points("1, 2, 3 mm;\n  4, 5, 6 mm") == (
        (0.001, 0.002, 0.003),
        (0.004, 0.005, 0.006),
    )
    assert format_point((0.33, 0.0, -0.012), "mm") == "330, 0, -12 mm"
    assert format_point((0.33, -0.0, -0.0127), '"') == '12.99212598425197, 0, -0.5"'
    assert format_points(((0.001, 0, 0), (0.0254, 0, 0)), "mm") == "1, 0, 0 mm; 25.4, 0, 0 mm"


COORDINATES = st.floats(-1000.0, 1000.0)


@given(
    st.lists(st.tuples(COORDINATES, COORDINATES, COORDINATES), min_size=1, max_size=6),
    st.sampled_from(["mm", "cm", "m", "in", "ft", '"', "'"]),
)
def test_points_read_back_equal(points: list[tuple[float, float, float]], unit: str) -> None:
    assert parse_points(format_points(points, unit)) == tuple(points)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("330, 0, -12", "330, 0, -12 has no unit. Write 330, 0, -12 mm or 330, 0, -12 in."),
        ("330,5, 0, -12 mm", "has 4 numbers, and a point has three: x, y, z."),
        ("330 mm", "330 mm has one number, and"),
        ("330 mm, 0, -12 mm", "has a unit on two of its numbers."),
        ("330, 0, -12 kg", "-12 kg is a mass, and a length is asked."),
        ("330, x, -12 mm", "has a unit on two of its numbers."),
        (" ", "Nothing is written here. Write a point, for example 330, 0, -12.5 mm."),
        ("1" * 1000, "has 1000 characters, and at most 480 are read."),
    ],
)
def test_points_refused(text: str, message: str) -> None:
    with pytest.raises(UnitError, match=re.escape(message)):
        parse_point(text)


def test_lists_of_points_refused() -> None:
    with pytest.raises(UnitError, match=r"Point 2: 4, 5, 6 has no unit"):
        parse_points("1, 2, 3 mm; 4, 5, 6")
    with pytest.raises(UnitError, match=r"Point 2: Nothing is written here"):
        parse_points("1, 2, 3 mm;")
    with pytest.raises(UnitError, match=r"2 more points have faults\."):
        parse_points("a; b; c; d; e")
    with pytest.raises(UnitError, match=r"301 points are too many: write at most 300\."):
        parse_points(";".join(["1,2,3 mm"] * 301))


def test_directions() -> None:
    for word in ("out", "in", "right", "left", "up", "down"):
        assert parse_direction(f" {word} ") == word
        assert format_direction(word) == word
    assert parse_direction("0, 1/4, -1") == (0.0, 0.25, -1.0)
    assert format_direction((0.1, 0.25, -1.0)) == "0.1, 0.25, -1"
    with pytest.raises(UnitError, match=r"Up is no direction\. Did you mean up\? Write out, in, "):
        parse_direction("Up")
    with pytest.raises(UnitError, match=r"north is no direction\. Write out"):
        parse_direction("north")
    with pytest.raises(UnitError, match=r"1 mm has a unit, and a plain number is asked"):
        parse_direction("0, 0, 1 mm")


def test_a_strangers_text_is_shown_on_one_line_and_cut() -> None:
    assert literal("a\nb\x1b[31m") == r"a\nb\x1b[31m"
    assert literal("x" * 100) == "x" * 60 + "…"
    assert literal("\ud800") == r"\ud800"


def test_reading_is_quick_for_hostile_texts() -> None:
    """Time with a bound so loose that only a hang or a blow-up breaks it: 400 texts."""
    rng = random.Random(7)
    for _ in range(400):
        piece = rng.choice(["9", "1/", "1 ", "-", "5' ", "½", "e9", ".", "m·", "**", "''"])
        text = piece * rng.choice([5, 60, 119, 10**5])
        with pytest.raises(StrutkitError):
            parse_quantity(text + "~", "length")
