"""Routes for photos of a cook: taken in, shown, forgotten."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from corebath.log.errors import Missing
from corebath.log.photo import Photo
from corebath.units import NotUnderstood

from .cook_page import back_to, refused_page
from .site import Site


def photo_routes(site: Site) -> APIRouter:
    """Photos."""
    routes = APIRouter()

    @routes.post("/log/{cook_id}/photo", response_class=HTMLResponse)
    async def add_photo(cook_id: int, request: Request) -> Response:
        """Take in a photo with its caption."""
        async with request.form(max_files=1, max_fields=5) as form:
            upload, caption = form.get("photo"), form.get("caption")
            data = await upload.read() if isinstance(upload, UploadFile) else b""
        said = caption.strip() if isinstance(caption, str) else ""
        try:
            if not data:
                raise NotUnderstood("choose a photo first")
            photo = await run_in_threadpool(Photo, data, site.clock(), said)
            await run_in_threadpool(site.store.add_photo, cook_id, photo)
        except ValueError as error:
            return refused_page(site, cook_id, "photo", {"caption": said}, error)
        return back_to(site, cook_id)

    @routes.get("/log/{cook_id}/photo/{photo_id}")
    def photo(cook_id: int, photo_id: int) -> Response:
        """The picture itself."""
        _check(site, cook_id, photo_id)
        found = site.store.photo(photo_id)
        return Response(found.data, media_type=found.media_type)

    @routes.post("/log/{cook_id}/photo/{photo_id}/remove")
    def remove_photo(cook_id: int, photo_id: int) -> Response:
        """Forget a photo."""
        _check(site, cook_id, photo_id)
        site.store.remove_photo(photo_id)
        return back_to(site, cook_id)

    return routes


def _check(site: Site, cook_id: int, photo_id: int) -> None:
    """Raises Missing when the cook has no such photo."""
    if all(label.id != photo_id for label in site.store.photos(cook_id)):
        raise Missing(f"this cook has no photo {photo_id}")
