"""Signing in and out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LoginView, LogoutView, PasswordChangeView
from django.http import HttpResponse
from django.utils.decorators import method_decorator

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponseBase

SIGNED_OUT = 401
WRONG = "That name and password do not fit together. Nothing else is wrong: try again."


@method_decorator(login_not_required, name="dispatch")
class SignIn(LoginView):
    """The sign-in page; a part of a page that asks for it is told it is signed out."""

    template_name = "lumenkeep/sign_in.html"
    redirect_authenticated_user = True

    def dispatch(
        self, request: HttpRequest, *args: Any, **kwargs: Any
    ) -> HttpResponseBase:
        """Answer a signed-out page's own requests with a plain refusal."""
        if request.headers.get("HX-Request"):
            return HttpResponse(status=SIGNED_OUT)
        return super().dispatch(request, *args, **kwargs)

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        """Add the demo's accounts, in the demo alone."""
        context = super().get_context_data(**kwargs)
        context["trouble"] = WRONG
        if getattr(settings, "DEMO", False):
            from lumenkeep.demo.fill import DEMO_PASSWORD, demo_accounts

            context["demo_accounts"] = demo_accounts()
            context["demo_password"] = DEMO_PASSWORD
        return context


class SignOut(LogoutView):
    """Signs out, and shows the sign-in page."""

    next_page = "sign-in"


class ChangePassword(PasswordChangeView):
    """Changes one's own password, and says so on the ward view."""

    template_name = "lumenkeep/password.html"
    success_url = "/"

    def form_valid(self, form: Any) -> HttpResponse:
        """Tell that it is done."""
        answer = super().form_valid(form)
        messages.success(self.request, "Your password is changed.")
        return answer
