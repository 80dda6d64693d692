"""Steps of a calculation as a checker follows them by hand: formula, numbers put in, result.

A step is a function of one `return`. Its symbols, the numbers put in and its value all come from
that function: the formula is printed from its syntax tree, and the result is worked out from the
numbers as they are printed, rounded. So a pocket calculator gives the printed result.
"""

import ast
import inspect
import textwrap
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

Segment = tuple[str, str]
"""("plain" or "below", text): a piece of a formula; "below" is set as a subscript."""

Letters = Callable[[str], list[Segment]]

GREEK = {
    "kappa": "κ",
    "psi": "ψ",
    "theta": "θ",
    "phi": "φ",
    "Delta": "Δ",
    "alpha": "α",
    "beta": "β",
    "mu": "μ",
    "pi": "π",
}

DECIMALS = {
    "m": 5,
    "N": 2,
    "N·m": 3,
    "°": 3,
    "1/m": 5,
    "MPa": 4,
    "": 5,
    "K": 2,
    "kg": 4,
    "m/s²": 5,
}
"""Decimals of a worked-out value by its unit; N·m over m gives N to 0.01."""

BINDING: dict[type[ast.operator], int] = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2}
SIGNS: dict[type[ast.operator], str] = {
    ast.Add: " + ",
    ast.Sub: " − ",
    ast.Mult: " · ",
    ast.Div: " / ",
}


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it stands on the page."""

    text: str
    unit: str

    @property
    def value(self) -> float:
        """What the text says."""
        return float(self.text.replace("−", "-"))

    @property
    def in_formula(self) -> str:
        """As it is put in: degrees keep their sign, a negative number gets brackets."""
        text = f"{self.text}°" if self.unit == "°" else self.text
        return f"({text})" if text.startswith("−") else text


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line: what it gives in words, its symbol, the formula and the formula with numbers.

    formula and numbers are empty for a value that is given.
    """

    says: str
    symbol: tuple[Segment, ...]
    formula: tuple[Segment, ...]
    numbers: str
    result: Number


def as_given(value: float, unit: str) -> Number:
    """A value of the door, as short as it reads back (9 digits at most)."""
    return Number(f"{value:.9g}".replace("-", "−"), unit)


def rounded(value: float, unit: str) -> Number:
    """A worked-out value with the decimals of its unit.

    >>> rounded(0.123456, "m").text, rounded(-1e-9, "N").text
    ('0.12346', '0.00')
    """
    text = f"{value:.{DECIMALS[unit]}f}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    return Number(text.replace("-", "−"), unit)


def symbol(name: str) -> list[Segment]:
    """The symbol that the name of an argument stands for.

    >>> symbol("r_F"), symbol("kappa")
    ([('plain', 'r'), ('below', 'F')], [('plain', 'κ')])
    """
    base, _, below = name.partition("_")
    letters: list[Segment] = [("plain", GREEK.get(base, base))]
    return [*letters, ("below", GREEK.get(below, below))] if below else letters


class Steps:
    """Takes steps one by one; each result, as printed, is known to the steps after it."""

    def __init__(self) -> None:
        self.known: dict[str, Number] = {}
        self._steps: list[Step] = []

    def given(self, says: str, name: str, value: float, unit: str) -> None:
        """A value stated in the door."""
        self._take(says, name, (), "", as_given(value, unit))

    def read_off(self, says: str, name: str, value: float, unit: str) -> None:
        """A value that follows from the door's points, rounded."""
        self._take(says, name, (), "", rounded(value, unit))

    def work_out(
        self, says: str, name: str, function: Callable[..., float], unit: str, **known: str
    ) -> float:
        """`function` of known numbers; known: argument -> name, where they differ."""
        names = {one: known.get(one, one) for one in _arguments(function)}
        numbers = {one: self.known[name] for one, name in names.items()}
        result = rounded(function(**{one: number.value for one, number in numbers.items()}), unit)
        tree = _returned(function)
        letters = _printed(tree, lambda one: symbol(names.get(one, one)))
        put_in = _printed(tree, lambda one: _put_in(one, numbers))
        self._take(says, name, _merged(letters), "".join(text for _, text in put_in), result)
        return result.value

    def add_up(self, says: str, name: str, names: Sequence[str], unit: str) -> float:
        """The sum of known numbers."""
        numbers = [self.known[one] for one in names]
        letters = [segment for one in names for segment in (("plain", " + "), *symbol(one))][1:]
        put_in = " + ".join(number.in_formula for number in numbers)
        result = rounded(sum(number.value for number in numbers), unit)
        self._take(says, name, _merged(letters), put_in, result)
        return result.value

    def keep(self, name: str, known: str) -> None:
        """A known number under a further name, where its own is given anew later."""
        self.known[name] = self.known[known]

    def take_block(self) -> tuple[Step, ...]:
        """The steps since the last block."""
        block, self._steps = tuple(self._steps), []
        return block

    def _take(
        self, says: str, name: str, formula: tuple[Segment, ...], numbers: str, result: Number
    ) -> None:
        self.known[name] = result
        step = Step(
            says=says,
            symbol=_merged(symbol(name)),
            formula=formula,
            numbers=numbers,
            result=result,
        )
        self._steps.append(step)


@cache
def _arguments(function: Callable[..., float]) -> tuple[str, ...]:
    return tuple(inspect.signature(function).parameters)


@cache
def _returned(function: Callable[..., float]) -> ast.expr:
    """What the one `return` of a formula gives."""
    definition = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
    if not isinstance(definition, ast.FunctionDef):
        raise TypeError(f"{function!r} is not a plain function.")
    match definition.body[ast.get_docstring(definition) is not None :]:
        case [ast.Return(value=ast.expr() as value)]:
            return value
    raise TypeError(f"{function!r} is not a function of one return.")


def _put_in(name: str, numbers: dict[str, Number]) -> list[Segment]:
    return [("plain", numbers[name].in_formula)] if name in numbers else symbol(name)


def _printed(node: ast.expr, letters: Letters, least: int = 0) -> list[Segment]:
    """An expression as segments, in brackets where its operator binds less than `least`."""
    match node:
        case ast.Name(id=name):
            return letters(name)
        case ast.Constant(value=value):
            return [("plain", str(value))]
        case ast.Call(func=ast.Name(id=name), args=inside):
            return _printed_call(name, [_printed(one, letters) for one in inside])
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            text = [("plain", "−"), *_printed(operand, letters, 2)]
            return _bracketed(text) if least > 2 else text
        case ast.BinOp(op=ast.Pow(), left=left, right=ast.Constant(value=2)):
            return [*_printed(left, letters, 4), ("plain", "²")]
        case ast.BinOp(op=op, left=left, right=right) if type(op) in SIGNS:
            own = BINDING[type(op)]
            after = own + 1 if isinstance(op, (ast.Sub, ast.Div)) else own
            text = [
                *_printed(left, letters, own),
                ("plain", SIGNS[type(op)]),
                *_printed(right, letters, after),
            ]
            return _bracketed(text) if own < least else text
    raise TypeError(f"no way to print {ast.unparse(node)}")


def _printed_call(name: str, arguments: list[list[Segment]]) -> list[Segment]:
    if name == "abs":
        return [("plain", "|"), *arguments[0], ("plain", "|")]
    if name == "sqrt":
        return [("plain", "√"), *_bracketed(arguments[0])]
    if len(arguments) == 1:
        return [("plain", f"{name} "), *arguments[0]]
    parted = [segment for one in arguments for segment in (("plain", "; "), *one)][1:]
    return [("plain", name), *_bracketed(parted)]


def _bracketed(inside: list[Segment]) -> list[Segment]:
    return [("plain", "("), *inside, ("plain", ")")]


def _merged(segments: Sequence[Segment]) -> tuple[Segment, ...]:
    merged: list[Segment] = []
    for style, text in segments:
        if merged and merged[-1][0] == style:
            merged[-1] = (style, merged[-1][1] + text)
        else:
            merged.append((style, text))
    return tuple(merged)
