"""Data flows one way: errors, data, compute, describe, decide, show, live. And the kit is light."""

import ast
import importlib
import inspect
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import strutkit

PACKAGE = Path(strutkit.__file__).parent
LAYERS = ("errors", "data", "compute", "describe", "decide", "show", "live")
SHARED = ("_version",)
HEAVY = (
    "matplotlib",
    "scipy",
    "ipywidgets",
    "anywidget",
    "typst",
    "pydantic",
    "ezdxf",
    "shapely",
    "tomlkit",
    "Pynite",
    "tqdm",
    "IPython",
    "jupyterlab",
)
WIDGETS = ("ipywidgets", "anywidget", "IPython", "traitlets")
MODULES = sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    """The dotted name that a module is imported by."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(source: str) -> Iterator[tuple[int, str]]:
    """Line and dotted name of all that a module imports, wherever in it the import stands."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = "." * node.level + (node.module or "")
            yield from ((node.lineno, f"{base}.{alias.name}") for alias in node.names)


def wrong_imports(module: str, source: str) -> list[str]:
    """The imports of `module` that go up the stream."""
    layer = module.split(".")[1]
    allowed = (*SHARED, *LAYERS[: LAYERS.index(layer) + 1])
    found = []
    for line, name in imports(source):
        parts = name.split(".")
        if name.startswith("."):
            found.append(f"{module}:{line} imports {name}: write the whole name")
        elif parts[0] == "strutkit" and parts[1] not in allowed:
            found.append(f"{module}:{line} imports {name}: {layer} may use {', '.join(allowed)}")
        elif parts[0] in WIDGETS and layer != "live":
            found.append(f"{module}:{line} imports {name}: only live may use widgets")
    return found


@pytest.mark.parametrize("path", [p for p in MODULES if p.parent != PACKAGE], ids=name_of)
def test_folders_import_only_from_those_above(path: Path) -> None:
    assert wrong_imports(name_of(path), path.read_text("utf-8")) == []


def test_errors_import_nothing_of_the_kit() -> None:
    assert wrong_imports("strutkit.errors", (PACKAGE / "errors.py").read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("strutkit.compute.gas", "from strutkit.describe.records import Strut"),
        ("strutkit.compute.gas", "def late():\n    import strutkit.decide.sweep"),
        ("strutkit.describe.door", "from strutkit import sweep"),
        ("strutkit.show.chart", "from ..live import bench"),
        ("strutkit.show.chart", "import ipywidgets"),
        ("strutkit.decide.search.tree", "from strutkit.show import view"),
    ],
)
def test_an_import_up_the_stream_is_found(module: str, source: str) -> None:
    assert len(wrong_imports(module, source)) == 1


def test_all_code_lies_in_a_folder_of_the_house() -> None:
    top = {path.relative_to(PACKAGE).parts[0].removesuffix(".py") for path in MODULES}
    assert top <= {*LAYERS, *SHARED, "__init__"}


def test_import_is_light() -> None:
    """`import strutkit` in a fresh Python loads none of the heavy libraries."""
    question = "import sys, strutkit; print(*{name.split('.')[0] for name in sys.modules})"
    loaded = subprocess.check_output([sys.executable, "-c", question], text=True).split()
    assert "strutkit" in loaded
    assert sorted(set(loaded) & set(HEAVY)) == []


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_every_module_imports_and_says_what_it_is_for(path: Path) -> None:
    module = importlib.import_module(name_of(path))
    assert (module.__doc__ or "").strip() or not path.read_text("utf-8").strip()


def test_public_names_are_there_documented_and_listed() -> None:
    assert list(strutkit.__all__) == sorted(set(strutkit.__all__))
    assert set(strutkit.__all__) <= set(dir(strutkit))
    undocumented = [
        name
        for name in strutkit.__all__
        if not (inspect.getdoc(getattr(strutkit, name)) or "").strip()
        or (inspect.getdoc(getattr(strutkit, name)) or "").startswith(f"{name}(")
    ]
    assert undocumented == []


def test_type_checkers_see_every_public_name() -> None:
    """The lazy names are imported under TYPE_CHECKING, and `__all__` is written out."""
    tree = ast.parse((PACKAGE / "__init__.py").read_text("utf-8"))
    seen = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("strutkit")
        for alias in node.names
    }
    assert set(strutkit.__all__) <= seen | {"__version__"}
    written = [
        ast.literal_eval(node.value)
        for node in tree.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__"
    ]
    assert written == [strutkit.__all__]


def test_an_unknown_name_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'swep'"):
        _ = strutkit.swep
