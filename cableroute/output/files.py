"""Write files whole or not at all, never over another unasked, never over what was read."""

from __future__ import annotations

import os
import stat
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from cableroute.errors import CableRouteError
from cableroute.interrupts import taken_away_by

_KINDS = {
    stat.S_IFDIR: "a folder",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
    stat.S_IFIFO: "a pipe",
    stat.S_IFSOCK: "a socket",
}


def look_at(targets: Sequence[Path], *, force: bool, inputs: Collection[Path] = ()) -> None:
    """Refuse to write where something stands in the way, before anything is written.

    In the way are: a file, unless it may be replaced by `force`; one of the `inputs`, a folder, a
    device or a pipe, whatever was said; a folder that is not there; another target. A link leads
    to what it points to.
    """
    for number, path in enumerate(targets):
        try:
            _look_at(path, force=force, inputs=inputs)
        except OSError as error:
            raise CableRouteError(f"{path}: cannot write there: {error.strerror}") from error
        if any(_is_same(path, other) for other in targets[:number]):
            raise CableRouteError(f"{path}: expected another name for each file, got one twice")


def _look_at(path: Path, *, force: bool, inputs: Collection[Path]) -> None:
    if path.is_symlink() and not path.exists():
        raise CableRouteError(f"{path}: expected the name of a file, got a link to nothing")
    folder = path.resolve().parent
    folder.stat()
    if not folder.is_dir():
        raise CableRouteError(f"{path}: cannot write there: Not a directory")
    if not path.exists():
        return
    kind = _KINDS.get(stat.S_IFMT(path.stat().st_mode))
    if kind:
        raise CableRouteError(f"{path}: expected the name of a file, got {kind}")
    if any(_is_same(path, each) for each in inputs):
        raise CableRouteError(f"{path}: is what is read; give another name to write to")
    if not force:
        raise CableRouteError(
            f"{path}: exists already; give another name, or --force to replace it"
        )


def _is_same(one: Path, other: Path) -> bool:
    """Whether two names lead to one file, be it there or not."""
    try:
        return one.samefile(other)
    except OSError:
        return one.resolve() == other.resolve()


def write_text(
    path: Path,
    text: str,
    *,
    force: bool = False,
    inputs: Collection[Path] = (),
    unchanged: bytes | None = None,
) -> None:
    """Write a text file as `write_bytes` does."""
    write_bytes(path, text.encode(), force=force, inputs=inputs, unchanged=unchanged)


def write_bytes(
    path: Path,
    data: bytes,
    *,
    force: bool = False,
    inputs: Collection[Path] = (),
    unchanged: bytes | None = None,
) -> None:
    """Write a file of any kind as `write_pieces` does."""
    write_pieces(path, (data,), force=force, inputs=inputs, unchanged=unchanged)


def write_pieces(
    path: Path,
    pieces: Iterable[bytes],
    *,
    force: bool = False,
    inputs: Collection[Path] = (),
    unchanged: bytes | None = None,
) -> None:
    """Write what comes piece by piece under a temporary name, then rename it.

    The permissions of a file that is replaced stay. If `unchanged` is given, it is what the file
    must still hold. An error leaves the old file intact.
    """
    look_at([path], force=force, inputs=inputs)
    target = path.resolve()
    new = target.with_name(f".cableroute.{os.urandom(8).hex()}")
    with taken_away_by(new.unlink):
        try:
            new.touch(mode=0o600, exist_ok=False)
        except OSError as error:
            raise CableRouteError(f"{path}: cannot write there: {error.strerror}") from error
        try:
            _fill(new, pieces)
            _give_permissions(new, target)
            with _alone_in(target.parent):
                if unchanged is not None and target.read_bytes() != unchanged:
                    raise CableRouteError(
                        f"{path}: was changed by something else meanwhile and is left alone; "
                        "do it once more"
                    )
                new.replace(target)
        except BaseException as error:  # a break in the middle of it too
            new.unlink(missing_ok=True)
            if not isinstance(error, OSError):
                raise
            raise CableRouteError(f"{path}: cannot write it: {error.strerror}") from error


def _fill(new: Path, pieces: Iterable[bytes]) -> None:
    """Write all pieces, and have them on the disk before the file gets its name."""
    with new.open("wb") as file:
        for piece in pieces:
            file.write(piece)
        file.flush()
        os.fsync(file.fileno())  # or a power cut could leave the new name with nothing in it


def _give_permissions(new: Path, old: Path) -> None:
    """Give a file the permissions and the owner of the one it replaces, or the usual ones."""
    if old.exists():
        was = old.stat()
        with suppress(AttributeError, OSError):  # not on Windows; only root gives files away
            os.chown(new, was.st_uid, was.st_gid)
        new.chmod(stat.S_IMODE(was.st_mode))
        return
    umask = os.umask(0)
    os.umask(umask)
    new.chmod(0o666 & ~umask)


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep other runs of this program from replacing a file there, where the system can."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with suppress(OSError):  # some file systems over a network have no locks
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
