"""Routes of shared plans: a link that nobody can guess shows one plan, to be read, and nothing else of the kitchen."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from datetime import timedelta
from urllib.parse import parse_qsl

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.errors import Missing
from corebath.log.gear import Kitchen
from corebath.log.share import Shared, hash_of, nameless
from corebath.plan.make import make_plan
from corebath.show.qr import code_of

from .guard_settings import sharing
from .pairing import Household
from .plan_page import PlanPage, canonical, plan_page
from .site import Answers, Site

_TOKEN_BYTES = 24


def share_routes(site: Site, household: Household) -> APIRouter:
    """Sharing a plan, reading it, and stopping that."""
    routes = APIRouter()
    ready: OrderedDict[str, PlanPage] = OrderedDict()

    @routes.post("/share", response_class=HTMLResponse)
    def share(answers: Answers) -> Response:
        """Share the plan of a question. The link is shown this once: only its hash is kept."""
        now, kitchen = site.clock(), site.kitchen()
        question = canonical(Question.of(answers), now, kitchen)
        try:
            request = understand(question, now, kitchen)
        except Misunderstood:
            return RedirectResponse(f"/?{question.query()}", status_code=303)
        if not make_plan(request, offer=False).works:
            return RedirectResponse(f"/?{question.query()}", status_code=303)
        alone = _without_names(question, kitchen)
        token = secrets.token_urlsafe(_TOKEN_BYTES)
        shared = site.store.share(
            Shared(
                name=request.food.name,
                query=alone.query(),
                kitchen=nameless(kitchen, question.vessel, question.heater),
                created_at=now,
                expires_at=now + timedelta(days=sharing().days),
            ),
            hash_of(token),
            sharing().shares,
        )
        link = f"{household.serving.network}/s/{token}" if household.serving.network else ""
        return site.html(
            "share.html", kitchen.preference, shared=shared, path=f"/s/{token}", link=link,
            drawn=code_of(link).svg if link else "", until=shared.expires_at.astimezone(kitchen.zone),
            back=f"/?{question.query()}",
        )  # fmt: skip

    @routes.get("/s/{token}", response_class=HTMLResponse)
    def read(token: str) -> Response:
        """A shared plan, as it was when it was shared."""
        key = hash_of(token)
        try:
            shared = site.store.shared(key, site.clock())
        except Missing:
            return site.html("unshared.html", site.fresh.preference, 404)
        page = ready.pop(key, None) or _page(shared)
        ready[key] = page
        while len(ready) > sharing().kept_pages:
            ready.popitem(last=False)
        return site.html("shared.html", page.preference, page.status, page=page, shared=shared)

    @routes.post("/gear/shared/{shared_id}/revoke")
    def revoke(shared_id: int) -> Response:
        """Stop sharing a plan."""
        site.store.revoke_share(shared_id)
        return RedirectResponse("/gear#shares-head", status_code=303)

    return routes


def _without_names(question: Question, kitchen: Kitchen) -> Question:
    """The question without the names of gear, which the kitchen kept beside it has as its usual."""
    vessel = "" if kitchen.vessel(question.vessel) else question.vessel
    heater = "" if kitchen.heater(question.heater) else question.heater
    return question.changed(vessel=vessel, heater=heater)


def _page(shared: Shared) -> PlanPage:
    """The page of a shared plan, reckoned for the moment it was shared at."""
    return plan_page(Question.of(parse_qsl(shared.query)), shared.created_at, shared.kitchen)
