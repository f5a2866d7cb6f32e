"""Hands that go through the page for people: with a mouse, or with nothing but a keyboard."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from playwright.sync_api import Page, expect

AXE = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
MOST_TABS = 120
SIDES = ("far", "near", "left", "right")


@dataclass(frozen=True)
class Job:
    """What somebody who fixes a thing would answer; edges that are not named are out of reach."""

    thing: str
    loads: Mapping[str, str]
    words: Mapping[str, str]
    concrete: Mapping[str, str]
    edges: Mapping[str, str]
    plate: Mapping[str, str]
    holes: str
    site: Mapping[str, str]
    measured: str = "middle"
    mortar: Mapping[str, str] = field(default_factory=dict)


KNOWN_SITE = {
    "hole": "dry",
    "condition-torque_control": "calibrated_wrench",
    "condition-strength_evidence": "documented",
    "condition-hole_cleaning": "verified",
    "condition-installer": "trained",
    "condition-drilling": "hammer",
}
SQUARE = {"plate-x": "220", "plate-y": "220", "plate-thickness": "15", "spacing-x": "150", "spacing-y": "150"}
SMALL = {"plate-x": "100", "plate-y": "100", "plate-thickness": "8"}
QUAY_POST = Job(
    thing="guardrail_post",
    loads={"rail_height_mm": "1100", "post_spacing_mm": "1200", "mass_kg": "18,5"},
    words={"mounting": "top", "category": "E"},
    concrete={"strength": "C30/37", "state": "cracked", "thickness": "400"},
    edges={"far": "180"},
    plate=SQUARE | {"plate-thickness": "25", "section-x": "60", "section-y": "60", "section-profile": "hollow"}
    | {"plate-yield": "235"},
    holes="four",
    site=KNOWN_SITE | {"exposure": "external", "temperature": "I"},
)
PIPE_HANGER = Job(
    thing="soffit_hanger",
    loads={"mass_kg": "180"},
    words={},
    concrete={"strength": "C25/30", "state": "cracked", "thickness": "220"},
    edges={},
    plate=SMALL,
    holes="one",
    site=KNOWN_SITE | {"exposure": "damp_internal", "temperature": "I"},
)
PUMP = Job(
    thing="machine_base",
    loads={"mass_kg": "420", "centre_height_mm": "450", "torque_knm": "0.15"},
    words={"machine": "rotating_balanced", "shaft": "x"},
    concrete={"strength": "C30/37", "state": "uncracked", "thickness": "500"},
    edges={"far": "450", "near": "450", "left": "400", "right": "400"},
    plate={
        "plate-x": "500",
        "plate-y": "400",
        "plate-thickness": "20",
        "spacing-x": "400",
        "spacing-y": "300",
        "section-x": "300",
        "section-y": "200",
        "section-profile": "solid",
        "plate-yield": "235",
    },
    holes="four",
    site=KNOWN_SITE | {"exposure": "damp_internal", "temperature": "I"},
)
TOO_HEAVY = Job(
    thing="soffit_hanger",
    loads={"mass_kg": "12000"},
    words={},
    concrete={"thickness": "150"},
    edges={"far": "60"},
    plate=SMALL,
    holes="one",
    site={},
)


class Mouse:
    """Points and clicks."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, selector: str) -> None:
        self.page.locator(selector).click()

    def tick(self, selector: str) -> None:
        self.page.locator(selector).click()

    def write(self, selector: str, text: str) -> None:
        self.page.locator(selector).fill(text)

    def choose(self, selector: str, value: str) -> None:
        self.page.locator(selector).select_option(value)


class Keyboard(Mouse):
    """Knows nothing but keys."""

    def _reach(self, selector: str) -> None:
        """Tab to a thing, through all that lies before it."""
        wanted = self.page.locator(selector)
        group = wanted.get_attribute("name") if wanted.get_attribute("type") == "radio" else None
        for _ in range(MOST_TABS):
            focused = "(e, group) => e === document.activeElement || (group && document.activeElement.name === group)"
            if wanted.evaluate(focused, group):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"{selector} can't be reached by Tab")

    def press(self, selector: str) -> None:
        self._reach(selector)
        self.page.keyboard.press("Enter")

    def tick(self, selector: str) -> None:
        self._reach(selector)
        self.page.keyboard.press("Space")
        for _ in range(MOST_TABS):
            if self.page.locator(selector).is_checked():
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{selector} can't be picked by arrow keys")

    def write(self, selector: str, text: str) -> None:
        self._reach(selector)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def choose(self, selector: str, value: str) -> None:
        self._reach(selector)
        self.page.keyboard.press("Home")
        for _ in range(MOST_TABS):
            if self.page.locator(selector).input_value() == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{selector} has no {value}")


def begin(page: Page, address: str) -> None:
    """Open the page without the answers that the tab may hold from before."""
    page.goto(f"{address}/health/live")
    page.evaluate("sessionStorage.clear()")
    page.goto(f"{address}/")
    expect(page.locator("#step-thing")).to_be_visible()


def unfold(hands: Mouse, selector: str) -> None:
    """Open the fold that a question lies in, where it lies in one."""
    fold = hands.page.locator(f"details:not([open]):has({selector}) > summary")
    if fold.count():
        fold.first.evaluate("e => { e.id = e.id || 'fold'; }")
        hands.press(f"#{fold.first.get_attribute('id')}")


def submit(hands: Mouse, step: str, following: str) -> None:
    hands.press(f"#step-{step} button[type=submit]")
    expect(hands.page.locator(f"#step-{following}")).to_be_visible()


def to_loads(hands: Mouse, job: Job) -> None:
    hands.tick(f"#thing-{job.thing}")
    submit(hands, "thing", "loads")


def to_concrete(hands: Mouse, job: Job) -> None:
    # In the order of the page, as keys get no further back than the start of it.
    order = hands.page.locator("#inputs [data-pointer]").evaluate_all("all => all.map((one) => one.name)")
    for name in order:
        if name in {*job.loads, *job.words}:
            unfold(hands, f"#input-{name}")
        if name in job.loads:
            hands.write(f"#input-{name}", job.loads[name])
        if name in job.words:
            hands.choose(f"#input-{name}", job.words[name])
    submit(hands, "loads", "concrete")


def to_plate(hands: Mouse, job: Job) -> None:
    hands.choose("#material", job.concrete.get("material", "normal_weight_concrete"))
    hands.tick(f"#topping-{job.concrete.get('topping', 'no')}")
    if "topping" in job.concrete:
        hands.write("#topping-thickness", job.concrete["topping-thickness"])
        hands.tick(f"#comes-off-{job.concrete['comes-off']}")
    for name in ("strength", "state"):
        if name in job.concrete:
            hands.choose(f"#{name}", job.concrete[name])
    hands.write("#thickness", job.concrete["thickness"])
    for side in SIDES:
        hands.tick(f"#edge-{side}-{'yes' if side in job.edges else 'no'}")
        if side in job.edges:
            hands.write(f"#distance-{side}", job.edges[side])
    if job.edges:
        hands.tick(f"#measured-{job.measured}")
    submit(hands, "concrete", "plate")


def to_site(hands: Mouse, job: Job) -> None:
    for name in ("plate-x", "plate-y", "plate-thickness"):
        if name in job.plate:
            hands.write(f"#{name}", job.plate[name])
    hands.tick(f"#holes-{job.holes}")
    for name in ("spacing-x", "spacing-y"):
        if name in job.plate:
            hands.write(f"#{name}", job.plate[name])
    hands.tick(f"#bedding-{'yes' if job.mortar else 'no'}")
    hands.tick("#others-no")
    for name, text in job.mortar.items():
        hands.write(f"#{name}", text)
    for name in ("section-x", "section-y"):
        if name in job.plate:
            hands.write(f"#{name}", job.plate[name])
    if "section-profile" in job.plate:
        hands.choose("#section-profile", job.plate["section-profile"])
    if "plate-yield" in job.plate:
        hands.write("#plate-yield", job.plate["plate-yield"])
    submit(hands, "plate", "site")


def to_answer(hands: Mouse, job: Job) -> None:
    for name in ("exposure", "hole", "temperature", *(one for one in job.site if one.startswith("condition-"))):
        if name in job.site:
            hands.choose(f"#{name}", job.site[name])
    submit(hands, "site", "answer")


STEPS = {
    "loads": to_loads,
    "concrete": to_concrete,
    "plate": to_plate,
    "site": to_site,
    "answer": to_answer,
}
"""What leads from the first question to the answer, by the step that it ends at."""


def to_why(hands: Mouse) -> None:
    hands.press("#answer article:first-of-type button")
    expect(hands.page.locator("#step-why")).to_be_visible()


def to_sheet(hands: Mouse) -> Page:
    hands.press("#sheet-form button[type=submit]")
    link = "#sheet-link a"
    expect(hands.page.locator(link)).to_be_focused()
    with hands.page.context.expect_page() as opened:
        hands.press(link)
    return opened.value


def findings(page: Page) -> list[str]:
    """Ask axe-core, handed over by the test itself, what keeps people out."""
    # A page keeps it until another one is opened, and reading it takes half of the time.
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    found: list[Any] = page.evaluate("async () => (await axe.run()).violations")
    return [f"{one['id']}: {[node['html'][:120] for node in one['nodes']]}" for one in found]
