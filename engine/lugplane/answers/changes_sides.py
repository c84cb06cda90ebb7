"""The two sides of a comparison: revisions of a checkout, read without touching it, or folders."""

from __future__ import annotations

import io
import subprocess
import tarfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from lugplane.answers.changes import (
    JUDGED_AGAIN,
    NOT_COMPARED,
    SAME,
    Changes,
    Progress,
    Side,
    changes,
)
from lugplane.data import data_folder
from lugplane.deduce.rulebook import Rulebook, read_rulebook
from lugplane.errors import BadFacts, BadInput, EngineError
from lugplane.facts.base import Base
from lugplane.facts.compiling import Before, Compiled, compile_facts
from lugplane.facts.fingerprint import Seen, look
from lugplane.facts.parts import Listed
from lugplane.quantity.limits import Assumed
from lugplane.workshop import Workshop

WORK_TREE = "the working tree"


@dataclass(frozen=True, slots=True)
class Place:
    """Where one side lies: its facts, and its rules where it has any of its own."""

    name: str
    kb: Path
    rules: Path | None
    revision: bool = False


def places(old: str, new: str | None, scratch: Path, here: Path) -> tuple[Place, Place]:
    """Where two sides lie; revisions are written out into `scratch`.

    The checkout is the folder `here` where it holds a `kb`, else that of the shipped facts. Without
    `new`, that is its working tree. Raises `BadInput` for what is neither revision nor folder.
    """
    root = here if (here / "kb").is_dir() else data_folder()
    before = _place(old, root, scratch / "old")
    if new is not None:
        return before, _place(new, root, scratch / "new")
    return before, _at(WORK_TREE, root)


def compared(
    before: Place, after: Place, under: Sequence[Path] = (), progress: Progress | None = None
) -> Changes:
    """What changes between two places; `under`: folders that both are laid over.

    Raises `BadInput` for a revision whose facts this program does not take, `BadFacts` for a
    folder with problems, `EngineError`.
    """
    one, two, rules = sides(before, after, under)
    try:
        return changes(one, two, rules, progress)
    except EngineError:
        if rules != JUDGED_AGAIN:
            raise
    # Rules of another time may be readable and ask for what measures no longer give.
    book = read_rulebook(data_folder() / "rules")
    made = [Side(p.name, _workshop(p, book, under)) for p in (before, after)]
    return changes(made[0], made[1], NOT_COMPARED, progress)


def sides(before: Place, after: Place, under: Sequence[Path] = ()) -> tuple[Side, Side, str]:
    """Both sides loaded, and what became of the rules; `under`: folders that both are laid over.

    A side without rules has those of the program, and so have both where a side's rules cannot be
    read. Raises `BadInput` for a revision whose facts this program does not take, `BadFacts` for a
    folder with problems.
    """
    own = data_folder() / "rules"
    one, two = before.rules or own, after.rules or own
    rules = SAME if _content(one) == _content(two) else JUDGED_AGAIN
    books = [_rulebook(r, own) for r in (one, two)]
    if None in books:
        rules, books = NOT_COMPARED, [read_rulebook(own)] * 2
    if rules == SAME:
        books = [books[1]] * 2
    made = [
        Side(p.name, _workshop(p, book, under))
        for p, book in zip((before, after), books, strict=True)
        if book is not None
    ]
    return made[0], made[1], rules


def _rulebook(folder: Path, own: Path) -> Rulebook | None:
    """The rules of a folder; None where this program cannot read them."""
    if _content(folder) == _content(own):
        return read_rulebook(own)
    try:
        return read_rulebook(folder)
    except Exception:
        # Rules of another time may be written in any way that this program does not know.
        return None


def _content(folder: Path) -> tuple[tuple[str, bytes], ...]:
    # A check-out on another system may end its lines otherwise.
    files = sorted(folder.glob("*.yaml"))
    return tuple((f.name, f.read_bytes().replace(b"\r\n", b"\n")) for f in files)


def _workshop(place: Place, rulebook: Rulebook, under: Sequence[Path]) -> Workshop:
    """Facts read afresh: nothing about folders that are gone tomorrow is kept in the cache."""
    folders = (*under, place.kb)
    assumed = rulebook.limits.assumed
    made = _compiled(folders, assumed)
    if made.problems and place.revision:
        first = sorted(set(made.problems))[0]
        count = len(set(made.problems))
        noun = "problem" if count == 1 else "problems"
        raise BadInput(
            f"{place.name}: this program does not take its facts: {count} {noun}, the first: "
            f"{first.code}: {first.found}"
        )
    if made.problems:
        raise BadFacts(tuple(dict.fromkeys(made.problems)))
    return Workshop(Base(Listed(made.parts), assumed), rulebook)


def _compiled(folders: Sequence[Path], assumed: Mapping[str, Assumed]) -> Compiled:
    schemas = data_folder() / "schemas"

    def view() -> Seen:
        return look(folders, [(schemas, ".json")])

    return compile_facts(folders, assumed, schemas, view(), view, Before({}, None, False))


def _at(name: str, folder: Path) -> Place:
    """A folder of facts, or one that holds `kb` and perhaps `rules`."""
    if not (folder / "kb").is_dir():
        return Place(name, folder, None)
    rules = folder / "rules"
    return Place(name, folder / "kb", rules if (rules / "limits.yaml").is_file() else None)


def _place(word: str, root: Path, scratch: Path) -> Place:
    folder = Path(word)
    if word and folder.is_dir():
        return _at(word, folder)
    commit = _commit(word, root)
    names = [n for n in ("kb", "rules") if n in _git(root, "ls-tree", "--name-only", commit)]
    if "kb" not in names:
        raise BadInput(f"{word}: this revision has no folder kb")
    scratch.mkdir(parents=True, exist_ok=True)
    _write_out(_run(root, "archive", "--format=tar", commit, *names).stdout, scratch)
    short = commit[:10]
    found = _at(word if word.startswith(short[:7]) else f"{word} ({short})", scratch)
    return Place(found.name, found.kb, found.rules, True)


def _commit(word: str, root: Path) -> str:
    missing = BadInput(f"no revision and no folder is called '{word}'")
    if not word or word.startswith("-"):
        raise missing
    done = _run(root, "rev-parse", "--verify", "--quiet", f"{word}^{{commit}}", check=False)
    if done.returncode:
        if _run(root, "rev-parse", "--git-dir", check=False).returncode:
            raise BadInput(f"no folder is called '{word}', and {root} is no git checkout")
        raise missing
    return done.stdout.decode("ascii", "replace").strip()


def _git(root: Path, *words: str) -> list[str]:
    return _run(root, *words).stdout.decode("utf-8", "replace").splitlines()


def _run(root: Path, *words: str, check: bool = True) -> subprocess.CompletedProcess[bytes]:
    try:
        done = subprocess.run(
            ["git", "-C", str(root), *words],
            capture_output=True,
            check=False,
            stdin=subprocess.DEVNULL,
        )
    except OSError as error:
        raise BadInput(f"git cannot be run ({error.strerror}): name folders instead") from error
    if check and done.returncode:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise BadInput(f"git {words[0]}: {said[-1] if said else 'failed'}")
    return done


def _write_out(archive: bytes, into: Path) -> None:
    """Write the plain files of an archive; links and whatever would lie elsewhere are left out."""
    with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
        for member in tar:
            name = PurePosixPath(member.name)
            content = tar.extractfile(member) if member.isfile() else None
            if content is None or name.is_absolute() or ".." in name.parts:
                continue
            target = into.joinpath(*name.parts)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content.read())
