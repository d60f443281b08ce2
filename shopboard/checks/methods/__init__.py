"""The guided checks: a file a method, named by the trade's name for it, holding a `METHOD`."""
