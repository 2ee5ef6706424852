"""What a page draws, as pure frozen values: no request, no database, no template."""
