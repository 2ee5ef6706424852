"""What a WSGI server runs: ``lumenkeep.web.wsgi:application``."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application

from lumenkeep.ward.site.data_folder import keep_secret_key

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "lumenkeep.web.settings")
keep_secret_key()
application = get_wsgi_application()
