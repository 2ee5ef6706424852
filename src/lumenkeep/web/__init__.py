"""Puts the web application together: settings, addresses, processes, and the pages that show several topics."""
