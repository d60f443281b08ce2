"""Fills a journal on a server past the program, fast: sealed as it seals, brought in by COPY."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import islice
from typing import Any

import psycopg

from shopboard import __version__
from shopboard.journal.chain import GENESIS, SealedFields, seal
from shopboard.journal.queries import as_text
from tests.bench.filling import visits

_COLUMNS = "seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash"
_DAYS = 3650


class Filling:
    """A journal that grows to one size after the other."""

    def __init__(self, url: str, machines: int, most: int) -> None:
        """Begin.

        Args:
            url: of a database with an empty journal; its owner's.
            machines: how many machines the entries are about.
            most: how many entries it will have in the end; by then ten years have gone by.
        """
        self._url = url
        self._visits = visits(machines)
        self._step = timedelta(days=_DAYS) / most
        self._begin = datetime.now(UTC) - timedelta(days=_DAYS, hours=1)
        self._texts: dict[int, str] = {}
        self._kept: list[object] = []
        self._last = (0, GENESIS)

    def fill_to(self, entries: int) -> None:
        """Bring it to so many entries; what the program or others recorded meanwhile stays."""
        with psycopg.connect(self._url, autocommit=True) as plain:
            plain.execute("SET search_path = shopboard; SET maintenance_work_mem = '1GB'")
            found = plain.execute("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1")
            self._last = found.fetchone() or self._last
            indexes = plain.execute(
                "SELECT indexrelid::regclass::text, pg_get_indexdef(indexrelid) FROM pg_index"
                " WHERE indrelid = 'entries'::regclass AND NOT indisprimary"
            ).fetchall()
            with plain.transaction():
                plain.execute("ALTER TABLE entries DISABLE TRIGGER USER")
                for name, _ in indexes:
                    plain.execute(f"DROP INDEX {name}".encode())
                with plain.cursor().copy(f"COPY entries ({_COLUMNS}) FROM STDIN".encode()) as copy:
                    for row in self._rows(entries - self._last[0]):
                        copy.write_row(row)
                for _, made in indexes:
                    plain.execute(made.encode())
                for (name,) in plain.execute(
                    "SELECT tgname FROM pg_trigger WHERE tgrelid = 'entries'::regclass"
                ).fetchall():
                    plain.execute(f"ALTER TABLE entries ENABLE ALWAYS TRIGGER {name}".encode())

    def _rows(self, count: int) -> Iterator[tuple[Any, ...]]:
        seq, prev = self._last
        for new in islice(self._visits, max(0, count)):
            seq += 1
            when = as_text(self._begin + self._step * seq)
            fields: SealedFields = (
                seq, new.uid, when, new.kind, new.machine, new.point, new.refers,
                self._text(new.body), 1, __version__,
            )  # fmt: skip
            sealed = seal(prev, fields)
            yield (*fields, prev, sealed)
            prev = sealed

    def _text(self, body: object) -> str:
        """Write a body as the journal does; the long ones come again and again."""
        text = self._texts.get(id(body))
        if text is None:
            text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
            if len(text) > 100:
                self._texts[id(body)] = text
                self._kept.append(body)  # its id stays its own
        return text
