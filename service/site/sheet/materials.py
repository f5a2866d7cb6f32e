"""The bill of materials of all fixings of a sheet, and how long the crew works; amounts only round up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from service.site.holes.loosened import comes_off
from service.site.sheet.content import Figure, Material, Share, derived, total
from service.site.sheet.resin import Filling, Temperatures
from service.site.sheet.source import INSTALLATION, Source
from service.site.sheet.tightening import grout_is_open
from service.site.sheet.wording import Wording
from service.site.sheet.work import INNER_THREAD, Work
from service.words.units import up

Key = TypeVar("Key")
ROD = "threaded_rod"
MM3_PER_LITRE = 1e6
TENTHS = 10
"""Litres are told up to the next tenth."""


@dataclass(frozen=True)
class Part:
    """One fixing of the sheet with its number and how many of it are made."""

    number: int
    work: Work
    count: Figure
    working: Figure | None = None
    """The working time of its resin, the shortest where no temperature is given; None without resin."""

    @property
    def fasteners(self) -> Figure:
        """Fasteners of one fixing that are still to be set."""
        return self.work.progress.number_to_set

    @property
    def all_fasteners(self) -> Figure:
        """Fasteners of all that are made of it."""
        value = self.count.number * self.fasteners.number
        return derived("fasteners", "count", value, "{} * {}", self.count, self.fasteners)


def materials(parts: tuple[Part, ...]) -> tuple[Material, ...]:
    """List what is needed for all fixings together.

    Args:
        parts: The fixings, all under one rulebook.

    Returns:
        Fasteners with spares, what is screwed on or into them, bits, tools of their own, resin cartridges, nozzles,
        brushes and grout, that for aborted holes too.
    """
    to_set = tuple(part for part in parts if part.work.progress.to_set)
    return (
        *_fasteners(to_set),
        *_bolts(to_set),
        *_nuts_on_rods(to_set),
        *_nuts(to_set),
        *_bits(to_set),
        *_filling_washers(to_set),
        *_spanning_washers(to_set),
        *_setting_tools(to_set),
        *_resin(to_set),
        *_brushes(to_set),
        *_undercutting_tools(to_set),
        *_grout(tuple(part for part in parts if grout_is_open(part.work))),
        *_grout_for_holes(to_set),
        *_grout_for_open_holes(parts),
    )


def minutes_of(part: Part) -> Figure:
    """Reckon the working time of a fixing, all that are made of it; curing is no working time.

    Args:
        part: The fixing.

    Returns:
        The time (min).
    """
    source, path = part.work.source, f"{INSTALLATION}#/working_time"
    once = source.rule("per_fixing_minutes", "min", f"{path}/per_fixing_minutes")
    each = [
        source.rule(name, "min", f"{path}/per_fastener/{source.mechanism}/{name}")
        for name in ("drill_minutes", "clean_minutes", "set_minutes", "tighten_minutes")
    ]
    sum_of_steps = sum(figure.number for figure in each)
    of = (part.count, once, part.fasteners, *each)
    value = part.count.number * (once.number + part.fasteners.number * sum_of_steps)
    template = "{} * ({} + {} * ({} + {} + {} + {}))"
    if source.overhead and not part.work.cast_in:
        factor = source.rule("overhead_factor", "1", f"{path}/overhead_factor")
        value, template, of = value * factor.number, template + " * {}", (*of, factor)
    return derived("working_time_minutes", "min", up(value), f"ceil({template})", *of)


def _groups(parts: Iterable[Part], key: Callable[[Part], Key | None]) -> Iterator[tuple[Key, tuple[Part, ...]]]:
    found: dict[Key, list[Part]] = {}
    for part in parts:
        name = key(part)
        if name is not None:
            found.setdefault(name, []).append(part)
    for name, members in found.items():
        yield name, tuple(members)


def _numbers(parts: tuple[Part, ...]) -> tuple[int, ...]:
    return tuple(part.number for part in parts)


def _shares(parts: tuple[Part, ...]) -> tuple[Share, ...]:
    return tuple(Share(part.number, part.fasteners) for part in parts)


def _needed(parts: tuple[Part, ...]) -> Figure:
    return total("fasteners", "count", tuple(part.all_fasteners for part in parts))


def _source(parts: tuple[Part, ...]) -> Source:
    return parts[0].work.source


def _words(parts: tuple[Part, ...]) -> Wording:
    return parts[0].work.words


def _article(part: Part) -> str:
    return str(part.work.source.answer["fastener"]["article_code"])


def _spares(members: tuple[Part, ...]) -> Figure:
    """Spares of an article: each is a hole that is drilled, and filled, a second time."""
    source, path = _source(members), f"{INSTALLATION}#/spares"
    needed = _needed(members)
    share = source.rule("spares_share", "1", f"{path}/share")
    fewest = source.rule("fewest_spares", "count", f"{path}/fewest")
    value = max(fewest.number, up(needed.number * share.number))
    return derived("spares", "count", value, "max({}, ceil({} * {}))", fewest, needed, share)


def _with_spares(parts: tuple[Part, ...]) -> Figure:
    """Fasteners of the fixings and the spares of their articles."""
    spares = (_spares(members) for _, members in _groups(parts, _article))
    return total("fasteners_with_spares", "count", (_needed(parts), *spares))


def _fasteners(parts: tuple[Part, ...]) -> Iterator[Material]:
    for code, members in _groups(parts, _article):
        quantity = _with_spares(members)
        chosen, say = _source(members).answer["fastener"], _words(members).say
        bought = {"title": chosen["title"], "size": chosen["size"], "length": members[0].work.length}
        title = (
            say("{title}, size {size}, {length} long after welding, spares included", **bought)
            if members[0].work.cast_in
            else say("{title}, size {size}, {length} long, spares included", **bought)
        )
        yield Material("fastener", title, code, quantity, _numbers(members), _shares(members))


def _bits(parts: tuple[Part, ...]) -> Iterator[Material]:
    drilled = tuple(part for part in parts if part.work.hole_diameter is not None)
    for _, members in _groups(drilled, lambda part: _diameter(part).number):
        per_bit = _source(members).rule("holes_per_bit", "count", f"{INSTALLATION}#/bits/holes_per_bit")
        needed = _with_spares(members)
        quantity = derived("bits", "count", up(needed.number / per_bit.number), "ceil({} / {})", needed, per_bit)
        title = _words(members).say(
            "Drill bit Ø{diameter}, working length more than {length}, as the depth stop takes room",
            diameter=_diameter(members[0]),
            length=_deepest(members),
        )
        yield Material("bit", title, None, quantity, _numbers(members))


def _diameter(part: Part) -> Figure:
    if part.work.hole_diameter is None:
        raise ValueError("what is cast in has no hole")
    return part.work.hole_diameter


def _deepest(members: tuple[Part, ...]) -> Figure:
    """The longest way to the bottom of a hole, through what it is drilled through: bit, brush and hose all go it."""
    return max((p.work.stop for p in members if p.work.stop is not None), key=lambda figure: figure.number)


def _bonded(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    return tuple(part for part in parts if part.work.source.mechanism == "bonded")


def _resin(parts: tuple[Part, ...]) -> Iterator[Material]:
    for _, members in _groups(_bonded(parts), lambda part: part.work.source.selection.family_id):
        source, path = _source(members), f"{INSTALLATION}#/resin"
        family = source.selection.family["title"]
        cartridge = source.rule("cartridge_ml", "ml", f"{path}/cartridge_ml")
        nozzles = source.rule("nozzles_per_cartridge", "count", f"{path}/nozzles_per_cartridge")
        discarded = source.rule("discarded_ml", "ml", f"{path}/discarded_ml")
        volume, by_time = _volume(source, members), _nozzles_by_time(members)
        # Each nozzle's first strokes come out of the cartridges too, whichever number of nozzles it comes to.
        count = max(
            up(volume.number / (cartridge.number - nozzles.number * discarded.number)),
            up((volume.number + by_time.number * discarded.number) / cartridge.number),
        )
        template, loss = "max(ceil({} / ({} - {} * {})), ceil(({} + {} * {}) / {}))", (volume, by_time, discarded)
        quantity = derived("cartridges", "count", count, template, volume, cartridge, nozzles, discarded, *loss,
                           cartridge)  # fmt: skip
        fitted = max(quantity.number * nozzles.number, by_time.number)
        needed = derived("nozzles", "count", fitted, "max({} * {}, {})", quantity, nozzles, by_time)
        thrown = derived("thrown_away_ml", "ml", needed.number * discarded.number, "{} * {}", needed, discarded)
        title = _words(members).say(
            "Cartridge of {cartridge}; resin for: {family}; for {all}: {net} in the holes and those of spares, "
            "{wastage} for wastage, and {thrown} for the first {discarded} of each nozzle, which are thrown away",
            cartridge=cartridge,
            family=family,
            all=total("resin_in_all_ml", "ml", (volume, thrown)),
            net=volume.of[0],
            wastage=derived("wastage_ml", "ml", volume.number - volume.of[0].number, "{} - {}", volume, volume.of[0]),
            thrown=thrown,
            discarded=discarded,
        )
        yield Material("resin_cartridge", title, None, quantity, _numbers(members))
        yield Material("mixing_nozzle", _nozzle(members, family), None, needed, _numbers(members))


def _nozzles_by_time(members: tuple[Part, ...]) -> Figure:
    """Nozzles for as many rods each as are set within the working time, one at least: then it hardens in the nozzle."""
    source = _source(members)
    setting = source.rule("set_minutes", "min", f"{INSTALLATION}#/working_time/per_fastener/bonded/set_minutes")
    holes = _with_spares(members)
    working = min((part.working for part in members if part.working is not None), key=lambda figure: figure.number)
    value = up(holes.number / max(1, working.number // setting.number))
    return derived("nozzles_by_time", "count", value, "ceil({} / max(1, floor({} / {})))", holes, working, setting)


def _nozzle(members: tuple[Part, ...], family: str) -> str:
    words = _words(members)
    if any(Filling(part.work, Temperatures()).needs_hose for part in members):
        return words.say(
            "Mixing nozzle, with piston plug and an extension hose longer than {length}; for the resin of: {family}",
            length=_deepest(members),
            family=family,
        )
    return words.say("Mixing nozzle for the resin of: {family}", family=family)


def _volume(source: Source, members: tuple[Part, ...]) -> Figure:
    """Resin for the holes of the fixings and for those of the spares."""
    wastage = source.rule("wastage_share", "1", f"{INSTALLATION}#/resin/wastage_share")
    net = [_millilitres(part.all_fasteners, _of_a_hole(part)) for part in members]
    for _, of_article in _groups(members, _article):
        largest = max((_of_a_hole(part) for part in of_article), key=lambda figure: figure.number)
        net.append(_millilitres(_spares(of_article), largest))
    needed = total("resin_ml", "ml", tuple(net))
    value = up(needed.number * (1 + wastage.number))
    return derived("resin_with_wastage_ml", "ml", value, "ceil({} * (1 + {}))", needed, wastage)


def _of_a_hole(part: Part) -> Figure:
    """Resin of a hole in full strokes, as the crew fills it; its volume where the release names no stroke."""
    source, volume = part.work.source, Filling(part.work, Temperatures()).volume
    stroke = source.rule_if_there("stroke_ml", "ml", f"{INSTALLATION}#/resin/stroke_ml")
    if stroke is None:
        return volume
    value = up(volume.number / stroke.number) * stroke.number
    return derived("resin_in_full_strokes_ml", "ml", value, "ceil({} / {}) * {}", volume, stroke, stroke)


def _millilitres(holes: Figure, of_a_hole: Figure) -> Figure:
    return derived("resin_ml", "ml", holes.number * of_a_hole.number, "{} * {}", holes, of_a_hole)


def _size(part: Part) -> str:
    return str(part.work.source.answer["fastener"]["size"])


def _bolts(parts: tuple[Part, ...]) -> Iterator[Material]:
    """What is screwed into sleeves: of the steel that was verified, and long enough for fixture and thread."""
    sleeves = tuple(part for part in parts if part.work.form in INNER_THREAD)
    for (size, _), members in _groups(sleeves, lambda part: (_size(part), part.work.clamped.number)):
        title = _bolt(members[0], size)
        yield Material("bolt", title, None, _with_spares(members), _numbers(members), _shares(members))


def _bolt(part: Part, size: str) -> str:
    work, words = part.work, part.work.words
    least, most = work.bolt_lengths
    if least is None or most is None:
        return words.say(
            "Bolt, or rod with nut, {size}, of property class {grade} or higher, each with a washer; long enough for "
            "{clamped} and for how far the assessment has it screwed in",
            size=size,
            grade=work.bolt_grade,
            clamped=work.clamped,
        )
    return words.say(
        "Bolt, or rod with nut, {size}, of property class {grade} or higher, {least} to {most} long under the head "
        "besides its washer",
        size=size,
        grade=work.bolt_grade,
        least=least,
        most=most,
    )


def _nuts_on_rods(parts: tuple[Part, ...]) -> Iterator[Material]:
    """A nut and washer for each rod, spares included: a rod that is set with resin comes without; and what locks it."""
    rods = tuple(part for part in parts if part.work.form == ROD)
    yield from _one_each(
        "nut_and_washer",
        tuple(part for part in rods if not part.work.second_nut),
        lambda words, size: words.say("Nut and washer {size}, of the steel and strength of the rods", size=size),
    )
    yield from _one_each(
        "nut_and_washer",
        tuple(part for part in rods if part.work.second_nut),
        lambda words, size: words.say(
            "Nut and washer {size}, and a second nut that locks it, of the steel and strength of the rods", size=size
        ),
    )
    glued = tuple(part for part in rods if part.work.bare and not part.work.second_nut)
    for size, members in _groups(glued, _size):
        one = Figure("adhesives", 1, "count", expression="1")
        title = _words(members).say(
            "Thread-locking adhesive for {size}, for the steel of the rods, within its shelf life", size=size
        )
        yield Material("thread_adhesive", title, None, one, _numbers(members))


def _nuts(parts: tuple[Part, ...]) -> Iterator[Material]:
    """Nuts and washers behind a fixture that stands off, beside those outside it, spares included."""
    raised = tuple(part for part in parts if part.work.stand_off is not None and not part.work.cast_in)
    for size, members in _groups(raised, _size):
        lies = tuple(part for part in members if part.work.lies_on_nuts)
        clamped = tuple(part for part in members if part.work.washer_clamped)
        if lies or clamped:
            title = _words(members).say(
                "Nut and washer {size} between concrete and fixture, besides those outside it, spares included",
                size=size,
            )
            counts = tuple(_with_spares(parts_of) for parts_of in (lies, clamped) if parts_of)
            quantity = total("nuts_behind", "count", counts)
            yield Material("nut_and_washer", title, None, quantity, _numbers(members))


def _filling_washers(parts: tuple[Part, ...]) -> Iterator[Material]:
    """What fills the gap between a fastener and its hole in the fixture, spares included."""
    filled = tuple(part for part in parts if part.work.holes_filled)
    for (size, thickness), members in _groups(filled, _washer):
        title = _words(members).say(
            "Filling washer {size}, no thicker than {thickness}, with mortar for the gap in the fixture, as the "
            "assessment names them",
            size=size,
            thickness=thickness,
        )
        shares = tuple(
            Share(part.number, total("filled", "count", (part.fasteners, *_filled_again(part)))) for part in members
        )
        yield Material("filling_washer", title, None, _to_fill(members), _numbers(members), shares)


def _to_fill(parts: tuple[Part, ...]) -> Figure:
    """Washers for what is set, with spares, and for what stands where its fixture comes off: its mortar breaks."""
    # A sheet of what was checked as built is of one fixing only.
    again = tuple(figure for part in parts for figure in _filled_again(part))
    return total("filling_washers", "count", (_with_spares(parts), *again))


def _filled_again(part: Part) -> tuple[Figure, ...]:
    """Those that stand, where their fixture comes off."""
    if not comes_off(part.work.source.request, part.work.source.selection):
        return ()
    standing = len(part.work.progress.standing)
    return (Figure("washers_again", standing, "count", expression=str(standing)),)


def _spanning_washers(parts: tuple[Part, ...]) -> Iterator[Material]:
    """What lies over a wide hole in the fixture, one for each fastener, spares included."""
    wide = tuple(part for part in parts if part.work.holes_to_span)
    for (size, thickness, _), members in _groups(wide, lambda part: (*_washer(part), _widest_hole(part))):
        holes = [part.work.clearance_hole for part in members]
        known = [hole for hole in holes if hole is not None]
        if len(known) == len(holes):
            title = _words(members).say(
                "Washer {size} that spans a hole of Ø{diameter} in the fixture, no thicker than {thickness}, as the "
                "engineer names it, in place of the common one",
                size=size,
                diameter=max(known, key=lambda figure: figure.number),
                thickness=thickness,
            )
        else:
            title = _words(members).say(
                "Washer {size} that spans the wide or slotted holes of the fixture, measured before it is ordered and "
                "no wider than {most}; the washer no thicker than {thickness}, as the engineer names it, in place of "
                "the common one",
                size=size,
                most=_widest_hole(members[0]),
                thickness=thickness,
            )
        yield Material("spanning_washer", title, None, _with_spares(members), _numbers(members), _shares(members))


def _washer(part: Part) -> tuple[str, str]:
    """Size of a fastener, and how thick a washer over its hole may be, in words."""
    return _size(part), "" if part.work.washer is None else part.work.words.text(part.work.washer)


def _widest_hole(part: Part) -> str:
    """The widest hole that a washer may span under its head or nut, in words."""
    return "" if part.work.widest_hole is None else part.work.words.text(part.work.widest_hole)


def _one_each(kind: str, parts: tuple[Part, ...], title: Callable[[Wording, str], str]) -> Iterator[Material]:
    """One for each fastener of a size, spares included."""
    for size, members in _groups(parts, _size):
        named = title(_words(members), size)
        yield Material(kind, named, None, _with_spares(members), _numbers(members), _shares(members))


def _grout(parts: tuple[Part, ...]) -> Iterator[Material]:
    for part in parts:
        grout = part.work.grout
        if grout is None:
            continue
        yield Material("grout", _grout_title(part, grout), None, part.count, (part.number,))


def _grout_title(part: Part, height: Figure) -> str:
    fixture, strength, words = part.work.source.request["fixture"], part.work.grout_strength, part.work.words
    width, depth = fixture["width_mm"], fixture["depth_mm"]
    litres = up(TENTHS * width * depth * height.number / MM3_PER_LITRE) / TENTHS
    if strength is None:
        return words.say(
            "Grout for a gap of {width} mm by {depth} mm, {height} high: {litres} litres, and what runs out beside it",
            width=width,
            depth=depth,
            height=height,
            litres=litres,
        )
    return words.say(
        "Grout for a gap of {width} mm by {depth} mm, {height} high: {litres} litres, and what runs out beside it; of "
        "at least {strength} when hardened",
        width=width,
        depth=depth,
        height=height,
        litres=litres,
        strength=strength,
    )


def _grout_for_holes(parts: tuple[Part, ...]) -> Iterator[Material]:
    """High-strength grout for as many aborted holes as there are spares."""
    drilled = tuple(part for part in parts if not part.work.cast_in)
    if not drilled:
        return
    spares = total("spares", "count", tuple(_spares(members) for _, members in _groups(drilled, _article)))
    title = _words(drilled).say("High-strength grout for one aborted hole; as many holes as there are spares")
    yield Material("grout_for_holes", title, None, spares, _numbers(drilled))


def _grout_for_open_holes(parts: tuple[Part, ...]) -> Iterator[Material]:
    """High-strength grout for the aborted holes that nobody has filled yet."""
    for part in parts:
        count = sum(not hole.refilled for hole in part.work.source.fixing.built.aborted_holes)
        if count:
            title = part.work.words.say("High-strength grout for one aborted hole that is still to be filled")
            quantity = Figure("open_holes", count, "count", expression=str(count))
            yield Material("grout_for_holes", title, None, quantity, (part.number,))


def _setting_tools(parts: tuple[Part, ...]) -> Iterator[Material]:
    sleeves = tuple(part for part in parts if part.work.source.mechanism == "deformation_controlled_expansion")
    for _, members in _groups(sleeves, _article):
        one = Figure("setting_tools", 1, "count", expression="1")
        chosen = _source(members).answer["fastener"]
        title = _words(members).say(
            "Setting tool for: {title}, size {size}", title=chosen["title"], size=chosen["size"]
        )
        yield Material("setting_tool", title, None, one, _numbers(members))


def _brushes(parts: tuple[Part, ...]) -> Iterator[Material]:
    brushed = tuple(part for part in parts if part.work.brushed)
    for _, members in _groups(brushed, lambda part: _diameter(part).number):
        one = Figure("brushes", 1, "count", expression="1")
        title = _words(members).say(
            "Brush for a hole of Ø{diameter}, its shaft longer than {length}",
            diameter=_diameter(members[0]),
            length=_deepest(members),
        )
        yield Material("brush", title, None, one, _numbers(members))


def _undercutting_tools(parts: tuple[Part, ...]) -> Iterator[Material]:
    undercut = tuple(part for part in parts if part.work.source.mechanism == "undercut")
    for size, members in _groups(undercut, _size):
        one = Figure("undercutting_tools", 1, "count", expression="1")
        title = _words(members).say(
            "Undercutting tool for {size} in a hole of Ø{diameter}, as its assessment names it",
            size=size,
            diameter=_diameter(members[0]),
        )
        yield Material("undercutting_tool", title, None, one, _numbers(members))
