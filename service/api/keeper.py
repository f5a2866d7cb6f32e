"""Keeping up with the rules: releases without a restart, suspensions at once, faulty rules not at all.

What was good last outlives the process that read it: a worker that is forked later begins with it, and not with what
there was when the service started.
"""

import logging
import os
import threading
from collections.abc import Callable
from pathlib import Path

from service.api.serving import Serving
from service.contract.resolution import Clock
from service.rulebook import RulebookInvalid, schemas, strict_json
from service.rulebook.kept import KeptState, StateLost
from service.rulebook.pack import PackInvalid
from service.rulebook.register import Entry
from service.rulebook.repository import Repository, RepositoryFault
from service.rulebook.shelf import Release, ReleaseFault, Shelf, open_shelf
from service.rulebook.suspensions import Suspension, of_document
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
        self._kept = KeptState()
        self._seen: tuple[object, ...] | None = self._state()
        present = any(map(os.path.isfile, (rules, rules / RULEBOOK)))
        self._good = open_shelf(rules, signers) if present else None
        self.serving = Serving(self._good, clock)
        if self._good is not None:
            self._kept.keep(self._good)
        self._report(self.serving)

    def watch(self, seconds: float) -> threading.Event:
        """Look after the rules from now on, in a thread of this process.

        Args:
            seconds: How often to look.

        Returns:
            What ends it when it is set; a worker lets it go on for as long as it lives.
        """
        self._begin()
        ended = threading.Event()
        threading.Thread(target=self._watch, args=(seconds, ended), name="rules", daemon=True).start()
        return ended

    def look(self) -> bool:
        """Take up what has changed since the last look.

        Returns:
            Whether something else is served now; False too where the new rules are faulty and the old ones stay.
        """
        state = self._state()
        if state == self._seen:
            return False
        return self._locked(lambda: self._look_anew(state))

    def _begin(self) -> None:
        """Begin where another worker left off."""
        self._locked(lambda: False)
        self.look()

    def _locked(self, act: Callable[[], bool]) -> bool:
        """Act on the state that was kept last; what fails must end neither the worker nor, with it, the service."""
        try:
            with self._kept.locked():
                self._recover()
                return act()
        except StateLost as lost:
            return self._stop(ReleaseFault(None, "state_lost", str(lost)))
        except Exception as fault:
            LOG.exception("looking after the rules failed; what was good last is served")
            return self._stay(fault)

    def _recover(self) -> None:
        """Take over what another process kept since."""
        newer = self._kept.newer(self._rules.absolute())
        if newer is not None:
            self._good, self._seen = newer, None
            self.serving = Serving(newer, self._clock)

    def _look_anew(self, state: tuple[object, ...]) -> bool:
        try:
            shelf = open_shelf(self._rules, self._signers)
        except (RulebookInvalid, PackInvalid, RepositoryFault, OSError) as fault:
            # What git could not do just now it may be able to do at the next look.
            self._seen = self._seen if isinstance(fault, RepositoryFault) else state
            return self._stay(fault)
        self._seen = state
        missing = _missing(self._good, shelf) if self._good is not None else ()
        proven = tuple(fault for fault in missing if fault.proven)
        if proven:
            return self._stop(*proven)
        if missing or not shelf.versions:
            lacking = "; ".join(fault.detail for fault in missing) or "no version of the rules there can be served"
            return self._stay(LookupError(lacking))
        stopped = self._suspended(shelf, shelf.suspensions)
        self._take(shelf.with_suspensions(stopped), kept=len(stopped) > len(shelf.suspensions))
        LOG.info("rules taken up: serving %s", ", ".join(shelf.versions))
        self._report(self.serving)
        return True

    def _suspended(self, shelf: Shelf, given: tuple[Suspension, ...]) -> tuple[Suspension, ...]:
        """What is suspended from now on: a slip in a name must not lift what was suspended before it."""
        if self._good is None or not shelf.idle(given):
            return given
        return tuple(dict.fromkeys((*self._good.suspensions, *given)))

    def _take(self, shelf: Shelf, *faults: ReleaseFault, kept: bool) -> None:
        """Keep a state and serve it; where it cannot be kept it is served all the same, and that is said."""
        self._good = shelf
        try:
            self._kept.keep(shelf)
        except OSError as fault:
            LOG.exception("the state of the rules could not be kept for workers to come")
            words = f"workers to come will not know of what is served now: {fault.strerror}"
            faults, kept = (*faults, ReleaseFault(None, "state_not_kept", words)), True
        self.serving = Serving(shelf, self._clock, faults, kept=kept)

    def _watch(self, seconds: float, ended: threading.Event) -> None:
        if self.serving.loaded is not None:
            self.serving.loaded.check_all()
        while not ended.wait(seconds):
            try:
                if self.look() and self.serving.loaded is not None:
                    self.serving.loaded.check_all()
            except Exception:
                # The thread must live: without it an emergency stop would not be seen.
                LOG.exception("looking after the rules failed; what was good last is served")

    def _stay(self, fault: Exception) -> bool:
        LOG.error("new rules are not taken up, the old ones are still served: %s", fault)
        refused = ReleaseFault(None, "new_rules_refused", f"what lies there now is not taken up: {fault}")
        before = self._good
        if before is None:
            self.serving = Serving(None, self._clock, (refused,), kept=True)
            return False
        stopped = self._new_suspensions(before)
        if stopped == before.suspensions:
            self.serving = Serving(before, self._clock, (refused,), kept=True)
            return False
        self._take(before.with_suspensions(stopped), refused, kept=True)
        return True

    def _new_suspensions(self, before: Shelf) -> tuple[Suspension, ...]:
        """The emergency stop works even while the rest of the directory is in disorder."""
        try:
            document, faults = strict_json.parse(SUSPENSIONS, (self._rules / SUSPENSIONS).read_bytes())
        except OSError:
            return before.suspensions
        if faults or schemas.check(SUSPENSIONS, document):
            LOG.error("%s is faulty: what was suspended stays suspended, nothing else is", SUSPENSIONS)
            return before.suspensions
        return self._suspended(before, of_document(document))

    def _stop(self, *faults: ReleaseFault) -> bool:
        """Answer nothing: an older or laxer rule must not answer where it is proven that a newer one was taken away."""
        for fault in faults:
            LOG.critical("answers are stopped: %s: %s", fault.code, fault.detail)
        self.serving = Serving(self._good, self._clock, faults, stopped=True)
        return True

    def _report(self, serving: Serving) -> None:
        for fault in serving.loaded.faults if serving.loaded else ():
            LOG.error("rulebook %s: %s: %s", fault.version or "", fault.code, fault.detail)

    def _state(self) -> tuple[object, ...]:
        files = [self._rules, *_within(self._rules), *([self._signers] if self._signers else [])]
        state: list[object] = []
        for file in files:
            try:
                found = os.lstat(file)
            except OSError as problem:
                state.append((str(file), problem.errno))
                continue
            # The time of the last change of the entry too: it tells when permission is taken away.
            state.append((str(file), found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino))
        try:
            repository = Repository.of(self._rules)
            return (*state, repository.fingerprint() if repository else None)
        except (RepositoryFault, OSError):
            return (*state, "no answer from git")


def _within(directory: Path) -> list[Path]:
    return sorted(
        Path(place, name) for place, directories, files in os.walk(directory) for name in (*directories, *files)
    )


def _missing(good: Shelf, now: Shelf) -> tuple[ReleaseFault, ...]:
    """What was served or suspended and is not there any more, proven or not."""
    found = {release.entry.version: release for release in now.releases}
    faults = [fault for entry, _ in good.served if (fault := _lost(entry, found.get(entry.version)))]
    if good.suspensions and SUSPENSIONS not in now.tree.beside:
        words = f"{SUSPENSIONS} was removed while it suspends; to lift a suspension, take its entry away"
        faults.append(ReleaseFault(None, "suspensions_removed", words))
    return tuple(faults)


def _lost(entry: Entry, found: Release | None) -> ReleaseFault | None:
    """What keeps a release from being served that was served before."""
    if found is None:
        words = f"release {entry.version} was served and the register does not name it any more; to stop it, suspend it"
        return ReleaseFault(entry.version, "release_removed", words)
    if found.entry != entry:
        words = f"the entry of release {entry.version} in the register was altered after it was served"
        return ReleaseFault(entry.version, "release_altered", words)
    return found.fault
