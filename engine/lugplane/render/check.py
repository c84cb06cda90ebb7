"""What `facts check` found: as text, as JSON, and as annotations that CI runners take."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lugplane.check.codes import meaning
from lugplane.check.exceptions import Excused
from lugplane.check.finding import Finding, is_error
from lugplane.check.fixing import Fixed
from lugplane.check.run import Checked
from lugplane.render.plain_json import dumped


def check_text(checked: Checked, fixed: Sequence[Fixed] = ()) -> str:
    """A line a change made, a line a finding, and what it comes to."""
    lines = [_fixed_line(each) for each in fixed]
    lines += [finding_line(each) for each in checked.findings]
    return "\n".join([*lines, summary(checked)])


def finding_line(finding: Finding) -> str:
    """`file:line:column: code: found; allowed; mend`; a warning says so behind its code."""
    p = finding.problem
    if is_error(finding):
        return str(p)
    said = "; ".join(part for part in (p.found, p.allowed, p.mend) if part)
    return f"{p.file}:{p.line}:{p.column}: {p.code} (warning): {said}"


def summary(checked: Checked) -> str:
    """`197 files: 2 problems, 1 warning, 3 excepted`."""
    errors = sum(map(is_error, checked.findings))
    counts = [_count(errors, "problem"), _count(len(checked.findings) - errors, "warning")]
    if checked.excused:
        counts.append(f"{len(checked.excused)} excepted")
    return f"{_count(checked.files, 'file')}: {', '.join(counts)}"


def check_json(checked: Checked, fixed: Sequence[Fixed] = ()) -> str:
    """As JSON (`schemas/answers/check.json`)."""
    errors = sum(map(is_error, checked.findings))
    return dumped(
        {
            "answer": "check",
            "version": checked.version,
            "day": checked.day,
            "files": checked.files,
            "errors": errors,
            "warnings": len(checked.findings) - errors,
            "findings": [_finding(each) for each in checked.findings],
            "excused": [_excused(each) for each in checked.excused],
            "fixed": [_fixed(each) for each in fixed],
        }
    )


def check_annotations(checked: Checked, fixed: Sequence[Fixed] = ()) -> str:
    """Workflow commands, a line a finding: `::error file=...,line=...,col=...,title=...::text`.

    CI runners that know them show each finding at its line of the change. Signs that would end a
    part are written as `%` and two hexadecimal digits.
    """
    lines = []
    for each in fixed:
        text = _message(f"{each.was} became {each.now}")
        place = f"file={_property(each.file)},line={each.line},col={each.column}"
        lines.append(f"::notice {place},title=fixed::{text}")
    for finding in checked.findings:
        p = finding.problem
        said = "; ".join(part for part in (p.found, p.allowed, p.mend) if part)
        place = f"file={_property(p.file)},line={p.line},col={p.column}"
        lines.append(f"::{finding.level} {place},title={_property(p.code)}::{_message(said)}")
    return "\n".join([*lines, summary(checked)])


def _finding(finding: Finding) -> dict[str, Any]:
    p = finding.problem
    return {
        "level": finding.level,
        "file": p.file,
        "line": p.line,
        "column": p.column,
        "code": p.code,
        "means": meaning(p.code),
        "found": p.found,
        "allowed": p.allowed,
        "mend": p.mend,
    }


def _excused(excused: Excused) -> dict[str, Any]:
    return {**_finding(excused.finding), "reason": excused.reason, "until": excused.until}


def _fixed(fixed: Fixed) -> dict[str, Any]:
    return {
        "file": fixed.file,
        "line": fixed.line,
        "column": fixed.column,
        "code": fixed.code,
        "was": fixed.was,
        "now": fixed.now,
    }


def _fixed_line(fixed: Fixed) -> str:
    place = f"{fixed.file}:{fixed.line}:{fixed.column}"
    return f"{place}: fixed {fixed.code}: {fixed.was} became {fixed.now}"


def _count(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _message(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
