"""Which matcher is taken."""

from __future__ import annotations

import pytest

from lugplane.deduce import clips, durable, plain
from lugplane.deduce.choose import VARIABLE, matcher
from lugplane.errors import BadInput


@pytest.fixture(autouse=True)
def _no_variable(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)


def test_by_name() -> None:
    assert matcher("plain") is plain.match
    assert matcher("clips") is clips.match


def test_default(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(durable, "available", lambda: True)
    assert matcher() is durable.match
    assert matcher("durable") is durable.match
    monkeypatch.setattr(durable, "available", lambda: False)
    assert matcher() is clips.match
    with pytest.raises(BadInput, match="clips and plain"):
        matcher("durable")


def test_the_environment_may_name_one_and_an_argument_goes_before_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv(VARIABLE, "plain")
    assert matcher() is plain.match
    assert matcher("clips") is clips.match
    monkeypatch.setenv(VARIABLE, "")
    assert matcher() in (durable.match, clips.match)


@pytest.mark.parametrize(
    ("name", "said"), [("durabel", "durable"), ("zzz", "durable, clips, plain")]
)
def test_an_unknown_name(name: str, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(BadInput, match=said):
        matcher(name)
    monkeypatch.setenv(VARIABLE, name)
    with pytest.raises(BadInput, match=name):
        matcher()
