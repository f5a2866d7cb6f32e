"""Keeping up with the rules: releases without a restart, suspensions at once, faulty rules not at all."""

import logging
import os
import threading
from pathlib import Path

from service.api.serving import Serving
from service.contract.resolution import Clock
from service.rulebook import RulebookInvalid, schemas, strict_json
from service.rulebook.pack import PackInvalid
from service.rulebook.repository import Repository, RepositoryFault
from service.rulebook.shelf import IDLE, ReleaseFault, Shelf, open_shelf
from service.rulebook.suspensions import of_document
from service.rulebook.tree import RULEBOOK, SUSPENSIONS

LOG = logging.getLogger("service.rules")
POLL_SECONDS = 2.0


class Keeper:
    """Holds what is served now and looks after it."""

    def __init__(self, rules: Path, signers: Path | None, clock: Clock) -> None:
        """Read the rules for the first time.

        Args:
            rules: The rules directory, or the file of a packed rulebook.
            signers: The file of allowed signers; None: signatures are not asked for.
            clock: Says what day it is.

        Raises:
            RulebookInvalid: The rules have errors and no release can be served in their place.
        """
        self._rules = rules
        self._signers = signers
        self._clock = clock
        self._seen = self._state()
        present = rules.is_file() or (rules / RULEBOOK).is_file()
        self.serving = Serving(open_shelf(rules, signers) if present else None, clock)
        self._watcher: threading.Thread | None = None
        self._report(self.serving)

    def watch(self, seconds: float) -> None:
        """Look after the rules from now on, in a thread of this process.

        Args:
            seconds: How often to look.
        """
        self.look()
        self._watcher = threading.Thread(target=self._watch, args=(seconds,), name="rules", daemon=True)
        self._watcher.start()

    def look(self) -> bool:
        """Take up what has changed since the last look.

        Returns:
            Whether something else is served now; False too where the new rules are faulty and the old ones stay.
        """
        state = self._state()
        if state == self._seen:
            return False
        before = self.serving
        try:
            shelf = self._opened()
        except (RulebookInvalid, PackInvalid, RepositoryFault, OSError) as fault:
            # What git could not do just now it may be able to do at the next look.
            self._seen = self._seen if isinstance(fault, RepositoryFault) else state
            return self._stay(before, fault)
        self._seen = state
        if before.loaded is not None and any(fault.code == IDLE for fault in shelf.faults):
            # A slip in a name must not lift what was suspended before it.
            stopped = dict.fromkeys((*before.loaded.suspensions, *shelf.suspensions))
            shelf = shelf.with_suspensions(tuple(stopped))
        self.serving = Serving(shelf, self._clock)
        LOG.info("rules taken up: serving %s", ", ".join(shelf.versions))
        self._report(self.serving)
        return True

    def _opened(self) -> Shelf:
        shelf = open_shelf(self._rules, self._signers)
        if not shelf.versions:
            raise PackInvalid("no version of the rules there can be served")
        return shelf

    def _watch(self, seconds: float) -> None:
        pause = threading.Event()
        if self.serving.loaded is not None:
            self.serving.loaded.check_all()
        while not pause.wait(seconds):
            try:
                if self.look() and self.serving.loaded is not None:
                    self.serving.loaded.check_all()
            except Exception:
                # The thread must live: without it an emergency stop would not be seen.
                LOG.exception("looking after the rules failed; what was served is still served")

    def _stay(self, before: Serving, fault: Exception) -> bool:
        LOG.error("new rules are not taken up, the old ones are still served: %s", fault)
        kept = ReleaseFault(None, "new_rules_refused", f"what lies there now is not taken up: {fault}")
        if before.loaded is None:
            self.serving = Serving(None, self._clock, (kept,))
            return False
        shelf = self._with_new_suspensions(before.loaded)
        self.serving = Serving(shelf, self._clock, (kept,))
        return shelf.suspensions != before.loaded.suspensions

    def _with_new_suspensions(self, shelf: Shelf) -> Shelf:
        """The emergency stop works even while the rest of the directory is in disorder."""
        try:
            document, faults = strict_json.parse(SUSPENSIONS, (self._rules / SUSPENSIONS).read_bytes())
        except OSError:
            return shelf
        if faults or schemas.check(SUSPENSIONS, document):
            LOG.error("%s is faulty: what was suspended stays suspended, nothing else is", SUSPENSIONS)
            return shelf
        return shelf.with_suspensions(of_document(document))

    def _report(self, serving: Serving) -> None:
        for fault in serving.loaded.faults if serving.loaded else ():
            LOG.error("rulebook %s: %s: %s", fault.version or "", fault.code, fault.detail)

    def _state(self) -> tuple[object, ...]:
        files = [self._rules, *sorted(self._rules.rglob("*"))] if self._rules.is_dir() else [self._rules]
        files += [self._signers] if self._signers else []
        state: list[object] = []
        for file in files:
            try:
                found = os.lstat(file)
            except OSError:
                continue
            state.append((str(file), found.st_mtime_ns, found.st_size, found.st_ino))
        repository = Repository.of(self._rules)
        try:
            return (*state, repository.fingerprint() if repository else None)
        except RepositoryFault:
            return (*state, "no answer from git")
