"""When the ward's policy gives no answer: a page that says why, and what to do."""

from __future__ import annotations

from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec

from django.shortcuts import render

from lumenkeep.errors import InputError, LumenkeepError, SingleError

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest, HttpResponse

    from lumenkeep.errors import Fault

P = ParamSpec("P")
NO_ANSWER = 503


def or_say_why(
    view: Callable[Concatenate[HttpRequest, P], HttpResponse],
) -> Callable[Concatenate[HttpRequest, P], HttpResponse]:
    """Return a view that shows a page of its own where there is no answer.

    A faulty policy set, a case no rule covers and two rules that disagree are not
    accidents of the server: a person must decide, and is told what to mend.
    """

    @wraps(view)
    def answering(
        request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs
    ) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except LumenkeepError as error:
            context = {"faults": _faults(error)}
            return render(
                request, "lumenkeep/no_answer.html", context, status=NO_ANSWER
            )

    return answering


def _faults(error: LumenkeepError) -> tuple[Fault, ...]:
    if isinstance(error, InputError):
        return error.faults
    return (error.fault,) if isinstance(error, SingleError) else ()
