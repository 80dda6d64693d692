"""How the generic stock list is made. A series of our own, from published ranges, no maker's.

Rods, least and greatest ratings, greatest strokes and bores: gas spring design standard, annex C,
table C.1. Rod guide length H: same, table 2. Greatest friction: annex B, table B.1; the list
states half of it, as the kit does everywhere. Tolerance ±10 N up to 200 N: JB/T 8064.1-1996,
table 2. All were read in restatements of the standards. Our own choices, no published source:
which strokes and ratings, a gas column 8 % longer than the stroke, piston and tube end 20 mm, end
fittings 25 mm for rods to 8 mm (25 and 35 mm for 10 and 12, 30 and 45 mm for 14).
"""

from decimal import ROUND_HALF_UP, Decimal

PUBLISHED_RATINGS = {6: (50, 300), 8: (200, 550), 10: (300, 850), 12: (450, 1200), 14: (600, 1600)}
PUBLISHED_STROKES = {6: 150, 8: 200, 10: 300, 12: 400, 14: 450}
PUBLISHED_BORES = {6: (12, 14), 8: (16, 20), 10: (20, 24), 12: (22, 26), 14: (24, 28)}
PUBLISHED_GUIDES = ((150, 15), (200, 20), (250, 25), (300, 30), (350, 35), (400, 40), (9999, 45))
PUBLISHED_FRICTION = (
    (100, 25),
    (200, 30),
    (400, 40),
    (600, 60),
    (800, 80),
    (1000, 100),
    (1200, 130),
    (99999, 150),
)

BORES = {6: 13, 8: 16, 10: 20, 12: 24, 14: 26}
TUBES = {6: 15, 8: 18, 10: 22, 12: 27, 14: 29}
ENDS = {6: (20, 25), 8: (20, 25), 10: (25, 35), 12: (25, 35), 14: (30, 45)}
STROKES = {
    6: (40, 60, 80, 100, 120, 150),
    8: (60, 80, 100, 120, 140, 160, 180, 200),
    10: (100, 150, 200, 250, 300),
    12: (200, 300, 400),
    14: (250, 350, 450),
}
RATINGS = {
    6: (50, 80, 100, 120, 150, 200, 250, 300),
    8: (200, 250, 300, 350, 400, 450, 500, 550),
    10: (300, 350, 400, 450, 500, 550, 600, 700, 800),
    12: (450, 600, 800, 1000, 1200),
    14: (600, 800, 1000, 1300, 1600),
}
COLUMNS = (
    "name,rating [N],extended_length [mm],stroke [mm],force_ratio,friction [N],rod_diameter [mm],"
    "tube_diameter [mm],tube_length [mm],tolerance [N],order_code,price"
)
REMARKS = """\
# Generic struts, a made-up series from published ranges of rod, rating, stroke and friction.
# No maker's list: check the label of the strut that you buy. Name: rod-tube-stroke-rating.
"""


def row_of(rows: tuple[tuple[int, int], ...], key: int) -> int:
    """Value of the first row whose bound (inclusive) is not under the key."""
    return next(value for bound, value in rows if key <= bound)


def row(rod: int, stroke: int, rating: int) -> str:
    """One line of the list, lengths in mm, forces in N.

    Tube length = stroke + H + piston and tube end; extended length = tube length + stroke + end
    fittings; force ratio = 1 / (1 - (rod/bore)²/1.08), isothermal, ideal gas.
    """
    piston, fittings = ENDS[rod]
    tube_length = stroke + row_of(PUBLISHED_GUIDES, stroke) + piston
    share = Decimal(rod) ** 2 / Decimal(BORES[rod]) ** 2 / Decimal("1.08")
    ratio = (1 / (1 - share)).quantize(Decimal("0.01"), ROUND_HALF_UP)
    friction = Decimal(row_of(PUBLISHED_FRICTION, rating)) / 2
    tolerance = 10 if rating <= 200 else ""
    return (
        f"{rod}-{TUBES[rod]}-{stroke}-{rating},{rating},{tube_length + stroke + fittings},{stroke},"
        f"{ratio},{friction.normalize():f},{rod},{TUBES[rod]},{tube_length},{tolerance},,"
    )


def stock_text() -> str:
    """The whole list."""
    rows = [
        row(rod, stroke, rating)
        for rod in STROKES
        for stroke in STROKES[rod]
        for rating in RATINGS[rod]
    ]
    return REMARKS + "\n".join([COLUMNS, *rows]) + "\n"
