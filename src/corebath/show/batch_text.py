"""A batch as plain text, in cooking order: the afternoon, then the days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from corebath.plan.batch.answer import BatchPlan
from corebath.plan.batch.say import bag_list
from corebath.plan.menu.answer import MenuTask
from corebath.safety.finding import Finding, Verdict
from corebath.units import Preference, render, show_temperature

from .batch_words import after_bath, answer_words, bag_words, batch_question, by_day, judged_bags, on_day
from .labels_sheet import label_lines
from .plain import finding_line, rendered, sections
from .words import capital


def batch_as_text(plan: BatchPlan, preference: Preference) -> str:
    """The batch in plain lines under headings; long lines are left for the reader's window to break."""
    judged = judged_bags(plan)
    open_binding = [(f, n) for f, n in judged if f.binding and f.verdict is not Verdict.MET]
    open_other = [(f, n) for f, n in judged if not f.binding and f.verdict is not Verdict.MET]
    met = [(f, n) for f, n in judged if f.verdict is Verdict.MET]
    sheet = "Run sheet" if plan.works else "Run sheet as asked, which does not work: do not follow it"
    parts: list[tuple[str, Iterable[str]]] = [
        ("The question", batch_question(plan, preference)),
        ("The answer", [answer_words(plan, preference), *rendered(plan.statements, preference)]),
        ("What fails", (f"{capital(f.part)}: {render(f.why, preference)}" for f in plan.failures)),
        ("Bags", (bag_words(stored, preference) for stored in plan.bags)),
        *(
            (f"Bath at {show_temperature(run.set_point_C, preference)}", rendered(run.statements, preference))
            for run in plan.runs
        ),
        ("After the bath", (f"{bags}: {render(said, preference)}" for bags, said in after_bath(plan))),
        *((f"{sheet}, {on_day(day)}", (_task(t, plan, preference) for t in tasks)) for day, tasks in by_day(plan)),
        ("Rules that bind and are not met or not known", _rules(open_binding, preference)),
        ("Reported, not binding: not met or not known", _rules(open_other, preference)),
        ("Rules that are met", _rules(met, preference)),
        ("On the bags", _labels(plan, preference)),
        ("Keep in mind", rendered(plan.notes, preference)),
    ]
    return sections(parts)


def _task(task: MenuTask, plan: BatchPlan, preference: Preference) -> str:
    return f"{task.at.astimezone(plan.batch.zone):%H:%M} {render(task.what, preference)}"


def _rules(judged: list[tuple[Finding, tuple[int, ...]]], preference: Preference) -> Iterator[str]:
    for finding, numbers in judged:
        where = f"{bag_list(numbers)}. " if numbers else ""
        yield f"{where}{finding_line(finding, preference)}"


def _labels(plan: BatchPlan, preference: Preference) -> Iterator[str]:
    for label in plan.labels:
        yield f"{label.key}: {'; '.join(label_lines(label, preference))}"
