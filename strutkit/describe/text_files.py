"""Files: texts from strangers' hands read within bounds, files saved whole or not at all."""

import os
import secrets
import stat
from contextlib import suppress
from pathlib import Path

from strutkit.describe.units import literal
from strutkit.errors import FileFault, SaveError

LARGEST_FILE = 1_000_000
"""Bytes; a larger file is refused unread."""
MOST_FAULTS = 40
"""Faults that a message lists; the rest are counted."""


def file_title(path: Path) -> str:
    """The file's name as messages show it."""
    return literal(path.name or str(path))


def fault_text(title: str, faults: list[tuple[int, str]]) -> str:
    """One text for all faults of a file, by line (0: no line); the first 40 in full."""
    texts = [
        (f"line {line}, " if line else "") + literal(text, 400)
        for line, text in sorted(faults, key=lambda fault: fault[0])
    ]
    if len(texts) == 1:
        return f"{title}, {texts[0]}"
    more = len(texts) - MOST_FAULTS
    listing = texts[:MOST_FAULTS] + ([f"and {more} more"] if more > 0 else [])
    return "\n- ".join([f"{title} has {len(texts)} faults:", *listing])


def read_text(path: Path, what: str) -> str:
    """Text of a file in UTF-8, byte order mark and line ends as they are.

    `what` names the file's sort in messages ("door file"). Raises `FileFault` where the file is
    not there, no plain file, over 1 MB or not in UTF-8.
    """
    title = file_title(path)
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise FileFault(f"{title} is a folder. Give the {what} in it.")
        if not stat.S_ISREG(found.st_mode):
            raise FileFault(f"{title} is a device or pipe. Give a {what}.")
        size = found.st_size
        if size <= LARGEST_FILE:
            with path.open("rb") as file:
                data = file.read(LARGEST_FILE + 1)
            size = len(data)
    except FileFault:
        raise
    except FileNotFoundError:
        raise FileFault(f"There is no file {title} in {_folder(path)}. Check the name.") from None
    except (OSError, ValueError) as fault:
        raise FileFault(f"{title} cannot be read: {_reason(fault)}.") from None
    if size > LARGEST_FILE:
        most = f"{LARGEST_FILE / 1e6:.3g} MB"
        raise FileFault(
            f"{title} has {size / 1e6:.3g} MB, and a {what} of at most {most} is read. "
            f"Check that it is a {what}."
        )
    return _decoded(data, title)


def _decoded(data: bytes, title: str) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise FileFault(f"{title} is saved as UTF-16. Save it as UTF-8 in your editor.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        raise FileFault(
            f"{title}, line {line}: byte 0x{data[fault.start]:02x} is not UTF-8. "
            "Save the file as UTF-8 in your editor."
        ) from None


def save_text(text: str, path: Path) -> None:
    """Write a text in UTF-8, whole or not at all; see `save_bytes`."""
    save_bytes(text.encode("utf-8"), path)


def save_bytes(data: bytes, path: Path) -> None:
    """Write a file whole or leave the former one untouched.

    A temporary file in the same folder is written, flushed to the disk and put in place of the
    former one, whose permissions it takes; it is removed if anything goes wrong. Raises
    `SaveError` for a folder, a link, a read-only file or anything that the system refuses.
    """
    title = file_title(path)
    temporary = path.parent / f".strutkit-{secrets.token_hex(6)}.part"
    try:
        mode = _former_mode(path, title)
        try:
            _write_through(data, temporary, mode)
            temporary.replace(path)
        except BaseException:
            with suppress(OSError):
                temporary.unlink()
            raise
        _flush_folder(path.parent)
    except SaveError:
        raise
    except (OSError, ValueError) as fault:
        if not path.parent.is_dir():
            raise SaveError(
                f"{title} cannot be saved: there is no folder {_folder(path)}. Make it first."
            ) from None
        raise SaveError(
            f"{title} cannot be saved in {_folder(path)}: {_reason(fault)}. "
            "The former file, if there is one, is as it was. Save it elsewhere."
        ) from None


def _former_mode(path: Path, title: str) -> int | None:
    """Permissions of the file that stands there, None where there is none."""
    try:
        former = path.lstat()
    except FileNotFoundError:
        return None
    if stat.S_ISLNK(former.st_mode):
        target = literal(str(path.resolve()), 200)
        raise SaveError(f"{title} is a link to {target}. Save to that file itself.")
    if stat.S_ISDIR(former.st_mode):
        raise SaveError(f"{title} is a folder. Give the name of a file.")
    if not stat.S_ISREG(former.st_mode):
        raise SaveError(f"{title} is a device or pipe. Give the name of a file.")
    if not former.st_mode & stat.S_IWUSR:
        raise SaveError(f"{title} is read-only. Save under another name or make it writable.")
    return stat.S_IMODE(former.st_mode)


def _write_through(data: bytes, temporary: Path, mode: int | None) -> None:
    with temporary.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if mode is not None:
        temporary.chmod(mode)


def _flush_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system can (not on Windows)."""
    if os.name != "posix":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _folder(path: Path) -> str:
    return literal(str(path.parent.resolve()), 200)


def _reason(fault: Exception) -> str:
    return (getattr(fault, "strerror", None) or str(fault)).lower()
