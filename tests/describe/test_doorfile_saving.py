"""Door files on disk: what is no file of ours, links and pipes, permissions, faults and kills."""

import json
import os
import re
import stat
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from strutkit.describe import text_files
from strutkit.describe.doorfile import (
    door_text,
    parse_door,
    read_door,
    write_door,
)
from strutkit.describe.records import Condition
from strutkit.errors import FileFault, SaveError, StrutkitError
from tests.describe.door_texts import (
    COMMENTED,
    SAMPLE,
)

posix_only = pytest.mark.skipif(
    os.name != "posix", reason="pipes, links, permission bits and kills as POSIX systems have them"
)


def test_a_file_over_a_megabyte_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "big.toml"
    path.write_text(SAMPLE + "#" * 1_000_000, encoding="utf-8")
    monkeypatch.setattr(Path, "open", _refuse_to_open)
    with pytest.raises(FileFault, match=r"big\.toml has 1 MB, and a door file of at most 1 MB is"):
        read_door(path)


def _refuse_to_open(*_: object, **__: object) -> None:
    raise AssertionError("opened")


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (SAMPLE.encode("utf-16"), "is saved as UTF-16. Save it as UTF-8 in your editor."),
        (SAMPLE.replace("Tool", "Tür").encode("latin-1"), "line 2: byte 0xfc is not UTF-8."),
        (b"\x89PNG\r\n\x1a\n", "line 1: byte 0x89 is not UTF-8."),
        (b"", "has 4 faults:"),
    ],
    ids=["UTF-16", "Latin 1", "picture", "empty"],
)
def test_files_that_are_no_text(tmp_path: Path, data: bytes, message: str) -> None:
    path = tmp_path / "odd.toml"
    path.write_bytes(data)
    with pytest.raises(FileFault, match=re.escape(message)):
        read_door(path)


def test_paths_that_hold_no_file(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match=r"There is no file none\.toml in .*\. Check the name\."):
        read_door(tmp_path / "none.toml")
    with pytest.raises(FileFault, match=r"is a folder\. Give the door file in it\."):
        read_door(tmp_path)
    with pytest.raises(FileFault, match=r"cannot be read: embedded null byte\."):
        read_door("a\0b")


@posix_only
def test_devices_and_pipes_do_not_hang_the_reader(tmp_path: Path) -> None:
    with pytest.raises(FileFault, match=r"null is a device or pipe\. Give a door file\."):
        read_door("/dev/null")
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(FileFault, match=r"pipe\.toml is a device or pipe"):
        read_door(tmp_path / "pipe.toml")


@posix_only
def test_the_file_keeps_its_permissions_and_leaves_nothing_beside_it(van: Path) -> None:
    van.chmod(0o640)
    write_door(replace(read_door(van), name="new"), van)
    assert stat.S_IMODE(van.stat().st_mode) == 0o640
    assert [path.name for path in van.parent.iterdir()] == ["van.toml"]


@posix_only
def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    (tmp_path / "usual").write_text("", encoding="utf-8")
    write_door(parse_door(SAMPLE), tmp_path / "new.toml")
    usual = (tmp_path / "usual").stat().st_mode
    assert (tmp_path / "new.toml").stat().st_mode == usual


def test_places_where_nothing_can_be_saved(van: Path, tmp_path: Path) -> None:
    door = parse_door(SAMPLE)
    with pytest.raises(SaveError, match=r"x\.toml cannot be saved: there is no folder .*none\."):
        write_door(door, tmp_path / "none" / "x.toml")
    with pytest.raises(SaveError, match=r"is a folder\. Give the name of a file\."):
        write_door(door, tmp_path)
    with pytest.raises(SaveError, match=r"cannot be saved in .*: embedded null byte"):
        write_door(door, tmp_path / "a\0b")
    van.chmod(0o444)
    with pytest.raises(SaveError, match=r"van\.toml is read-only\."):
        write_door(door, van)
    assert van.read_text(encoding="utf-8") == COMMENTED


@posix_only
def test_links_and_devices_are_not_saved_to(van: Path, tmp_path: Path) -> None:
    door = parse_door(SAMPLE)
    link = tmp_path / "link.toml"
    link.symlink_to(van)
    with pytest.raises(SaveError, match=r"link\.toml is a link to .*van\.toml\. Save to that file"):
        write_door(door, link)
    assert link.is_symlink()
    dangling = tmp_path / "dangling.toml"
    dangling.symlink_to(tmp_path / "nowhere")
    with pytest.raises(SaveError, match=r"dangling\.toml is a link to"):
        write_door(door, dangling)
    with pytest.raises(SaveError, match=r"null is a device or pipe\. Give the name of a file\."):
        write_door(door, "/dev/null")
    assert van.read_text(encoding="utf-8") == COMMENTED


@pytest.mark.parametrize("text", ["not a door", 'format = 2\nname = "newer"\n', SAMPLE + "x = 1\n"])
def test_a_file_that_is_no_door_file_is_left_as_it_is(tmp_path: Path, text: str) -> None:
    path = tmp_path / "notes.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(SaveError, match=r"notes\.toml is left as it is, since it is no door file"):
        write_door(parse_door(SAMPLE), path)
    assert path.read_text(encoding="utf-8") == text
    with pytest.raises(FileFault, match=r"notes\.toml"):
        write_door(parse_door(SAMPLE), tmp_path / "new.toml", like=path)
    assert not (tmp_path / "new.toml").exists()


def test_a_door_that_would_not_read_back_is_not_saved(van: Path) -> None:
    door = read_door(van)
    many = tuple(Condition(name=f"condition {n}") for n in range(201))
    with pytest.raises(SaveError, match=r"van\.toml is not saved, for it would not read back: "):
        write_door(replace(door, conditions=many), van)
    assert van.read_text(encoding="utf-8") == COMMENTED


STEPS: dict[str, tuple[object, str]] = {
    "open": (Path, "open"),
    "flush": (os, "fsync"),
    "permissions": (Path, "chmod"),
    "put in place": (Path, "replace"),
}


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt()])
@pytest.mark.parametrize("step", STEPS)
def test_a_fault_at_any_step_leaves_the_old_file_whole(
    van: Path, monkeypatch: pytest.MonkeyPatch, step: str, fault: BaseException
) -> None:
    door = replace(read_door(van), name="new")
    text = door_text(door)
    owner, name = STEPS[step]
    monkeypatch.setattr(owner, name, _raiser(fault))
    raised = SaveError if isinstance(fault, OSError) else KeyboardInterrupt
    with pytest.raises(raised, match=r"no space left on device|^$"):
        text_files.save_text(text, van)
    monkeypatch.undo()
    assert van.read_text(encoding="utf-8") == COMMENTED
    assert [path.name for path in van.parent.iterdir()] == ["van.toml"]


def _raiser(fault: BaseException) -> Callable[..., None]:
    def fail(*_: object, **__: object) -> None:
        raise fault

    return fail


KILLED = """
import os, signal, sys
from pathlib import Path
from strutkit.describe.doorfile import read_door, write_door
from strutkit.describe import text_files
from dataclasses import replace

step, path = sys.argv[1], Path(sys.argv[2])
def die(*_, **__):
    os.kill(os.getpid(), signal.SIGKILL)
door = replace(read_door(path), name="new")
if step == "half written":
    def half(data, temporary, mode):
        with temporary.open("xb") as file:
            file.write(data[: len(data) // 2])
            file.flush()
            die()
    text_files._write_through = half
elif step == "flush":
    os.fsync = die
elif step == "put in place":
    Path.replace = die
write_door(door, path)
die()
"""


@posix_only
@pytest.mark.parametrize("step", ["half written", "flush", "put in place", "done"])
def test_a_kill_at_any_step_leaves_a_whole_file(van: Path, step: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", KILLED, step, str(van)], capture_output=True, check=False
    )
    assert done.returncode == -9, done.stderr.decode()
    assert read_door(van).name == ("new" if step == "done" else "Van")
    if step != "done":
        assert van.read_text(encoding="utf-8") == COMMENTED


def test_a_door_file_never_chooses_a_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    door = replace(parse_door(SAMPLE), name="../../escape.toml")
    write_door(door, "here.toml")
    assert [path.name for path in tmp_path.iterdir()] == ["here.toml"]
    assert read_door("here.toml") == door


def test_every_fault_is_of_the_kits_kind() -> None:
    with pytest.raises(StrutkitError):
        parse_door("")
    with pytest.raises(ValueError, match="faults"):
        parse_door("")
    assert json.dumps(str(FileFault("x"))) == '"x"'
