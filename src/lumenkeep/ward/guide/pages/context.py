"""What the guide's addresses share: who asks, the adapters, answers in JSON.

Whoever is not signed in gets JSON that says so, never a page to sign in on: the guide
in the browser must tell one from the other.
"""

from __future__ import annotations

import json
from functools import wraps
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.http import Http404, HttpResponse, JsonResponse
from django.middleware.csrf import CsrfViewMiddleware
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from lumenkeep.core.model.hidden_signs import all_without_hidden_signs
from lumenkeep.errors import InputError, LumenkeepError, SingleError, StoreError
from lumenkeep.ward.chart.access import person_signed_in
from lumenkeep.ward.chart.pages.context import page_context
from lumenkeep.ward.chart.pages.line_head import find_line
from lumenkeep.ward.guide.kept_ways import KeptWays
from lumenkeep.ward.guide.repository import RunRepository

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest

    from lumenkeep.errors import Fault
    from lumenkeep.ward.guide.records import RunRecord
    from lumenkeep.ward.site.people import StaffRecord

P = ParamSpec("P")
REFUSED, NOT_WRITTEN, SIGN_IN, NOT_YOURS, NOT_FOUND = 422, 503, 401, 403, 404
MOST_BYTES = 1_000_000
DEEPEST = 20
"""Tables in tables: half of what a chart file may hold, since an entry lies around it."""


class NotJsonError(Exception):
    """What was sent is no table in JSON."""


_STATUS: dict[type[Exception], tuple[str, int]] = {
    PermissionDenied: ("not-yours", NOT_YOURS),
    Http404: ("not-found", NOT_FOUND),
    NotJsonError: ("not-json", REFUSED),
}


def in_json(
    view: Callable[Concatenate[HttpRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Return a view that answers in JSON whatever happens.

    The sender's token is looked at after the sign-in, so that one whose session is
    over is told to sign in.
    """

    @csrf_exempt
    @login_not_required
    @never_cache
    @wraps(view)
    def answering(
        request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs
    ) -> HttpResponse:
        refused = _refused(request)
        if refused is not None:
            return refused
        try:
            return view(request, *args, **kwargs)
        except StoreError as error:
            return faulty((error.fault,), NOT_WRITTEN)
        except LumenkeepError as error:
            return faulty(_faults(error), REFUSED)
        except tuple(_STATUS) as error:
            word, status = _STATUS[type(error)]
            return JsonResponse({"status": word}, status=status)

    return answering


def _refused(request: HttpRequest) -> HttpResponse | None:
    if not request.user.is_authenticated:
        return JsonResponse({"status": "sign-in"}, status=SIGN_IN)
    if _token_fault(request):
        return JsonResponse({"status": "stale-token"}, status=NOT_YOURS)
    return None


class _TokenCheck(CsrfViewMiddleware):
    """Django's own check, which says what is wrong instead of showing a page."""

    def _reject(self, _request: HttpRequest, reason: str) -> HttpResponse:
        return HttpResponse(reason, status=NOT_YOURS)


def _token_fault(request: HttpRequest) -> bool:
    """Return whether a sender of data did not name the token it was given."""
    check = _TokenCheck(lambda _: HttpResponse())
    check.process_request(request)
    return check.process_view(request, HttpResponse, (), {}) is not None


def faulty(faults: tuple[Fault, ...], status: int = REFUSED) -> JsonResponse:
    """Return every fault of what was sent, in plain words."""
    said = [
        {"code": f.code, "what": f.what, "where": f.where, "mend": f.mend}
        for f in faults
    ]
    return JsonResponse({"status": "faulty", "faults": said}, status=status)


def _faults(error: LumenkeepError) -> tuple[Fault, ...]:
    if isinstance(error, InputError):
        return error.faults
    return (error.fault,) if isinstance(error, SingleError) else ()


def sent_table(request: HttpRequest) -> dict[str, Any]:
    """Return the JSON table that was sent.

    Raises
    ------
    NotJsonError
        It is none, or too large, or nested too deep.
    """
    try:
        # Django refuses by itself what is far too large, with a page.
        if len(request.body) > MOST_BYTES:
            raise NotJsonError
        found = _storable(json.loads(request.body))
        # What the reader takes and no database keeps: endless numbers, half letters.
        json.dumps(found, allow_nan=False, ensure_ascii=False).encode()
    except (ValueError, RecursionError, RequestDataTooBig) as error:
        raise NotJsonError from error
    if not isinstance(found, dict):
        raise NotJsonError
    return found


def _storable(value: Any) -> Any:
    """Return the value without what nobody sees; too deep it is no table."""
    if _is_deeper(value, DEEPEST):
        raise NotJsonError
    return all_without_hidden_signs(value)


def _is_deeper(value: Any, left: int) -> bool:
    inside = value.values() if isinstance(value, dict) else value
    if not isinstance(value, dict | list):
        return left < 0
    return left < 0 or any(_is_deeper(item, left - 1) for item in inside)


def runs() -> RunRepository:
    """Return the adapter of the opened guides."""
    return RunRepository()


def ways() -> KeptWays:
    """Return the adapter of the ways back."""
    return KeptWays()


def find_run(request: HttpRequest, key: str) -> tuple[RunRecord, StaffRecord]:
    """Return a run and who asks for it.

    Raises
    ------
    Http404
        There is none of that key.
    PermissionDenied
        Its line lies on a ward that this person does not see.
    """
    person = person_signed_in(request)
    run = runs().run(key)
    if run is None:
        raise Http404
    find_line(page_context(), run.line, person)
    return run, person
