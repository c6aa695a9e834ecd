"""Files written whole or not at all, and held while they are replaced."""

from __future__ import annotations

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write `data` to a file beside the target, then put it in the target's place in one step.

    An interrupt at any moment leaves either the old file or the new one, never a part.
    """
    import tempfile  # a check writes nothing, and it brings much with it

    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        os.chmod(name, 0o666 & ~_umask())
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet; raises FileExistsError, and leaves no part behind."""
    with path.open("xb") as stream:
        try:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        except BaseException:
            path.unlink(missing_ok=True)
            raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


@contextmanager
def locked(path: Path, seconds: float = 5.0) -> Iterator[None]:
    """Hold a file for this program alone while it is read and replaced.

    A lock file beside it carries the lock; the system drops it when the program ends, however it
    ends. Raises OSError when another program holds it for longer than `seconds`.
    """
    held = path.with_name(f".{path.name}.lock")
    with held.open("a+b") as stream:
        until = time.monotonic() + seconds
        while not _lock(stream.fileno()):
            if time.monotonic() > until:
                raise OSError(errno.EBUSY, "another program is writing to it", str(path))
            time.sleep(0.05)
        yield


def _lock(handle: int) -> bool:
    """Take the lock if it is free. It goes when the file is closed."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
