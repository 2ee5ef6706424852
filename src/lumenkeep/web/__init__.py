"""The ward's web application: storage, accounts and pages; the only home of Django."""
