"""Stock lists: reading, faults, and the generic list against the published ranges."""

import math
import re
from pathlib import Path

import pytest
from hypothesis import given

from strutkit.data import stock_path
from strutkit.describe.records import Strut
from strutkit.describe.stock import parse_stock, read_stock
from strutkit.errors import FileFault
from tests.describe import series
from tests.texts import texts

HEAD = "name,rating [N],extended_length [mm],stroke [mm]\n"


def test_the_list_of_the_format() -> None:
    text = (
        "name,rating [N],extended_length [mm],stroke [mm],force_ratio,friction [N],"
        "rod_diameter [mm],tube_diameter [mm],tolerance [N],order_code,price\n"
        "8-18-200-350,350,465,200,1.30,25,8,18,,,\n"
    )
    assert parse_stock(text) == (
        Strut(
            name="8-18-200-350",
            rating=350.0,
            extended_length=0.465,
            stroke=0.2,
            force_ratio=1.3,
            friction=25.0,
            rod_diameter=0.008,
            tube_diameter=0.018,
        ),
    )


WANTED = (
    Strut(name="a", rating=200.0, extended_length=0.4, stroke=0.15, price=12.5),
    Strut(name='b, "long"', rating=300.0, extended_length=0.5, stroke=0.2),
)


@pytest.mark.parametrize(
    "text",
    [
        """name,rating [N],extended_length [mm],stroke [mm],price
a,200,400,150,12.5
"b, ""long""\",300,500,200,
""",
        """name;rating [N];extended_length [mm];stroke [mm];price
a;200;400;150;12.5
"b, ""long""\";300;500;200
""".replace("\n", "\r\n"),
        """\ufeffName,Rating [kN],Extended length [cm],Stroke [ m ],price
# a remark, with a "

a,0.2,40,0.15,12.5
,,,,
"b, ""long""\",0.3,50,0.2
""",
        """price,stroke,extended_length [m],rating,name
12.5,150 mm,400 mm,200 N,a
,20 cm,0.5,0.3 kN,"b, ""long""\"
""",
        """name,rating [N],,extended_length [mm],stroke [mm],price
 a ,200,,400,150,12 1/2
"b, ""long""\",300,,500,2e2,
""",
    ],
    ids=["plain", "semicolons", "BOM and other units", "units in cells", "empty column"],
)
def test_the_same_list_however_it_is_written(text: str) -> None:
    assert parse_stock(text) == WANTED


def test_inches_and_pounds() -> None:
    (strut,) = parse_stock(
        "name,rating [lbf],extended_length [in],stroke [in]\nc,80,18 5/16,7 7⁄8\n"
    )
    # 80 lbf = 355.857729220840 N (NIST SP 811, from memory); 18.3125 in, 7.875 in times 25.4 mm
    assert strut.rating == pytest.approx(355.85772922084, rel=1e-14)
    assert (strut.extended_length, strut.stroke) == (0.4651375, 0.200025)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "",
            "s.csv is empty. Write a heading as  name,rating [N],extended_length [mm],stroke [mm]",
        ),
        ("# only a remark\n", "s.csv is empty."),
        (HEAD, "s.csv has a heading and no strut. Write a line for each strut."),
        ("name,rating [N]\na,200\n", "line 1, The heading lacks extended_length and stroke. Add"),
        ("nam,rating [N]\n", "line 1, nam is no column of a stock list. Did you mean name?"),
        ("name,colour\n", "colour is no column of a stock list. Columns are name, rating, exten"),
        ("name,rating [kg]\n", "rating [kg]: kg is no unit for rating. Write N, kN, lbf or kgf."),
        ("name [mm],rating\n", "name [mm]: mm is no unit for name. Leave it out."),
        ("name,rating [N,stroke\n", "rating [N is no column of a stock list."),
        ("name,stroke [mm],stroke [m]\n", "The column stroke stands 2 times. Leave one."),
        (HEAD + "a,200,400\n", "line 2, stroke is empty. Write one, or take the line out."),
        (HEAD + ",200,400,150\n", "line 2, name is empty. Write one, or take the line out."),
        (HEAD + "a,200,400,150,9\n", "line 2, 5 cells stand under 4 headings."),
        (HEAD + "a,200,400,x\n", "line 2, stroke: x has no number in front."),
        (HEAD + "a,20 kg,400,150\n", "line 2, rating: 20 kg is a mass, and a force is asked."),
        (HEAD + 'a,200,"400,5",150\n', "line 2, extended_length: 400,5 has a comma. Write 400.5."),
        (HEAD + "a,-200,400,150\n", "line 2, rating is -200 N; it must be over 0 N."),
        (HEAD + "a,200,400,400\n", "line 2, strut 'a': stroke is 400 mm; it must be less than"),
        (HEAD + "a,200,400,8\n", "line 2, strut 'a': stroke is 8 mm; it must be over 10 mm"),
        (HEAD + "a,200,400,150\na,1,400,150\n", "line 3, The name a stands on line 2 too. Change"),
        (HEAD + '"a,200,400,150\n', 'line 2, "a,200,400,150: unexpected end of data. Check the q'),
        (HEAD + "a\x07,200,400,150\n", "line 2, name holds the control character U+0007"),
        (HEAD + "a,=2+3,400,150\n", "line 2, rating: =2+3 is arithmetic, which is not worked out"),
        ("name,rating,extended_length [mm],stroke [mm]\na,200,400,150\n", "rating: 200 has no un"),
        (HEAD + "a,1,400,150\n" * 10_001, "s.csv has 10002 lines, and at most 10000 are read."),
        (HEAD + "a,1,400,150" + "," * 200_000 + "9\n", "cells stand under 4 headings."),
        (HEAD + '"' + "x" * 900_000 + '",1,400,150\n', "Check the quotes."),
    ],
    ids=lambda each: each[:40],
)
def test_faults(text: str, message: str) -> None:
    with pytest.raises(FileFault, match=re.escape(message)) as caught:
        parse_stock(text, "s.csv")
    said = str(caught.value)
    assert said.startswith("s.csv")
    assert len(said) < 30_000
    assert not re.search(r"error|invalid|please|!", said, re.IGNORECASE)


def test_all_faults_at_once_with_their_lines() -> None:
    text = HEAD + 'a,200,400,x\nb,20 kg,400 N,150\n"c,1\na,-5,400,150\nd,100,300,100\n'
    with pytest.raises(FileFault, match=r"s\.csv has 6 faults:") as caught:
        parse_stock(text, "s.csv")
    lines = str(caught.value).split("\n- ")[1:]
    assert [line.split(",")[0] for line in lines] == [
        "line 2",
        "line 3",
        "line 3",
        "line 4",
        "line 5",
        "line 5",
    ]


@given(texts(max_size=100))
def test_any_rows_are_read_or_listed(rows: str) -> None:
    try:
        said = parse_stock(HEAD + rows)[0].name
    except FileFault as fault:
        said = str(fault)
    assert all(line.isprintable() for line in said.split("\n"))


def test_files(tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_bytes(b"\xef\xbb\xbf" + (HEAD + "a,200,400,150\n").replace("\n", "\r\n").encode())
    assert read_stock(path)[0].name == "a"
    path.write_bytes(HEAD.encode() + b"\xff\xfe,1,1,1\n")
    with pytest.raises(FileFault, match=r"s\.csv, line 2: byte 0xff is not UTF-8"):
        read_stock(path)
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(FileFault, match=r"s\.csv has 1 MB, and a stock list of at most 1 MB is re"):
        read_stock(path)
    with pytest.raises(FileFault, match=r"There is no file none\.csv"):
        read_stock(tmp_path / "none.csv")


# The generic list --------------------------------------------------------------------------------

GENERIC = read_stock(stock_path())


def mm(value: float | None) -> int:
    assert value is not None
    return round(value * 1000)


def test_the_shipped_list_is_the_documented_series() -> None:
    assert stock_path().read_text(encoding="utf-8") == series.stock_text()


def test_the_shipped_list_is_large_enough_to_choose_from() -> None:
    assert len(GENERIC) == 187
    assert {mm(strut.rod_diameter) for strut in GENERIC} == {6, 8, 10, 12, 14}


def test_every_strut_lies_in_the_published_ranges() -> None:
    """Annexes B and C, clauses 7.5.1 and 7.5.2 and table 2 of the gas spring design standard, and
    JB/T 8064.1-1996, table 2 (all read in restatements; the design standard's number was not
    visible there). Force ratio 1.2-1.4: common practice, no published source."""
    for strut in GENERIC:
        rod, stroke = mm(strut.rod_diameter), mm(strut.stroke)
        least, most = series.PUBLISHED_RATINGS[rod]
        assert least <= strut.rating <= most, strut.name
        assert stroke <= series.PUBLISHED_STROKES[rod], strut.name
        least_bore, most_bore = series.PUBLISHED_BORES[rod]
        assert least_bore <= series.BORES[rod] <= most_bore, strut.name
        assert series.TUBES[rod] == mm(strut.tube_diameter), strut.name
        wall = (series.TUBES[rod] - series.BORES[rod]) / 2
        assert wall >= 1.0, strut.name
        assert series.TUBES[rod] / series.BORES[rod] >= 1.1, strut.name
        assert (
            strut.friction == series.row_of(series.PUBLISHED_FRICTION, round(strut.rating)) / 2
        ), strut.name
        assert strut.tolerance == (10.0 if strut.rating <= 200.0 else None), strut.name
        assert strut.force_ratio is not None, strut.name
        assert 1.2 <= strut.force_ratio <= 1.4, strut.name


def test_every_strut_could_be_built() -> None:
    """Tube: stroke, rod guide (table 2) and piston; rod out by its stroke; ends; charge pressure
    F/(π d²/4) at full extension not over the published 13 MPa (annex C)."""
    for strut in GENERIC:
        guide = series.row_of(series.PUBLISHED_GUIDES, mm(strut.stroke))
        assert mm(strut.tube_length) >= mm(strut.stroke) + guide + 15, strut.name
        ends = mm(strut.extended_length) - mm(strut.tube_length) - mm(strut.stroke)
        assert 20 <= ends <= 50, strut.name
        assert strut.rod_diameter is not None, strut.name
        pressure = strut.rating / (math.pi * strut.rod_diameter**2 / 4)
        assert 1.7e6 <= pressure <= 13e6, strut.name


def test_names_say_rod_tube_stroke_and_rating() -> None:
    for strut in GENERIC:
        sizes = (
            mm(strut.rod_diameter),
            mm(strut.tube_diameter),
            mm(strut.stroke),
            round(strut.rating),
        )
        assert strut.name == "-".join(str(size) for size in sizes), strut.name
