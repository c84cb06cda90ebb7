"""Every scenario, by hand from the trade, through the engine."""

from __future__ import annotations

import pytest
from scenarios.judging import SCENARIOS, differences, judged
from scenarios.reading import Scenario

from lugplane.errors import BadInput


def marked(scenario: Scenario) -> object:
    if not scenario.defect:
        return pytest.param(scenario, id=scenario.id)
    mark = pytest.mark.xfail(strict=True, reason=scenario.defect)
    return pytest.param(scenario, id=scenario.id, marks=mark)


@pytest.mark.parametrize("scenario", [marked(s) for s in SCENARIOS])
def test_scenario(scenario: Scenario) -> None:
    refused = list(scenario.all_of("refused"))
    if not refused:
        wrong = differences(scenario, judged(scenario))
        assert not wrong, "\n" + "\n".join(wrong)
        return
    with pytest.raises(BadInput) as told:
        judged(scenario)
    for words in refused:
        assert words.value in str(told.value), f"{scenario.file}:{words.line}: {scenario.name}"
