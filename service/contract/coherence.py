"""What a request must say in agreement with itself, as far as no rulebook is needed to tell."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from marshmallow.exceptions import SCHEMA

from service.contract.codes import refusal
from service.contract.fields import UNKNOWN
from service.contract.things import BELOW_THE_FLOOR, on_a_face, stands_on_a_floor, under_a_slab

SAME_PLACE_MM = 1e-6
_LEAVES = frozenset({str, int, float, bool, type(None)})
COMPONENTS = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")
KINDS_OF_FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "source": ("permanent",),
    "holding_down": ("permanent",),
    "excludes": ("variable", "accidental"),
    "psi_0": ("variable",),
    "psi_1": ("variable",),
    "psi_2": ("variable",),
    "sustained_share": ("variable",),
})
"""Kinds of action that a field says something of."""
HOLES_OF_OLD = ("open_hole", "filled_hole")
"""States of a neighbour that is no fastener but a hole."""
OF_A_HOLE = ("hole_diameter_mm", "hole_depth_mm")
OF_A_FASTENER = ("family", "size", "embedment_mm")
"""Fields of a neighbour that say something of an old hole, and of a fastener."""
AXES = (("x", "width_mm"), ("y", "depth_mm"))

HOLDS_CRACKS = "cracks_held_to_0_3_mm"
HOLDING_APART_MM = 300.0
"""Bars that stand farther apart hold no crack to 0.3 mm. EN 1992-1-1, Table 7.3N, from memory."""

Path = tuple[str | int, ...]
Disagreement = tuple[Path, str]
Rule = Callable[[Mapping[str, Any]], Iterator[Disagreement]]
"""What finds where an object, each field of it sound and its nulls left out, breaks a rule: places and messages."""
Form = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Told:
    """A rule that JSON Schema can say too: what finds where it is broken, and what a component of the document says."""

    find: Rule
    component: str
    forms: Mapping[str, tuple[Form, ...]]
    """By a field of the component: where that field stands, one of these has to hold of the object."""

    def __call__(self, request: Mapping[str, Any]) -> Iterator[Disagreement]:
        """Find where it is broken."""
        return self.find(request)


def told(component: str, **forms: tuple[Form, ...]) -> Callable[[Rule], Told]:
    """Say a rule in the contract document as well.

    It stands there under `dependentSchemas`: generators of clients make classes of their own, or none, of what stands
    under `anyOf` beside the fields.

    Args:
        component: The schema of the object that the rule is about, or one that those which list it are made of.
        **forms: By a field: where that field stands, one of these schemas has to hold of the object.

    Returns:
        What makes a rule of a function.
    """
    return lambda find: Told(find, component, forms)


def given(*names: str) -> dict[str, Any]:
    """Say in JSON Schema that fields are given; null is the same as leaving a field out."""
    return {"required": list(names), "properties": {name: {"not": {"type": "null"}} for name in names}}


def holding(**words: str) -> dict[str, Any]:
    """Say in JSON Schema that fields hold a word, where they are there."""
    return {"properties": {name: {"const": word} for name, word in words.items()}}


def left_out(*names: str) -> dict[str, Any]:
    """Say in JSON Schema that fields are left out or null."""
    return {"properties": {name: {"type": "null"} for name in names}}


def only(given_one: str, other: str) -> dict[str, Any]:
    """Say in JSON Schema that of two fields this one is given and the other left out or null."""
    one = given(given_one)
    return one | {"properties": one["properties"] | left_out(other)["properties"]}


def disagreements(request: Mapping[str, Any], rules: Iterable[Rule]) -> dict[str | int, Any]:
    """Gather what the rules find as one nested mapping, as marshmallow has errors.

    Args:
        request: The request, each field of it sound; what is null in it counts as left out.
        rules: The rules to apply.

    Returns:
        Lists of messages by key and index; empty when all agrees.
    """
    found: dict[str | int, Any] = {}
    given = without_nulls(request)
    for rule in rules:
        for path, message in rule(given):
            place = found
            for step in path:
                place = place.setdefault(step, {})
            # A place and one inside it may both be wrong, so messages stand beside the steps, as marshmallow has it.
            place.setdefault(SCHEMA, []).append(message)
    return found


def without_nulls(value: Any) -> Any:
    """Leave out what is null, which in a request is the same as leaving it out.

    Args:
        value: A request or a part of it.

    Returns:
        The same without its null members.
    """
    # By exact type first: asking a leaf whether it is a mapping costs more than all the rest.
    if type(value) in _LEAVES:
        return value
    if isinstance(value, Mapping):
        return {name: without_nulls(inner) for name, inner in value.items() if inner is not None}
    listed = isinstance(value, Sequence) and not isinstance(value, str)
    return [without_nulls(item) for item in value] if listed else value


@told("Member", strength_mpa=(left_out("strength_mpa"), left_out("strength_class"), holding(strength_class=UNKNOWN)))
def strength_given_once(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a strength class beside a strength."""
    member = request["member"]
    if member.get("strength_class", UNKNOWN) != UNKNOWN and "strength_mpa" in member:
        words = "give strength_class or strength_mpa, not both"
        yield ("member", "strength_mpa"), refusal("conflict", words, fields=["strength_class"])


def edges_apart(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find two opposite edges that leave no concrete between them."""
    edges = request["member"].get("edges", {})
    for axis, _ in AXES:
        minus, plus = edges.get(f"{axis}_minus_mm"), edges.get(f"{axis}_plus_mm")
        if minus is not None and plus is not None and minus + plus <= 0:
            words = f"{axis}_minus_mm and {axis}_plus_mm must add up to more than 0"
            place = ("member", "edges", f"{axis}_plus_mm")
            yield place, refusal("edges_crossed", words, fields=[f"{axis}_minus_mm"])


def positions_apart(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fasteners that stand in one place."""
    positions: Sequence[Mapping[str, float]] = request.get("positions", ())
    order = sorted(range(len(positions)), key=lambda index: positions[index]["x_mm"])
    for rank, first in enumerate(order):
        for second in order[rank + 1 :]:
            if positions[second]["x_mm"] - positions[first]["x_mm"] > SAME_PLACE_MM:
                break
            if abs(positions[second]["y_mm"] - positions[first]["y_mm"]) <= SAME_PLACE_MM:
                earlier, later = sorted((first, second))
                words = f"same place as fastener {earlier + 1}"
                yield ("positions", later), refusal("duplicate_position", words, other_number=earlier + 1)


def positions_on_the_member(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fasteners on or beyond an edge of the member."""
    yield from _on_the_member(request, "positions")


def _on_the_member(request: Mapping[str, Any], field: str) -> Iterator[Disagreement]:
    edges = request["member"].get("edges", {})
    for index, position in enumerate(request.get(field, ())):
        for axis, _ in AXES:
            for side, sign in (("minus", 1), ("plus", -1)):
                edge_mm = edges.get(f"{axis}_{side}_mm")
                if edge_mm is not None and edge_mm + sign * position[f"{axis}_mm"] <= 0:
                    words, edge = f"stands on or beyond the {axis}_{side} edge", f"{axis}_{side}"
                    yield (field, index, f"{axis}_mm"), refusal("outside_member", words, edge=edge)


def neighbours_on_the_member(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find neighbours on or beyond an edge of the member: in another one they are none."""
    yield from _on_the_member(request, "neighbours")


_A_HOLE: Form = {"required": ["state"], "properties": {"state": {"enum": list(HOLES_OF_OLD)}}}
_NO_HOLE: Form = {"properties": {"state": {"not": {"enum": list(HOLES_OF_OLD)}}}}


@told(
    "Neighbour",
    state=(_NO_HOLE, given(*OF_A_HOLE)),
    size=(left_out("size"), given("family")),
    **{name: (left_out(name), _A_HOLE) for name in OF_A_HOLE},
    **{name: (left_out(name), _NO_HOLE) for name in OF_A_FASTENER if name != "size"},
)
def neighbours_described(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find holes without their diameter and depth, sizes without a family, and what says hole and fastener at once."""
    for index, neighbour in enumerate(request.get("neighbours", ())):
        a_hole = neighbour.get("state") in HOLES_OF_OLD
        for name in OF_A_HOLE if a_hole else ():
            if name not in neighbour:
                words = "must be given for a hole: measure it"
                yield ("neighbours", index, name), refusal("required", words, fields=["state"])
        if "size" in neighbour and "family" not in neighbour:
            words = "must be given with a size, which is one of its family"
            yield ("neighbours", index, "family"), refusal("required", words, fields=["size"])
        for name in OF_A_FASTENER if a_hole else OF_A_HOLE:
            if name in neighbour:
                others = "for a hole" if a_hole else f"unless state is {' or '.join(HOLES_OF_OLD)}"
                words = f"must be left out {others}"
                yield ("neighbours", index, name), refusal("conflict", words, fields=["state"])


def positions_in_the_fixture(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fasteners that stand outside the fixture."""
    fixture = request["fixture"]
    centre = fixture.get("centre", {})
    for index, position in enumerate(request.get("positions", ())):
        for axis, extent in AXES:
            offset_mm = abs(position[f"{axis}_mm"] - centre.get(f"{axis}_mm", 0))
            if offset_mm > fixture[extent] / 2:
                reach_mm = fixture[extent] / 2
                middle = centre.get(f"{axis}_mm", 0)
                words = (
                    f"must be within {reach_mm:.10g} mm of the fixture's centre, {axis} = {middle:.10g} mm here; "
                    "fixture.centre says where that is, and left out it is the origin"
                )
                yield ("positions", index, f"{axis}_mm"), refusal("outside_fixture", words, maximum_mm=reach_mm)


def section_in_the_fixture(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find an attached section larger than the fixture."""
    fixture = request["fixture"]
    section = fixture.get("attached_section", {})
    for _, extent in AXES:
        if section.get(extent, 0) > fixture[extent]:
            words = f"must be at most the fixture's {extent}, {fixture[extent]:.10g}"
            message = refusal("outside_fixture", words, maximum_mm=fixture[extent])
            yield ("fixture", "attached_section", extent), message


def thickness_where_there_is_a_gap(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a stand-off, grout or topping that stays without the fixture's thickness, which the lever arm needs."""
    fixture = request["fixture"]
    topping = request["member"].get("topping", {})
    left_mm = 0 if topping.get("comes_off", False) else topping.get("thickness_mm", 0)
    gap_mm = fixture.get("stand_off_mm", 0) + fixture.get("grout", {}).get("thickness_mm", 0) + left_mm
    if gap_mm > 0 and "thickness_mm" not in fixture:
        words = "must be given where there is a stand-off, grout or a topping that stays"
        yield ("fixture", "thickness_mm"), refusal("required", words, fields=["stand_off_mm", "grout", "topping"])


def washer_on_the_concrete(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find washers said to be clamped to the concrete where a topping lies on it that stays."""
    topping = request["member"].get("topping", {})
    if topping and not topping.get("comes_off", False) and request["fixture"].get("washer_clamped", False):
        words = "must be left out where a topping stays: nut and washer would clamp on it, not on the concrete"
        yield ("fixture", "washer_clamped"), refusal("conflict", words, fields=["topping"])


def washer_below_levelling_grout(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find washers said to be clamped to the concrete that grout levels under a fixture which stands off."""
    fixture = request["fixture"]
    levelled = fixture.get("stand_off_mm", 0) > 0 and fixture.get("grout", {}).get("thickness_mm", 0) > 0
    if levelled and fixture.get("washer_clamped", False):
        words = "must be left out where grout levels the concrete: nut and washer would clamp on the grout"
        yield ("fixture", "washer_clamped"), refusal("conflict", words, fields=["stand_off_mm", "grout"])


def not_both(request: Mapping[str, Any], first: str, second: str) -> Iterator[Disagreement]:
    """Find two fields of which one excludes the other."""
    if first in request and second in request:
        yield (second,), refusal("conflict", f"give {first} or {second}, not both", fields=[first])


def just_one(request: Mapping[str, Any], first: str, second: str) -> Iterator[Disagreement]:
    """Find two fields of which one, and one alone, has to be given."""
    yield from not_both(request, first, second)
    if first not in request and second not in request:
        yield (first,), refusal("required", f"{first} or {second} must be given", fields=[second])


# Under a field that is always there.
@told("CommonRequest", member=(only("load_cases", "actions"), only("actions", "load_cases")))
def load_cases_or_actions(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find both load cases and actions, or neither."""
    yield from just_one(request, "load_cases", "actions")


def names_differ(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find load cases or actions of one name."""
    yield from same_names(request.get("load_cases", ()), "load_cases", "load case")
    yield from same_names(request.get("actions", ()), "actions", "action")


def same_names(entries: Sequence[Mapping[str, Any]], place: str, what: str) -> Iterator[Disagreement]:
    """Find entries of one name.

    Args:
        entries: The entries.
        place: Their list.
        what: What an entry is.

    Yields:
        Place and message.
    """
    seen: dict[str, int] = {}
    for index, entry in enumerate(entries):
        first = seen.setdefault(entry["name"], index)
        if first != index:
            words = f"same name as {what} {first + 1}"
            yield (place, index, "name"), refusal("duplicate_name", words, other_number=first + 1)


_ACTS: tuple[Form, ...] = tuple(
    {"required": [component], "properties": {component: {"not": {"enum": [0, None]}}}} for component in COMPONENTS
)


# Under a field that is always there.
@told("LoadCase", name=_ACTS)
def some_load(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find load cases in which nothing acts."""
    yield from _without_load(request, "load_cases")


@told("Action", name=_ACTS)
def some_action(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find actions in which nothing acts."""
    yield from _without_load(request, "actions")


def _without_load(request: Mapping[str, Any], listed: str) -> Iterator[Disagreement]:
    for index, entry in enumerate(request.get(listed, ())):
        if all(entry.get(component, 0) == 0 for component in COMPONENTS):
            yield (listed, index), refusal("all_zero", "at least one component must not be zero")


def _of_kinds(field: str, *kinds: str) -> tuple[Form, ...]:
    return (left_out(field), *(holding(kind=kind) for kind in kinds))


@told("Action", **{field: _of_kinds(field, *kinds) for field, kinds in KINDS_OF_FIELDS.items()})
def fields_of_the_kind(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fields that say nothing of an action of its kind."""
    for index, action in enumerate(request.get("actions", ())):
        for field, kinds in KINDS_OF_FIELDS.items():
            if field in action and action["kind"] not in kinds:
                words = f"must be left out unless kind is {' or '.join(kinds)}"
                yield ("actions", index, field), refusal("conflict", words, fields=["kind"])


def excluded_actions_are_there(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find excluded names that no other action has which comes and goes."""
    actions: Sequence[Mapping[str, Any]] = request.get("actions", ())
    names = [action["name"] for action in actions if action["kind"] != "permanent"]
    for index, action in enumerate(actions):
        others = [name for name in names if name != action["name"]]
        for place, name in enumerate(action.get("excludes", ())):
            if name not in others:
                words = "must be the name of another action that is variable or accidental"
                yield ("actions", index, "excludes", place), refusal("not_allowed", words, allowed=others)


def accidents_are_actions(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find an accidental situation beside actions, whose combinations say what it is, or beside load models."""
    if "actions" in request and request.get("use", {}).get("situation") == "accidental":
        words = "must be left out beside actions: give the accident as an action of kind accidental"
        yield ("use", "situation"), refusal("conflict", words, fields=["actions"])
    elif request.get("loads_from") and request.get("use", {}).get("situation") == "accidental":
        words = "must be left out beside loads_from: a load model gives what acts all the time, and no accident"
        yield ("use", "situation"), refusal("conflict", words, fields=["loads_from"])


def drilled_upwards_under_a_slab(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find holes that are said not to be drilled upwards, for a thing that its load model has under a slab."""
    if request.get("use", {}).get("overhead", True):
        return
    for source in request.get("loads_from", ()):
        if under_a_slab(source["load_model"], words_told(source)):
            words = f"must be true or left out: {source['load_model']} hangs under a slab, where holes go upwards"
            yield ("use", "overhead"), refusal("conflict", words, fields=["loads_from"])
            return


def _below_the_floor_mm(source: Mapping[str, Any]) -> float | None:
    """How much lower than the floor a post was told to be fixed (mm); None where nobody said."""
    told = source.get("told", ())
    return next((one["number"] for one in told if one["input"] == BELOW_THE_FLOOR and "number" in one), None)


def edges_of_a_face(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a post on the front face of a slab without the edges above and below it, or higher than the floor told.

    A face ends above and below. What earlier as-built checks found of an edge was measured, and may stand.

    Args:
        request: The request.

    Yields:
        Place and message.
    """
    edges = request["member"].get("edges", {})
    for source in request.get("loads_from", ()):
        if not on_a_face(source["load_model"], words_told(source)):
            continue
        for edge, where in (("y_plus_mm", "an upper"), ("y_minus_mm", "a lower")):
            if edge not in edges:
                words = f"must be given: the post is fixed to the front face of a slab, which has {where} edge"
                yield ("member", "edges", edge), refusal("required", words, fields=["loads_from"])
        below_mm = _below_the_floor_mm(source)
        if below_mm is not None and edges.get("y_plus_mm", 0.0) > below_mm and "built" not in request:
            words = (
                f"must be at most {below_mm:g}, as far as the origin was told to lie below the floor: concrete that "
                "reaches higher is not counted"
            )
            yield ("member", "edges", "y_plus_mm"), refusal("above_maximum", words, maximum=below_mm)
        return


def floor_over_a_topping_that_comes_off(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a post on a topping that comes off, whose foot was not told to lie so much lower than the floor.

    Args:
        request: The request.

    Yields:
        Place and message.
    """
    topping = request["member"].get("topping", {})
    lower_mm = topping.get("thickness_mm", 0.0) if topping.get("comes_off") else 0.0
    for source in request.get("loads_from", ()):
        below_mm = _below_the_floor_mm(source) or 0.0
        if stands_on_a_floor(source["load_model"], words_told(source)) and below_mm < lower_mm:
            words = (
                f"must be at most {below_mm:g}, as far as the concrete was told to lie below the floor "
                f"({BELOW_THE_FLOOR}): where a topping comes off, the post stands so much lower"
            )
            yield ("member", "topping", "thickness_mm"), refusal("above_maximum", words, maximum=below_mm)
            return


def bars_that_hold_cracks(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find splitting cracks that are said to be held by bars that nobody tells, or that stand too far apart for it.

    Args:
        request: The request.

    Yields:
        Place and message.
    """
    bars, place = request["member"].get("reinforcement", {}), ("member", "reinforcement")
    if not isinstance(bars, Mapping):
        return
    spacing_mm, diameter_mm = bars.get("spacing_mm"), bars.get("diameter_mm")
    if spacing_mm is not None and diameter_mm is not None and spacing_mm <= diameter_mm:
        words = f"must be more than the {diameter_mm:g} mm that the bars are thick"
        yield (*place, "spacing_mm"), refusal("conflict", words, fields=["diameter_mm"])
    if not bars.get(HOLDS_CRACKS):
        return
    for name in ("spacing_mm", "diameter_mm"):
        if name not in bars:
            words = f"must be given with {HOLDS_CRACKS}: bars that nobody knows are not shown to hold a crack"
            yield (*place, name), refusal("required", words, fields=[HOLDS_CRACKS])
    if spacing_mm is not None and spacing_mm > HOLDING_APART_MM:
        words = f"must be at most {HOLDING_APART_MM:g}, or the bars hold no crack to 0.3 mm"
        yield (*place, "spacing_mm"), refusal("above_maximum", words, maximum=HOLDING_APART_MM)


def words_told(source: Mapping[str, Any]) -> dict[str, str]:
    """Gather the words that a load model was told or took.

    Args:
        source: One of `loads_from`.

    Returns:
        The words by input.
    """
    return {one["input"]: one["word"] for one in source.get("told", ()) if "word" in one}


def several_models_act_together(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find load cases beside several things: each case is one alone, and the sheet would say that all hang there."""
    told_of = [index for index, source in enumerate(request.get("loads_from", ())) if source.get("told")]
    if "load_cases" in request and len(told_of) > 1:
        words = (
            "must name one load model beside load_cases, which are alternatives and never added: give the actions of "
            "all of them in actions, and they count together"
        )
        yield ("loads_from", told_of[1]), refusal("conflict", words, fields=["load_cases"])


@told(
    "RecordedLoadCase",
    kind=(left_out("kind"), holding(kind="design"), given("permanent_share")),
    permanent_share=(left_out("permanent_share"), given("kind") | holding(kind="characteristic")),
)
def permanent_share_fits_the_kind(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a characteristic load case without its permanent share, or a design one with it."""
    for index, case in enumerate(request.get("load_cases", ())):
        characteristic = case.get("kind") == "characteristic"
        if characteristic and "permanent_share" not in case:
            message = refusal("required", "must be given where kind is characteristic", fields=["kind"])
            yield ("load_cases", index, "permanent_share"), message
        if not characteristic and "permanent_share" in case:
            message = refusal("conflict", "must be left out where kind is design", fields=["kind"])
            yield ("load_cases", index, "permanent_share"), message


@told(
    "VerificationRequest",
    site_test=(left_out("site_test"), given("base_material")),
    base_material=(left_out("base_material"), given("site_test")),
)
def base_material_goes_with_tests(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find tests without the words of this base material, or the words without tests."""
    if "site_test" in request and "base_material" not in request:
        words = "must be given with a site_test: say in the words of the tests what this fixing is set in"
        yield ("base_material",), refusal("required", words, fields=["site_test"])
    if "base_material" in request and "site_test" not in request:
        words = "must be left out without a site_test: the method covers concrete only, which member describes"
        yield ("base_material",), refusal("conflict", words, fields=["site_test"])


OF_SOUND_WORK = (
    "hole_cleaned", "head_seated", "sleeve_expanded", "mark_shows", "set_within_working_time", "resin_filled",
)  # fmt: skip
"""What was looked at of the work, and has to be so."""


def found_sound(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find work that earlier checks found wrong: a verification would not say so, and no record keeps it."""
    for name in OF_SOUND_WORK:
        if request.get("built", {}).get(name) is False:
            words = "must be true or left out: work that was found wrong is for an as-built check to judge"
            yield ("built", name), refusal("conflict", words, fields=["built"])


def missing_were_there(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fasteners that are said to be missing and never were there: numbers beyond the standing and the missing."""
    missing = request.get("built", {}).get("missing_numbers", ())
    every = len(request["positions"]) + len(missing)
    for index, number in enumerate(missing):
        if number > every:
            words = f"there were fasteners 1 to {every}, with those that are missing"
            yield ("built", "missing_numbers", index), refusal("no_such_fastener", words, fasteners=every)


def named_stand(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find fasteners that earlier checks are said to have found something of, and that the request does not have."""
    built = request.get("built", {})
    every = len(request["positions"]) + len(built.get("missing_numbers", ()))
    standing = set(range(1, every + 1)) - set(built.get("missing_numbers", ()))
    places = [
        *((("to_set_numbers", index), number) for index, number in enumerate(built.get("to_set_numbers", ()))),
        *(
            ((field, index, "number"), one["number"])
            for field in ("moved_from", "other_lengths")
            for index, one in enumerate(built.get(field, ()))
        ),
    ]
    for place, number in places:
        if number not in standing:
            words = "must be one of the fasteners that positions has"
            yield ("built", *place), refusal("no_such_fastener", words, fasteners=len(request["positions"]))


# Under a field that is always there.
@told("SizingRequest", fixture=(only("positions", "pattern"), only("pattern", "positions")))
def positions_or_pattern(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a sizing with both positions and pattern, or with neither."""
    yield from just_one(request, "positions", "pattern")


def spacings_for_several_rows(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find several rows without a spacing to set them at."""
    for name, axis in request.get("pattern", {}).items():
        if max(axis["counts"]) > 1 and "spacings_mm" not in axis:
            words = "must be given where a count is above 1"
            yield ("pattern", name, "spacings_mm"), refusal("required", words, fields=["counts"])


OF_THE_LOADS: tuple[Rule, ...] = (
    drilled_upwards_under_a_slab,
    several_models_act_together,
    edges_of_a_face,
    floor_over_a_topping_that_comes_off,
)
"""For what load models in `loads_from` say beside the rest."""
OF_NEW_REQUESTS: tuple[Rule, ...] = (*OF_THE_LOADS, washer_below_levelling_grout, bars_that_hold_cracks)
"""A record that breaks them replays."""
OF_A_FIXING: tuple[Rule, ...] = (
    strength_given_once, edges_apart, positions_apart, positions_on_the_member, positions_in_the_fixture,
    neighbours_on_the_member, neighbours_described,
    section_in_the_fixture, thickness_where_there_is_a_gap, washer_on_the_concrete, load_cases_or_actions,
    names_differ, some_load, some_action, fields_of_the_kind, excluded_actions_are_there, accidents_are_actions,
)  # fmt: skip
"""For what verification and sizing both ask."""
OF_A_VERIFICATION: tuple[Rule, ...] = (*OF_A_FIXING, base_material_goes_with_tests, missing_were_there, named_stand)
OF_A_SIZING: tuple[Rule, ...] = (*OF_A_FIXING, *OF_NEW_REQUESTS, positions_or_pattern, spacings_for_several_rows)
