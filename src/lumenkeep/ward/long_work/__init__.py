"""Work that takes a processor for long: asked for by a page, done by a worker, kept in the database."""
