"""Files written whole or not at all, and never over one that is there unless asked."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from lugplane.errors import BadInput


def write_whole(path: Path, data: str | bytes, *, replace: bool = False) -> None:
    """Write a file in one step. Raises `BadInput` where it exists or cannot be written."""
    raw = data.encode("utf-8") if isinstance(data, str) else data
    if path.exists() and not replace:
        raise BadInput(f"{path} is there already: name another file, or say --replace")
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError as error:
        raise BadInput(f"{path} cannot be written: {error.strerror}") from error
    made = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
        made.chmod(0o666 & ~_umask())
        if replace:
            made.replace(path)
        else:
            # A link fails where a file has appeared meanwhile; a rename would write over it.
            os.link(made, path)
    except FileExistsError as error:
        raise BadInput(f"{path} is there already: name another file, or say --replace") from error
    except OSError as error:
        raise BadInput(f"{path} cannot be written: {error.strerror}") from error
    finally:
        made.unlink(missing_ok=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
