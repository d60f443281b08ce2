"""The journal in a database on a PostgreSQL server, which several benches share.

Nothing here is imported before such a journal is opened.
"""
