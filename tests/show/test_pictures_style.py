"""Colours and letters of the pictures.

Contrast: WCAG 2.1 (W3C, 2018), relative luminance and contrast ratio, computed here once more.
Colour difference: CIEDE2000, checked against the pairs of Sharma, Wu and Dalal, "The CIEDE2000
color-difference formula", Color Research and Application 30 (2005), table 1 (from memory).
Colour vision: matrices of Machado, Oliveira and Fernandes, IEEE TVCG 15 (2009), full severity
(from memory). Letter widths: the font files that matplotlib ships.
"""

import math
from itertools import combinations
from pathlib import Path

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib import ft2font
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from strutkit.show import figures, letters, style, symbols
from strutkit.show.shapes import Group, Text

TEXT_ROLES = (
    "ink", "ink2", "strut", "weight", "open", "shut", "grab", "fail", "passes", "assume",
)  # fmt: skip
PRINTED = tuple(role for role in TEXT_ROLES if role != "grab")


def channel(value: int) -> float:
    share = value / 255.0
    return share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4


def linear(colour: str) -> np.ndarray:
    return np.array([channel(int(colour[i : i + 2], 16)) for i in (1, 3, 5)])


def ratio(one: str, other: str) -> float:
    first, second = (float(linear(c) @ [0.2126, 0.7152, 0.0722]) for c in (one, other))
    return (max(first, second) + 0.05) / (min(first, second) + 0.05)


@pytest.mark.parametrize("theme", style.THEMES)
def test_text_has_the_contrast_that_wcag_asks(theme: style.Theme) -> None:
    """At least 4.5:1 for text, 3:1 for graphics (WCAG 2.1, criteria 1.4.3 and 1.4.11)."""
    for role in PRINTED if theme == "print" else TEXT_ROLES:
        for ground in ("paper", "raised"):
            pair = style.colour(role, theme), style.colour(ground, theme)
            assert ratio(*pair) >= 4.5, (role, ground)
            assert style.contrast(*pair) == pytest.approx(ratio(*pair))
    for ground in ("paper", "raised"):
        assert ratio(style.colour("line", theme), style.colour(ground, theme)) >= 3.0


def test_contrast_of_known_pairs() -> None:
    """Black on white 21:1; #767676 is the lightest grey that passes on white, #777777 fails
    (commonly given with WCAG 2, from memory)."""
    assert style.contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert style.contrast("#767676", "#FFFFFF") >= 4.5 > style.contrast("#777777", "#FFFFFF")


def mixed(top: str, ground: str, tint: float) -> str:
    parts = [
        round(tint * int(top[i : i + 2], 16) + (1 - tint) * int(ground[i : i + 2], 16))
        for i in (1, 3, 5)
    ]
    return "#" + "".join(f"{part:02X}" for part in parts)


@pytest.mark.parametrize("theme", style.THEMES)
def test_strut_label_may_stand_on_its_band(theme: style.Theme) -> None:
    paper = style.colour("paper", theme)
    band = mixed(style.colour("strut", theme), paper, style.LOOKS["strut_band"].tint)
    assert ratio(style.colour("strut", theme), band) >= 4.5
    assert ratio(style.colour("ink2", theme), band) >= 4.5


WHITE = np.array([0.95047, 1.0, 1.08883])
TO_XYZ = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
VISION = {
    "normal": np.eye(3),
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def lab(colour: str, vision: str) -> np.ndarray:
    seen = np.clip(VISION[vision] @ linear(colour), 0.0, 1.0)
    ratios = TO_XYZ @ seen / WHITE
    f = np.where(ratios > (6 / 29) ** 3, np.cbrt(ratios), ratios / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def ciede2000(one: np.ndarray, other: np.ndarray) -> float:
    (l1, a1, b1), (l2, a2, b2) = one, other
    c_mean = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(c_mean**7 / (c_mean**7 + 25**7)))
    a1, a2 = (1 + g) * a1, (1 + g) * a2
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = (math.degrees(math.atan2(b, a)) % 360 for a, b in ((a1, b1), (a2, b2)))
    dl, dc = l2 - l1, c2 - c1
    dh = (h2 - h1 + 180) % 360 - 180 if c1 * c2 else 0.0
    big_dh = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(dh / 2))
    l_mean, c_bar = (l1 + l2) / 2, (c1 + c2) / 2
    if not c1 * c2:
        h_mean = h1 + h2
    elif abs(h1 - h2) <= 180:
        h_mean = (h1 + h2) / 2
    else:
        h_mean = (h1 + h2 + (360 if h1 + h2 < 360 else -360)) / 2
    cosine = [math.cos(math.radians(x)) for x in (
        h_mean - 30, 2 * h_mean, 3 * h_mean + 6, 4 * h_mean - 63)]  # fmt: skip
    t = 1 - 0.17 * cosine[0] + 0.24 * cosine[1] + 0.32 * cosine[2] - 0.20 * cosine[3]
    turn = 30 * math.exp(-(((h_mean - 275) / 25) ** 2))
    rc = 2 * math.sqrt(c_bar**7 / (c_bar**7 + 25**7))
    sl = 1 + 0.015 * (l_mean - 50) ** 2 / math.sqrt(20 + (l_mean - 50) ** 2)
    sc, sh = 1 + 0.045 * c_bar, 1 + 0.015 * c_bar * t
    rt = -math.sin(math.radians(2 * turn)) * rc
    parts = dl / sl, dc / sc, big_dh / sh
    return math.sqrt(sum(x * x for x in parts) + rt * parts[1] * parts[2])


SHARMA = [
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 3.1571, -77.2803), (50.0, 0.0, -82.7485), 2.8615),
    ((50.0, 2.8361, -74.0200), (50.0, 0.0, -82.7485), 3.4412),
    ((50.0, -1.3802, -84.2814), (50.0, 0.0, -82.7485), 1.0000),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((50.0, 2.5, 0.0), (56.0, -27.0, -3.0), 31.9030),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("one", "other", "published"), SHARMA)
def test_ciede2000_of_the_published_pairs(one, other, published) -> None:
    assert ciede2000(np.array(one), np.array(other)) == pytest.approx(published, abs=5e-5)


def test_vision_matrices_keep_grey() -> None:
    for matrix in VISION.values():
        np.testing.assert_allclose(matrix.sum(axis=1), 1.0, atol=2e-6)


def least_difference(one: str, other: str, theme: style.Theme) -> float:
    pair = style.colour(one, theme), style.colour(other, theme)
    return min(ciede2000(lab(pair[0], eye), lab(pair[1], eye)) for eye in VISION)


def disc(at):
    return [symbols.grab(at)]


SHAPES = {
    "grab": disc,
    "weight": lambda at: [symbols.centre_of_gravity(at)],
    "refused": lambda at: [symbols.refused(at)],
    "fail": lambda at: [symbols.verdict("fails", at)],
    "passes": lambda at: [symbols.verdict("passes", at)],
    "assume": lambda at: [symbols.verdict("assumed", at)],
    "not judged": lambda at: [symbols.verdict("not judged", at)],
}
BY_SHAPE_ALONE = [("grab", "weight"), ("fail", "passes"), ("assume", "fail"), ("refused", "grab")]
BY_COLOUR_TOO = [("strut", "weight"), ("open", "shut"), ("grab", "strut")]


def grey(name: str, monkeypatch: pytest.MonkeyPatch) -> np.ndarray:
    """A sign drawn without colour: everything that is not ground is one grey."""

    def plain(role: str, theme: str) -> str:
        return "#FFFFFF" if role in ("paper", "raised") else "#555555"

    monkeypatch.setattr(figures, "colour", plain)
    figure = Figure(figsize=(1.0, 1.0), dpi=96)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0.0, 25.4)
    axes.set_ylim(0.0, 25.4)
    axes.axis("off")
    figures._draw(axes, SHAPES[name]((12.7, 12.7)), axes.transData, "light", "screen", 0.0)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    return np.asarray(canvas.buffer_rgba())[..., 0] < 170


@pytest.mark.parametrize(("one", "other"), BY_SHAPE_ALONE)
def test_pairs_near_in_colour_differ_in_shape(one, other, monkeypatch) -> None:
    first, second = grey(one, monkeypatch), grey(other, monkeypatch)
    union = np.count_nonzero(first | second)
    assert np.count_nonzero(first) > 20
    assert np.count_nonzero(first ^ second) > 0.25 * union


def test_the_sign_for_fails_is_a_filled_square_with_a_cross() -> None:
    square, *strokes = symbols.verdict("fails", (0.0, 0.0)).shapes
    assert style.LOOKS[square.role].fill == "fail"
    assert len(square.points) == 4
    (a, b), (c, d) = (one.points for one in strokes)
    assert np.dot(np.subtract(b, a), np.subtract(d, c)) == pytest.approx(0.0)
    for one in strokes:
        assert np.mean(one.points, axis=0) == pytest.approx((0.0, 0.0))


def test_all_signs_differ_in_shape(monkeypatch) -> None:
    drawn = {name: grey(name, monkeypatch) for name in ("fail", "passes", "assume", "not judged")}
    for one, other in combinations(drawn, 2):
        union = np.count_nonzero(drawn[one] | drawn[other])
        assert np.count_nonzero(drawn[one] ^ drawn[other]) > 0.25 * union, (one, other)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("one", "other"), BY_COLOUR_TOO)
def test_curves_of_one_chart_differ_in_colour_for_every_eye(one, other, theme) -> None:
    assert least_difference(one, other, theme) >= 10.0


def test_open_and_shut_differ_by_their_dashes_as_well() -> None:
    looks = [style.LOOKS[f"{role}_curve"] for role in ("open", "shut", "strut", "weight")]
    dashed = [bool(style.line_dash(look.line, "screen")) for look in looks]
    assert dashed == [True, False, False, True]


def test_every_role_has_colours_and_a_line() -> None:
    for look in style.LOOKS.values():
        assert look.line in style.LINES
        for part in (look.stroke, look.fill):
            assert part is None or part in style.COLOURS


def test_page_colours_are_never_below_what_they_promise_on_paper() -> None:
    assert style.colour("grab", "print") == "#000000"
    assert style.line_width("edge", "paper") == 0.50
    assert style.line_width("edge", "screen") == pytest.approx(2 * 25.4 / 96)
    assert style.line_dash("chain", "paper") == (6.0, 0.75, 0.25, 0.75)


FONTS = Path(mpl.get_data_path()) / "fonts" / "ttf"


@pytest.mark.parametrize(
    ("name", "table"), [("DejaVuSans.ttf", letters.REGULAR), ("DejaVuSans-Bold.ttf", letters.BOLD)]
)
def test_letter_widths_are_those_of_the_font(name, table) -> None:
    font = ft2font.FT2Font(str(FONTS / name))
    assert font.units_per_EM == letters.EM
    assert set(table) >= {chr(code) for code in range(32, 127)} | set("°′″−·×–é“”…✓✕≤")
    for letter, width in table.items():
        index = font.get_char_index(ord(letter))
        assert index, letter
        glyph = font.load_glyph(index, flags=ft2font.LoadFlags.NO_SCALE)
        assert glyph.horiAdvance == width, letter


def test_text_box_turns_with_its_text() -> None:
    level = letters.text_box(Text((10.0, 5.0), "108", "text", 3.0))
    upright = letters.text_box(Text((10.0, 5.0), "108", "text", 3.0, angle=math.pi / 2))
    assert level[2] - level[0] == pytest.approx(upright[3] - upright[1])
    assert level[0] == pytest.approx(10.0)
    assert upright[1] == pytest.approx(5.0)
    end = letters.text_box(Text((10.0, 5.0), "108", "text", 3.0, anchor="end"))
    assert end[2] == pytest.approx(10.0)


def test_long_texts_are_cut_with_an_ellipsis() -> None:
    text = letters.shortened("W" * 150, 20.0, 3.0)
    assert text.endswith("…")
    assert letters.text_width(text, 3.0) <= 20.0
    assert letters.shortened("short", 20.0, 3.0) == "short"


def test_signs_are_groups_of_the_same_size() -> None:
    for state in ("fails", "passes", "not judged", "assumed"):
        sign = symbols.verdict(state, (0.0, 0.0), 4.0)
        assert isinstance(sign, Group)
        left, bottom, right, top = letters.bounds([sign])
        assert max(-left, -bottom, right, top) <= 2.0
        assert right - left > 3.0
