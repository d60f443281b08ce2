"""The yardstick: an application of the same framework with nothing on it."""

from __future__ import annotations

from textual.app import App

if __name__ == "__main__":
    App[None]().run()
