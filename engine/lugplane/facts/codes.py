"""The codes of the problems that facts can have: code -> what it means, in one line.

A code is what a maintainer searches for and what a test pins. Every problem of this room bears
one of these, and the tests see to it that each can really be met.
"""

from __future__ import annotations

from typing import Final

CODES: Final[dict[str, str]] = {
    # Where files stand.
    "unreadable": "a file or folder cannot be opened, or a link leads nowhere",
    "link-outside": "a link leads out of the folder of facts",
    "not-a-file": "something that is neither a file nor a folder (a pipe, a device)",
    "stray-file": "a file stands where none belongs",
    "unknown-folder": "no kind of record lives in a folder of this name",
    "nested-folder": "a folder within a kind's folder",
    "wrong-extension": "a file among the facts is not called .yaml",
    "bad-id": "a file's name is not an id",
    "id-not-file": "the id is not the name of its file",
    "kind-not-folder": "the kind is not the one its folder holds",
    "not-a-record": "the file holds something else than one mapping",
    # How files are written.
    "too-big": "the file is over the size limit",
    "not-utf8": "the bytes are not UTF-8",
    "bom": "the file begins with a byte order mark",
    "control-character": "an invisible character that has no place in a fact",
    "empty": "there is nothing in the file",
    "syntax": "the text is not YAML",
    "tab": "a tab stands where YAML takes spaces only",
    "several-documents": "more than one YAML document in the file",
    "directive": "a line beginning with % before the document",
    "too-deep": "mappings and lists are nested too deep",
    "too-many-nodes": "more values in one file than it may hold",
    "anchor": "a YAML anchor (&name)",
    "alias": "a YAML alias (*name)",
    "tag": "a YAML tag (!name)",
    "merge-key": "the YAML merge key (<<)",
    "duplicate-key": "a key stands twice in one mapping",
    "bad-key": "a key that is not text",
    "odd-number": "a number written so that readers of YAML disagree about it",
    "not-finite": "infinity, not-a-number, or a number too large to be held",
    # What the schemas say.
    "unknown-key": "a key that this mapping does not have",
    "missing-key": "a key that must be there is not",
    "wrong-type": "text where a number belongs, a list where a mapping belongs, and so on",
    "wrong-word": "a word that is not in the list of those allowed here",
    "bad-form": "text (or a key) that is not written in the form it must have",
    "out-of-range": "a number too small, too large or off its step",
    "wrong-count": "too few or too many entries in a list or mapping",
    "wrong-length": "text too short or too long",
    "repeated-item": "a list states the same entry twice",
    "no-form-fits": "a value that fits none of the forms allowed here",
    "not-together": "keys that exclude each other",
    "not-allowed": "a key or value that must not stand here as things are",
    # What records say, and say of each other.
    "not-a-value": "a value that is written in the right form and still makes no sense",
    "unknown-reading": "a value names a reading that its file does not declare",
    "id-twice": "two records of different kinds have the same id",
    "unknown-id": "a reference leads to no record",
    "wrong-kind": "a reference leads to a record of another kind",
    "family-named": "a reference names a family where one member is meant",
    "moved-id": "a reference names an id that is retired",
}
