"""Django is set up before the modules here import its models."""

from __future__ import annotations

import django

django.setup()
