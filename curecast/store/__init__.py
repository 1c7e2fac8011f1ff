"""What was said and seen, kept for good: an append-only log in a SQL database.

``schema.open_store`` opens it; ``jobs``, ``placements``, ``readings``, ``record``,
``holds``, ``forecasts`` and ``observations`` read it and add to it; ``rows`` holds what
they hand out. Nothing here is imported before a command needs it.
"""
