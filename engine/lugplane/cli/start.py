"""Where the command begins: what was asked before and has not changed is said again at once.

An answer to the same words, from the same facts, rules and program, is the same answer. So is one
to other words where only its form is another: the list is known, in another width or as CSV. It is
looked for before anything is imported that reads commands or works answers out.
"""

from __future__ import annotations

import os
import sys

from lugplane.cli.terminal import not_written, reader_gone, told_by

_LISTS = ("fits", "takes", "same")
_CHOOSING = ("--kb", "--only-kb")


def main() -> None:
    """Run a command; see `lugplane.cli.main`."""
    text = _said_before(tuple(sys.argv[1:]))
    if text is not None and _written(text):
        return
    from lugplane.cli.main import main as whole

    whole()


def _written(text: str) -> bool:
    """Print an answer; False, and nothing printed, where the stream's encoding has not all of it.

    Ends the process where it cannot be written.
    """
    if sys.stdout is None:
        return True  # closed by the shell: nobody listens
    try:
        sys.stdout.write(text + "\n")
        sys.stdout.flush()
    except UnicodeEncodeError:
        return False
    except BrokenPipeError:
        sys.exit(reader_gone())
    except OSError as error:
        from contextlib import suppress

        said = not_written(error)
        if sys.stderr is not None:
            with suppress(OSError):  # the exit code still tells
                sys.stderr.write(f"lugplane: {said}\n")
        sys.exit(2)
    return True


def _said_before(words: tuple[str, ...]) -> str | None:
    try:
        return _looked_up(words)
    except Exception:
        return None  # the command meets it too, and says what is wrong


def _looked_up(words: tuple[str, ...]) -> str | None:
    # Windows' old terminals want help with colour.
    if not words or words[0] not in _LISTS or os.name == "nt":
        return None
    chosen = _chosen(words)
    if len(chosen["--only-kb"]) > 1 or (chosen["--kb"] and chosen["--only-kb"]):
        return None  # the command says what is wrong with that
    from lugplane.cli.told import told_text
    from lugplane.data import folders_named
    from lugplane.facts.again import said_before

    only = chosen["--only-kb"]
    folders = folders_named(chosen["--kb"], only[0] if only else None)
    if not all(map(os.path.isdir, folders)):
        return None  # it will be said in its place
    return said_before(folders, told_by(words), lambda ground: told_text(words, ground))


def _chosen(words: tuple[str, ...]) -> dict[str, list[str]]:
    """The folders of facts that are named, by option.

    Where words are read otherwise than the command reads them, folders come out for which nothing
    was ever kept under these words.
    """
    chosen: dict[str, list[str]] = {option: [] for option in _CHOOSING}
    for word, after in zip(words, (*words[1:], ""), strict=True):
        option, equals, value = word.partition("=")
        if option in chosen:
            chosen[option].append(value if equals else after)
    return chosen


if __name__ == "__main__":
    main()
