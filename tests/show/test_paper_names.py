"""What is typed is printed literally, whatever it is, and stays within the frame."""

from dataclasses import replace

from fontTools.ttLib import TTFont

from strutkit import Condition
from strutkit.show import typesetting
from tests.show.pdf_reader import POINTS_PER_MM, all_text, page_texts, pages, properties
from tests.show.test_paper import FOREIGN, saved, sheet_of, tool_hatch

HOSTILE = (
    "#panic()",
    "$ x^2 $ *bold* _italic_ = Heading @key <label> `raw` \\u{41}",
    "<script>alert(1)</script> &amp; <svg onload=x>",
    "%%c %%d {\\fArial;x} \\P",
    "\"double\" 'single' “curly” \\",
    "sys.inputs /etc/passwd ../../x",
)


def test_hostile_names_print_literally(tmp_path) -> None:
    """The name of the door, and what may stand on a strut, its label and a condition."""
    name, other = " ".join(HOSTILE[:3]), " ".join(HOSTILE[3:])
    frost = Condition(name=other, temperature=253.15)
    door = tool_hatch(name=name, conditions=(frost,))
    strut = replace(door.struts[0].strut, name=other, order_code=other)
    door = replace(door, struts=(replace(door.struts[0], strut=strut),))
    data = saved(door, tmp_path)
    text = all_text(data).replace(" ", "")
    assert name.replace(" ", "") in text
    assert text.count(other.replace(" ", "")) >= 4
    assert properties(data)["Title"] == name


def test_long_names_stay_within_the_frame(tmp_path) -> None:
    name = "W" * 250
    door = tool_hatch(name=name, conditions=())
    strut = replace(door.struts[0].strut, name=name[:200])
    data = saved(replace(door, struts=(replace(door.struts[0], strut=strut),)), tmp_path)
    found = [letter for page in pages(data) for letter in page.letters]
    assert max(letter["x1"] for letter in found) <= 200.0 * POINTS_PER_MM
    assert sum(letter["text"].count("W") for letter in pages(data)[0].letters) >= 250


def test_right_to_left_names_keep_all_their_letters() -> None:
    text = page_texts(sheet_of(tool_hatch(name=FOREIGN, conditions=())))[0]
    for word in ("דלת", "הגג"):
        assert word in text or word[::-1] in text


def test_letters_the_font_lacks_are_said_not_boxed() -> None:
    text = all_text(sheet_of(tool_hatch(name=FOREIGN, conditions=())))
    numbers = ("[U+1F996]", "[U+202E]", "[U+6238]")
    for printed in numbers:
        assert text.count(printed) >= 2
    assert f"lacks stand as their Unicode numbers: {', '.join(numbers)}." in text


def test_letters_taken_for_sure_are_in_the_font() -> None:
    """Read with fontTools, which the kit does not use."""
    for path in typesetting.font_paths():
        assert {ord(letter) for letter in typesetting.SURE_LETTERS} <= set(
            TTFont(path).getBestCmap()
        )
