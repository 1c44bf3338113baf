"""Why a finding that stands beside its own number: a figure held against what a rule asks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import isfinite
from types import MappingProxyType

from corebath.safety.finding import Finding

from .why import Input, Why, reckoned, times_asked, why

_TOLD = "None of its own: it rests on what was given."
_NOTHING: Mapping[str, Input] = MappingProxyType({})
_AS_THERE = "That of the number it rests on."


def judged_whys(
    part: str,
    findings: Iterable[Finding],
    rests_on: Mapping[str, str],
    made: Sequence[Why],
    told: Mapping[str, Input] = _NOTHING,
) -> Iterator[Why]:
    """Findings of one part of the answer.

    rests_on : beginning of a rule's key, and the key of the number among `made` that it is read off; the first that
        is there counts
    told : key of a rule, and what it is read off where that is no number of this part
    """
    numbers = {number.key: number for number in made}
    for finding in findings:
        keys = (key for begins, key in rests_on.items() if finding.rule.startswith(begins) and key in numbers)
        number = numbers.get(next(keys, ""))
        inputs = [] if number is None else [reckoned(number.of, number.value, number.key)]
        if finding.rule in told:
            inputs.append(told[finding.rule])
        if finding.achieved is not None and isfinite(finding.achieved):
            inputs.append(reckoned("share of what is asked", times_asked(finding.achieved)))
        yield why(
            "judged", part, finding.verdict.value, inputs, key=f"{part}-{finding.rule}", of=finding.title,
            spread=_TOLD if number is None else _AS_THERE, source=(finding.source,),
        )  # fmt: skip
