"""Set-up in two commands: start.py, the pins, environment.yml and what the wheel holds."""

import ast
import contextlib
import fnmatch
import importlib.metadata
import json
import os
import re
import shutil
import subprocess
import sys
import time
import tomllib
import urllib.request
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest
import yaml
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

import start
from strutkit._version import __version__

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PYTHONS = [f"3.{minor}" for minor in range(start.OLDEST[1], start.NEWEST[1] + 1)]
OLD_PYTHONS = ("2.7", "3.4", "3.5", "3.6", "3.7", "3.8", "3.9", "3.10")


# -- start.py on Pythons that are too old --------------------------------------------------------


def test_start_keeps_to_what_old_pythons_read() -> None:
    source = (ROOT / "start.py").read_bytes().decode("ascii")
    tree = ast.parse(source, feature_version=(3, 4))
    newer = (
        ast.JoinedStr,
        ast.AnnAssign,
        ast.NamedExpr,
        ast.Nonlocal,
        ast.Starred,
        ast.YieldFrom,
        ast.AsyncFunctionDef,
    )
    assert [node for node in ast.walk(tree) if isinstance(node, newer)] == []
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    assert len(functions) > 10
    for function in functions:
        assert function.returns is None, function.name
        assert function.args.kwonlyargs == [], function.name
        assert all(arg.annotation is None for arg in function.args.args), function.name


def test_an_old_python_is_told_in_a_plain_sentence() -> None:
    """By the oldest one that is on this machine and by the youngest."""
    found = [(version, python) for version in OLD_PYTHONS if (python := find_python(version))]
    if not found:
        pytest.skip(f"no Python of {', '.join(OLD_PYTHONS)} on this machine")
    for version, python in {found[0], found[-1]}:
        done = subprocess.run(
            [python, ROOT / "start.py"], capture_output=True, text=True, check=False, timeout=60
        )
        assert done.returncode == 1, version
        assert f"strutkit needs Python 3.11 to 3.14, and this is Python {version}" in done.stdout
        assert "Run:" in done.stdout or "Install one" in done.stdout, version
        assert done.stderr == "", version


def find_python(version: str) -> str | None:
    """An interpreter that really is of this version: on the path, or kept by pyenv."""
    kept = Path.home().glob(f".pyenv/versions/{version}.*/bin/python")
    candidates = [*(str(path) for path in kept), shutil.which(f"python{version}")]
    question = "import sys; print('%d.%d' % sys.version_info[:2])"
    for candidate in filter(None, candidates):
        done = subprocess.run(
            [candidate, "-c", question], capture_output=True, text=True, check=False
        )
        if done.stdout.strip() == version:
            return candidate
    return None


def test_a_wrong_python_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "OLDEST", (4, 0))
    monkeypatch.setattr(start, "NEWEST", (4, 2))
    with pytest.raises(start.SetupError, match=r"needs Python 4\.0 to 4\.2, and this is Python 3"):
        start.check_python()


def test_a_python_that_would_do_is_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert "Install one" in start.python_advice()
    broken = tmp_path / "python3.14"
    broken.write_text("#!/bin/sh\nexit 127\n")
    good = tmp_path / "python3.12"
    good.symlink_to(sys.executable)
    broken.chmod(0o755)
    assert start.python_advice() == "This machine has python3.12. Run:  python3.12 start.py"


# -- the environment, with a kit of no dependencies so that no network is needed -----------------


BACKEND = '''\
"""Builds an editable wheel of a kit without dependencies."""
import zipfile


def build_editable(wheel_directory, config_settings=None, metadata_directory=None):
    name = "tiny-1.0-py3-none-any.whl"
    about = {
        "tiny.pth": "",
        "tiny-1.0.dist-info/METADATA": "Metadata-Version: 2.1\\nName: tiny\\nVersion: 1.0\\n",
        "tiny-1.0.dist-info/WHEEL": "Wheel-Version: 1.0\\nTag: py3-none-any\\n",
        "tiny-1.0.dist-info/RECORD": "",
    }
    with zipfile.ZipFile(wheel_directory + "/" + name, "w") as wheel:
        for path, text in about.items():
            wheel.writestr(path, text)
    return name


build_wheel = build_editable
'''
TINY = """\
[build-system]
requires = []
build-backend = "backend"
backend-path = ["."]
[project]
name = "tiny"
version = "1.0"
"""


def make_checkout(folder: Path) -> Path:
    (folder / "strutkit").mkdir(parents=True)
    (folder / "notebooks").mkdir()
    shutil.copy(ROOT / "start.py", folder)
    (folder / "pyproject.toml").write_text(TINY)
    (folder / "backend.py").write_text(BACKEND)
    (folder / "constraints.txt").write_text("")
    (folder / "strutkit" / "_version.py").write_text("__version__ = '1.0'\n")
    return folder


def start_here(checkout: Path, python: str | Path = sys.executable, **variables: str) -> Any:
    """`start.py` as a user runs it. There is no notebook, so that it ends after the set-up."""
    return subprocess.run(
        [python, "start.py"],
        cwd=checkout,
        env={**os.environ, **variables},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small kit in a folder with a blank in its name, set up after a first try broke off."""
    folder = make_checkout(tmp_path_factory.mktemp("set up") / "my kit")
    environment = folder / ".venv"
    environment.mkdir()
    (environment / "half").write_text("")
    begun = {"root": str(folder), "unfinished": True}
    (environment / "strutkit.json").write_text(json.dumps(begun))
    done = start_here(folder)
    words = done.stdout + done.stderr
    assert "An earlier set-up did not come to its end; making it anew." in done.stdout, words
    assert "Making an environment for Python" in done.stdout, words
    assert "Set up in" in done.stdout, words
    assert done.stderr == ""
    return folder


def test_what_was_interrupted_is_made_anew(checkout: Path) -> None:
    assert not (checkout / ".venv" / "half").exists()
    state = json.loads((checkout / ".venv" / "strutkit.json").read_text())
    assert state["installed"] == ["run"]
    assert "unfinished" not in state


def test_where_there_is_no_environment_nothing_is_said_of_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "ENVIRONMENT", str(tmp_path / ".venv"))
    assert start.usable_state() is None
    assert capsys.readouterr().out == ""


def test_nothing_is_done_when_nothing_changed(checkout: Path) -> None:
    before = (checkout / ".venv" / "install.log").stat().st_mtime_ns
    done = start_here(checkout)
    assert "Making" not in done.stdout
    assert "Installing" not in done.stdout
    assert (checkout / ".venv" / "install.log").stat().st_mtime_ns == before


def test_a_change_is_installed_into_the_same_environment(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each of the three files tells that there is something to install."""
    monkeypatch.setattr(start, "ROOT", str(checkout))
    prints = [start.fingerprint()]
    for name in ("pyproject.toml", "constraints.txt", "strutkit/_version.py"):
        with (checkout / name).open("a") as file:
            file.write("# changed\n")
        prints.append(start.fingerprint())
    assert len(set(prints)) == 4
    done = start_here(checkout)
    assert "Making" not in done.stdout
    assert "Installing the kit" in done.stdout
    assert "Set up in" in done.stdout


def test_the_environments_own_python_may_run_it(checkout: Path) -> None:
    done = start_here(checkout, checkout / ".venv" / "bin" / "python")
    assert "Making" not in done.stdout
    assert "is missing" in done.stdout


def test_a_missing_notebook_is_said(checkout: Path) -> None:
    done = start_here(checkout)
    assert done.returncode == 1
    assert re.search(r"first notebook \(notebooks/1_\.\.\.\) is missing", done.stdout)


def test_two_at_once_wait_for_each_other(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "ENVIRONMENT", str(checkout / ".venv"))
    with start.locked():
        second = subprocess.Popen(
            [sys.executable, "start.py"], cwd=checkout, stdout=subprocess.PIPE, text=True
        )
        assert second.stdout is not None
        assert "Another start.py is at work" in second.stdout.readline()
        assert second.poll() is None
    rest, _ = second.communicate(timeout=60)
    assert "is missing" in rest


def spoil(checkout: Path, how: str) -> None:
    environment = checkout / ".venv"
    state = json.loads((environment / "strutkit.json").read_text())
    if how == "moved":
        state["root"] = "/elsewhere"
    elif how == "broken":
        (environment / "bin" / "python").unlink()
    elif how == "without pip":
        next(environment.glob("lib/python3*/site-packages/pip/__init__.py")).unlink()
    elif how == "state unreadable":
        (environment / "bin" / "python").unlink()
        (environment / "strutkit.json").write_text("{half")
        return
    (environment / "strutkit.json").write_text(json.dumps(state))


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("moved", "This folder has been moved since it was set up"),
        ("broken", "does not run any more"),
        ("without pip", "does not run any more"),
        ("state unreadable", "does not run any more"),
    ],
)
def test_an_environment_that_will_not_do_is_discarded(
    checkout: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    how: str,
    words: str,
) -> None:
    copy = tmp_path / "copy"
    most_of_pip = shutil.ignore_patterns("_internal", "_vendor", "setuptools", "pkg_resources")
    shutil.copytree(checkout, copy, symlinks=True, ignore=most_of_pip)
    monkeypatch.setattr(start, "ROOT", str(checkout))
    monkeypatch.setattr(start, "ENVIRONMENT", str(copy / ".venv"))
    monkeypatch.setattr(start, "STATE", str(copy / ".venv" / "strutkit.json"))
    assert start.usable_state() is not None
    spoil(copy, how)
    assert start.usable_state() is None
    assert words in capsys.readouterr().out
    assert not (copy / ".venv").exists()


def test_a_folder_that_is_no_environment_is_left_alone(tmp_path: Path) -> None:
    folder = make_checkout(tmp_path / "kit")
    (folder / ".venv").mkdir()
    (folder / ".venv" / "diary.txt").write_text("mine")
    done = start_here(folder)
    assert done.returncode == 1
    assert "is in the way: it is no Python environment. Move it elsewhere" in done.stdout
    assert (folder / ".venv" / "diary.txt").read_text() == "mine"


def test_without_network_the_sentence_is_plain_and_the_next_try_goes_on(checkout: Path) -> None:
    (checkout / "pyproject.toml").write_text(TINY.replace("[]", '["numpy"]'))
    nowhere = "http://127.0.0.1:9/"  # the discard port: nobody answers
    cut = {
        "PIP_CONFIG_FILE": os.devnull,
        "PIP_INDEX_URL": nowhere,
        "PIP_EXTRA_INDEX_URL": "",
        "PIP_FIND_LINKS": "",
        "PIP_RETRIES": "1",
        "NO_PROXY": "127.0.0.1",
    }
    done = start_here(checkout, **cut)
    assert done.returncode == 1
    assert "no connection to the Python Package Index" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr
    (checkout / "pyproject.toml").write_text(TINY)
    done = start_here(checkout, **cut)
    assert "Making" not in done.stdout
    assert "Set up in" in done.stdout


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("NameResolutionError: Failed to resolve", r"no connection to the Python Package Index"),
        ("[SSL: CERTIFICATE_VERIFY_FAILED] Max retries exceeded", r"set PIP_CERT"),
        ("OSError: [Errno 28] No space left on device", r"The disk is full"),
        (
            "ERROR: No matching distribution found for scipy==1.17.1",
            r"no ready-built scipy==1\.17\.1 for this Python 3\.\d+",
        ),
        ("ERROR: something else", r"Its last words(.|\n)*something else"),
    ],
)
def test_each_failed_install_is_explained(words: str, sentence: str) -> None:
    assert re.search(sentence, start.install_advice(words))


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_what_to_install(
    monkeypatch: pytest.MonkeyPatch, missing: str
) -> None:
    found = importlib.util.find_spec
    monkeypatch.setattr(
        "importlib.util.find_spec", lambda name, *more: None if name == missing else found(name)
    )
    with pytest.raises(start.SetupError, match=r"sudo apt install python3\.\d+-venv"):
        start.make_environment()


def test_a_folder_that_cannot_be_written_to_is_said(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setattr(start, "ENVIRONMENT", str(tmp_path / "file" / ".venv"))
    with pytest.raises(start.SetupError, match="This folder cannot be written to"):
        start.prepare(test=False)


def test_an_unknown_word_shows_what_there_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert start.main(["tset"]) == 1
    shown = capsys.readouterr().out
    assert "start.py does not know 'tset'" in shown
    assert "python3 start.py test" in shown


def test_help_is_given(capsys: pytest.CaptureFixture[str]) -> None:
    assert start.main(["--help"]) == 0
    assert "open the first notebook" in capsys.readouterr().out


# -- what it opens -------------------------------------------------------------------------------


def test_the_first_notebook_opens_in_jupyterlab(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page that JupyterLab gives to the web browser is that of the notebook."""
    (tmp_path / "notebooks").mkdir()
    notebook = tmp_path / "notebooks" / "1_first.ipynb"
    nbformat.write(nbformat.v4.new_notebook(), notebook)
    monkeypatch.setattr(start, "ROOT", str(tmp_path))
    monkeypatch.setattr(start, "ENVIRONMENT", str(tmp_path / ".venv"))
    opened = tmp_path / "opened"
    web_browser = tmp_path / "browser"
    web_browser.write_text(f'#!/bin/sh\necho "$1" > "{opened}"\n')
    web_browser.chmod(0o755)
    with running_lab(start.notebook_words(str(notebook)), tmp_path, web_browser):
        page = wait_for(opened).strip()
        with urllib.request.urlopen(page) as answer:
            redirect = answer.read().decode()
    assert re.search(r"/lab/tree/notebooks/1_first\.ipynb\?token=", redirect)
    quiet = tmp_path / ".venv" / "share" / "jupyter" / "lab" / "settings" / "overrides.json"
    assert json.loads(quiet.read_text()) == {
        "@jupyterlab/apputils-extension:notification": {"fetchNews": "false"}
    }


@contextlib.contextmanager
def running_lab(words: list[str], folder: Path, web_browser: Path) -> Iterator[None]:
    places = ("CONFIG", "DATA", "RUNTIME")
    private = {f"JUPYTER_{place}_DIR": str(folder / place.lower()) for place in places}
    server = subprocess.Popen(
        [sys.executable, *words],
        env={**os.environ, **private, "BROWSER": f"{web_browser} %s"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield
    finally:
        server.terminate()
        server.wait(timeout=30)


def wait_for(path: Path) -> str:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        if path.exists() and path.read_text():
            return path.read_text()
        time.sleep(0.1)
    raise AssertionError(f"{path.name} did not appear in a minute")


def test_the_kit_has_a_first_notebook() -> None:
    assert len(list((ROOT / "notebooks").glob("1_*.ipynb"))) == 1


@pytest.mark.parametrize(
    "path", sorted((ROOT / "notebooks").glob("*.ipynb")), ids=lambda path: path.name
)
def test_notebooks_are_stored_without_outputs(path: Path) -> None:
    cells = [cell for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    assert cells
    assert all(cell.outputs == [] and cell.execution_count is None for cell in cells)


# -- one version, one list of packages, one range of Pythons -------------------------------------


def test_the_version_is_written_once() -> None:
    assert PROJECT["project"]["dynamic"] == ["version"]
    assert importlib.metadata.version("strutkit") == __version__
    assert f"\n## {__version__}" in (ROOT / "CHANGELOG.md").read_text("utf-8")


def pins() -> dict[str, str]:
    lines = (ROOT / "constraints.txt").read_text("utf-8").splitlines()
    read = [Requirement(line) for line in lines if line and not line.startswith("#")]
    return {canonicalize_name(pin.name): str(pin.specifier).removeprefix("==") for pin in read}


def test_every_requirement_is_pinned_within_its_bounds() -> None:
    project = PROJECT["project"]
    wanted = [
        Requirement(text)
        for text in (
            *PROJECT["build-system"]["requires"],
            *project["dependencies"],
            *project["optional-dependencies"]["test"],
        )
    ]
    pinned = pins()
    assert len(wanted) > 20
    for requirement in wanted:
        version = pinned[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{requirement} is pinned to {version}"


def test_what_the_pinned_packages_need_is_pinned_too() -> None:
    pinned = pins()
    unpinned = {
        f"{requirement.name} (for {name})"
        for name in pinned
        for requirement in needs(name)
        if canonicalize_name(requirement.name) not in pinned
    }
    assert unpinned == set()


def needs(name: str) -> Iterator[Requirement]:
    try:
        lines = importlib.metadata.requires(name) or []
    except importlib.metadata.PackageNotFoundError:  # one for another system
        return
    for requirement in map(Requirement, lines):
        if requirement.marker is None or requirement.marker.evaluate({"extra": ""}):
            yield requirement


def test_all_files_name_the_same_pythons() -> None:
    project = PROJECT["project"]
    supported = SpecifierSet(project["requires-python"])
    classified = [line.rsplit(" ", 1)[1] for line in project["classifiers"] if " :: 3." in line]
    assert classified == PYTHONS
    assert all(supported.contains(f"{version}.0") for version in PYTHONS)
    assert not supported.contains("3.10.99")
    assert f"Python {PYTHONS[0]} to {PYTHONS[-1]}" in (ROOT / "constraints.txt").read_text("utf-8")
    assert PROJECT["tool"]["pyrefly"]["python_version"] == PYTHONS[0]
    assert PROJECT["tool"]["ruff"]["target-version"] == "py" + PYTHONS[0].replace(".", "")


def test_environment_yml_agrees_with_pyproject() -> None:
    environment = yaml.safe_load((ROOT / "environment.yml").read_text("utf-8"))
    assert environment["name"] == PROJECT["project"]["name"]
    python, pip, kit = environment["dependencies"]
    bounds = SpecifierSet(python.removeprefix("python "))
    known = [f"3.{minor}" for minor in range(8, 20)]
    assert [version for version in known if bounds.contains(f"{version}.1")] == PYTHONS
    assert pip == "pip"
    assert kit == {"pip": ["--constraint constraints.txt", "--editable ."]}


# -- the wheel -----------------------------------------------------------------------------------


ENDINGS = ("toml", "csv", "js", "css", "typ", "svg", "json", "ttf")
LEFT_OUT = ("*__pycache__*", "*.pyc", "*.DS_Store")


def test_the_wheel_holds_every_file_of_the_package(tmp_path: Path) -> None:
    for name in ("pyproject.toml", "README.md", "LICENSE", "NOTICES.md", ".gitignore"):
        shutil.copy(ROOT / name, tmp_path)
    shutil.copytree(ROOT / "strutkit", tmp_path / "strutkit")
    for ending in ENDINGS:
        (tmp_path / "strutkit" / "data" / f"one_more.{ending}").write_text("")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", "dist"],
        cwd=tmp_path,
        check=True,
        capture_output=True,
    )
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    assert wheel.name == f"strutkit-{__version__}-py3-none-any.whl"
    held = set(zipfile.ZipFile(wheel).namelist())
    wanted = {
        path.relative_to(tmp_path).as_posix()
        for path in (tmp_path / "strutkit").rglob("*")
        if path.is_file() and not any(fnmatch.fnmatch(str(path), left) for left in LEFT_OUT)
    }
    assert {"strutkit/py.typed", "strutkit/data/one_more.typ"} <= wanted
    information = f"strutkit-{__version__}.dist-info"
    assert held - wanted == {
        f"{information}/{name}"
        for name in ("METADATA", "WHEEL", "RECORD", "licenses/LICENSE", "licenses/NOTICES.md")
    }
    assert wanted - held == set()
