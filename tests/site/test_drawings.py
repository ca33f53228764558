"""The handbook's drawings: words for who cannot see them, room for their text, and circuits that are right."""

import itertools
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from calc.render.markup import Markup
from calc.result import Figure
from scripts.drawings import by_topic, draw, load, names, ruled, trees
from scripts.drawings.board import Board

SITE = Path(__file__).resolve().parents[2] / "site"
DRAWINGS = names()
BOARDS = [name for name in DRAWINGS if isinstance(load(name).picture, Board)]
CHARTS = [name for name in DRAWINGS if isinstance(load(name).picture, ruled.Chart)]
CURVES = [name for name in DRAWINGS if isinstance(load(name).picture, Figure) and name not in CHARTS]
SIZE = 12.5
SVG = "{http://www.w3.org/2000/svg}"


# ---- what a page gets ----


def parsed(name, id="one"):
    # The page's HTML is XML too here, once its namespace is said and its one named space is not there.
    return ElementTree.fromstring(str(draw(name, id)).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_has_words_for_who_cannot_see_it(name):
    picture = parsed(name).find(f".//{SVG}svg")
    title, description = picture.find(f"{SVG}title"), picture.find(f"{SVG}desc")
    assert picture.get("role") == "img"
    named = f"{picture.get('aria-labelledby')} {picture.get('aria-describedby') or ''}".split()
    assert {title.get("id"), description.get("id")} == set(named)
    assert 2 <= len(title.text.split()) <= 14
    assert len(description.text.split()) >= 25, "too few words to replace a picture"
    assert description.text.endswith(".") and "{" not in description.text
    caption = "".join(parsed(name).find("figcaption").itertext())
    assert len(caption.split()) >= 12 and "{" not in caption
    assert all(len(sentence.split()) <= 25 for sentence in re.split(r"[.?!](?=\s)", caption))


@pytest.mark.parametrize("name", DRAWINGS)
def test_a_drawing_has_no_style_and_loads_nothing(name):
    for element in parsed(name).iter():
        assert "style" not in element.attrib and not element.tag.endswith(("style", "script", "image", "foreignObject"))
        assert not any(key.endswith("href") or "url(" in value for key, value in element.attrib.items())
        assert not {"width", "height"} & set(element.attrib) or not element.tag.endswith("svg")


@pytest.mark.parametrize("name", DRAWINGS)
def test_ids_are_its_own(name):
    first, second = ([e.get("id") for e in parsed(name, id).iter() if e.get("id")] for id in ("one", "two"))
    assert len(first) == len(set(first)) and not set(first) & set(second)


def test_the_same_drawing_gives_the_same_bytes():
    before = {name: str(draw(name, "x")) for name in DRAWINGS}
    load.cache_clear()
    assert {name: str(draw(name, "x")) for name in DRAWINGS} == before
    assert not any(re.search(r"\d\.\d{3}", text.split("<details")[0].split("</desc>")[1]) for text in before.values())


# ---- room for the text ----


def width(words, strong=False):
    """About what a line of the drawing's text takes: after a wide face, so that narrower ones fit too."""
    share = {**dict.fromkeys("iljI|!'", 0.29), **dict.fromkeys(" .,:;", 0.32), **dict.fromkeys("frt()[]-/", 0.39), **dict.fromkeys("mwMW%@—", 0.93), **dict.fromkeys("aceszxvky", 0.58)}
    return SIZE * (1.12 if strong else 1) * sum(share.get(sign, 0.64) for sign in words)


def boxes_of_text(picture):
    for element in picture.iter(f"{SVG}text"):
        x, y, long = float(element.get("x")), float(element.get("y")), width(element.text or "", element.get("class") in ("strong", "mark-name"))
        left = {"start": x, "middle": x - long / 2, "end": x - long}[element.get("text-anchor", "start")]
        yield element.text, (left, y - 10, left + long, y + 2.5)


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_text_runs_out_of_the_drawing(name):
    picture = parsed(name).find(f".//{SVG}svg")
    _, _, right, floor = map(float, picture.get("viewBox").split())
    assert right == 320
    for words, (x1, y1, x2, y2) in boxes_of_text(picture):
        assert x1 >= -1 and y1 >= -1 and x2 <= right + 1 and y2 <= floor + 1, words


def overlap(one, other, room=0.0):
    return one[0] < other[2] - room and other[0] < one[2] - room and one[1] < other[3] - room and other[1] < one[3] - room


def stretches(wire):
    for (x1, y1), (x2, y2) in zip(wire.path, wire.path[1:]):
        if (x1, y1) != (x2, y2):
            yield (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


@pytest.mark.parametrize("name", BOARDS)
def test_words_stand_clear_of_words_wires_and_symbols(name):
    board = load(name).picture
    texts = list(boxes_of_text(parsed(name)))
    for (words, box), (others, other) in itertools.combinations(texts, 2):
        assert not overlap(box, other, 0.5), (words, others)
    for words, box in texts:
        for wire in board.wires:
            for stretch in stretches(wire):
                assert not overlap(box, stretch, -0.5), (words, wire.start, wire.end)
        for part in board.parts.values():
            if part.area and part.kind not in BOXES and len(words) > 1:
                assert not overlap(box, part.area, 0.5), (words, part.id)


BOXES = {"frame"} | {part.kind for name in BOARDS for part in load(name).picture.parts.values() if "<rect" in part.drawn}


# ---- wires ----


@pytest.mark.parametrize("name", BOARDS)
def test_wires_run_square_and_touch_only_what_they_join(name):
    """Two wires that share more than a crossing look joined: then they must be."""
    board = load(name).picture
    for wire in board.wires:
        for (x1, y1), (x2, y2) in zip(wire.path, wire.path[1:]):
            assert x1 == x2 or y1 == y2, (wire.start, wire.end)
        assert all(0 <= x <= 320 and 0 <= y <= board.height for x, y in wire.path), (wire.start, wire.end)
    together = voltages(board, only_wires=True)
    for one, other in itertools.combinations(board.wires, 2):
        if together[one.start] == together[other.start]:
            continue
        for a, b in itertools.product(stretches(one), stretches(other)):
            crossing = (a[0] == a[2]) != (b[0] == b[2]) and a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
            at_an_end = crossing and any(place in (*one.path, *other.path) for place in [(max(a[0], b[0]), max(a[1], b[1]))])
            along = (a[0] == a[2]) == (b[0] == b[2]) and a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
            assert not at_an_end and not along, (one.start, one.end, other.start, other.end)


@pytest.mark.parametrize("name", BOARDS)
def test_no_wire_crosses_a_symbol(name):
    board = load(name).picture
    for wire, part in itertools.product(board.wires, board.parts.values()):
        if part.area and part.kind not in ("frame", "unit"):
            for stretch in stretches(wire):
                assert not overlap(stretch, part.area, 1), (wire.start, wire.end, part.id)


@pytest.mark.parametrize("name", BOARDS)
def test_every_terminal_is_wired(name):
    """Save where the drawing is about something left open."""
    board = load(name).picture
    wired = {end for wire in board.wires for end in (wire.start, wire.end)}
    for part in board.parts.values():
        for terminal in part.terminals:
            end = f"{part.id}.{terminal}" if terminal else part.id
            assert end in wired or end in getattr(board, "open", ()), end


def along(markup):
    """Every place that the paths of a symbol come to."""
    places, x, y = [], 0.0, 0.0
    for path in re.findall(r' d="([^"]+)"', markup):
        for step, numbers in re.findall(r"([MLhvl])([-\d. ]+)", path):
            steps = list(map(float, numbers.split()))
            across, down = (steps[0], 0) if step == "h" else (0, steps[0]) if step == "v" else steps
            x, y = (across, down) if step in "ML" else (x + across, y + down)
            places.append((x, y))
    return places


@pytest.mark.parametrize("name", BOARDS)
def test_a_symbols_strokes_reach_its_terminals(name):
    """What schemdraw drew lies between the two places where the wires end."""
    for part in load(name).picture.parts.values():
        if not part.drawn.startswith(("<g class=\"thin\"", "<g class=\"heavy\"")):
            continue
        ends = along(part.drawn)
        for x, y in part.terminals.values():
            assert min(abs(x - a) + abs(y - b) for a, b in ends) < 0.3, (part.id, (x, y))


# ---- circuits ----


def voltages(board, state="", only_wires=False, without=()):
    """Terminal to the number of what it is joined with, by wires and, unless told otherwise, inside parts."""
    group = {}
    for part in board.parts.values():
        for terminal in part.terminals:
            end = f"{part.id}.{terminal}" if terminal else part.id
            group[end] = end

    def root(end):
        while group[end] != end:
            end = group[end]
        return end

    pairs = [(wire.start, wire.end) for wire in board.wires] if only_wires else board.links(state)
    for one, other in pairs:
        if not {one.split(".")[0], other.split(".")[0]} & set(without):
            group[root(one)] = root(other)
    return {end: root(end) for end in group}


def alike(board, one, other, state="", without=()):
    found = voltages(board, state, without=without)
    return found[one] == found[other]


def board(name):
    return load(name).picture


def parts(board, kind):
    return [part.id for part in board.parts.values() if part.kind == kind]


ARRANGEMENTS = {
    # Outlet, the sources that can feed it in each position, and the link each source brings.
    "changeover": {"mains": ("supply", "supply_link"), "off": (None, None), "inverter": ("inverter", "inverter_link")},
    "combined": {"mains": ("supply", "supply_link"), "inverting": ("block", "unit_link")},
}
POSITIONS = [(name, state) for name, states in ARRANGEMENTS.items() for state in states]


@pytest.mark.parametrize("name, state", POSITIONS)
def test_the_outlets_have_one_source_and_both_its_poles(name, state):
    drawn = board(name)
    assert set(drawn.states) == set(ARRANGEMENTS[name])
    source, _ = ARRANGEMENTS[name][state]
    for each in ("supply", "inverter" if name == "changeover" else "block"):
        # In a combined unit the block hangs on the output all the time: with mains it is the charger.
        joined = each == source or (name == "combined" and each == "block")
        assert alike(drawn, f"{each}.line", "outlets.line", state) is joined
        # The neutral is switched with the line: apart from links, it reaches the outlets only from the source in use.
        assert alike(drawn, f"{each}.neutral", "outlets.neutral", state, without=parts(drawn, "link")) is joined


@pytest.mark.parametrize("name, state", POSITIONS)
def test_one_neutral_earth_link_in_each_position(name, state):
    """Taken away one by one: only the source's own link, and no other, joins the outlets' neutral to earth."""
    drawn = board(name)
    _, expected = ARRANGEMENTS[name][state]
    links = parts(drawn, "link")
    assert len(links) == 2
    works = [link for link in links if alike(drawn, "outlets.neutral", "outlets.earth", state, without=[other for other in links if other != link])]
    assert works == ([expected] if expected else [])
    assert not alike(drawn, "outlets.neutral", "outlets.earth", state, without=links)


@pytest.mark.parametrize("name, state", POSITIONS)
def test_line_never_meets_neutral_or_earth_and_earth_is_never_switched(name, state):
    drawn = board(name)
    found = voltages(drawn, state)
    assert found["outlets.line"] not in (found["outlets.neutral"], found["outlets.earth"])
    assert found["outlets.earth"] == found["supply.earth"] == found["chassis"]
    without = voltages(drawn, only_wires=True)
    assert without["outlets.earth"] == without["supply.earth"], "earth runs by wires alone"


@pytest.mark.parametrize("name, state", POSITIONS)
def test_two_sources_never_meet(name, state):
    if name == "changeover":
        drawn = board(name)
        assert not alike(drawn, "supply.line", "inverter.line", state)
        assert not alike(drawn, "supply.neutral", "inverter.neutral", state, without=parts(drawn, "link"))
    elif state == "inverting":
        drawn = board(name)
        assert not alike(drawn, "supply.line", "block.line", state)
        assert not alike(drawn, "supply.neutral", "block.neutral", state, without=parts(drawn, "link"))


def test_the_link_is_ahead_of_the_rcd():
    """Without what the RCD joins, the source in use still has its link, and the outlets have none."""
    for name, state in POSITIONS:
        source, _ = ARRANGEMENTS[name][state]
        if source:
            drawn = board(name)
            assert alike(drawn, f"{source}.neutral", "supply.earth", state, without=["rcd"]), (name, state)
            assert not alike(drawn, "outlets.neutral", "outlets.earth", state, without=["rcd"]), (name, state)
            assert not alike(drawn, f"{source}.line", "outlets.line", state, without=["rcd"]), (name, state)


def test_fault_pictures_differ_by_the_link_alone():
    silent, trips = board("fault-without-link"), board("fault-with-link")
    assert {part for part in trips.parts} - {part for part in silent.parts} == {"link"}
    for drawn, back in ((silent, False), (trips, True)):
        assert alike(drawn, "inverter.line", "inverter.earth"), "the case is live"
        assert alike(drawn, "inverter.earth", "inverter.neutral", without=["element", "touch"]) is back
        # What goes out through the RCD on the line does not come back through it.
        assert alike(drawn, "inverter.earth", "inverter.neutral", without=["element", "touch", "rcd"]) is back
    assert {wire.start for wire in trips.wires if wire.mark} and not any(wire.mark for wire in silent.wires)


def test_the_marked_fault_path_goes_round_beside_the_rcd():
    marked = [(wire.start, wire.end) for wire in board("fault-with-link").wires if wire.mark]
    assert marked == [("inverter.line", "rcd.line_in"), ("rcd.line_out", "live"), ("touch.case", "appliance.case"), ("appliance.case", "inverter.earth")]


BATTERIES = [(name, part) for name in BOARDS for part in parts(board(name), "battery")]
HARMLESS = {"voltmeter", "alternator", "battery", "resistor", "post", "node", "chassis"}
"""May sit between a plus and its fuse: a meter, the vehicle's own alternator, what is inside the battery's case."""


def reached_first(drawn, start):
    """Kinds of parts met first on every way from a terminal, joints passed over."""
    seen, waiting, kinds = {start}, [start], set()
    while waiting:
        end = waiting.pop()
        for wire in drawn.wires:
            for one, other in ((wire.start, wire.end), (wire.end, wire.start)):
                if one == end and other not in seen:
                    seen.add(other)
                    part = drawn.parts[other.split(".")[0]]
                    kinds.add(part.kind)
                    if part.kind in ("node", "post"):
                        waiting.append(other)
                    elif part.id == "inner":  # a battery's own resistance, drawn inside its case
                        waiting.append("inner.b" if other == "inner.a" else "inner.a")
    return kinds


@pytest.mark.parametrize("name, id", [pair for pair in BATTERIES if not pair[1].startswith(("wrong_", "lower"))])
def test_a_fuse_comes_first_after_each_battery(name, id):
    met = reached_first(board(name), f"{id}.plus")
    # In a string in series one fuse, at the top, guards it all.
    assert "fuse" in met, met
    assert met <= HARMLESS | {"fuse"}, met


def test_the_wrong_drawing_is_wrong():
    """The rule above can fail: it does for the fuse drawn at the wrong end."""
    drawn = board("fuse-at-battery")
    assert not alike(drawn, "wrong_battery.plus", "wrong_battery.minus", without=["wrong_fuse", "wrong_chafe"])
    assert alike(drawn, "wrong_battery.plus", "wrong_battery.minus", without=["wrong_fuse"]), "the fault passes by the fuse"
    assert not alike(drawn, "battery.plus", "battery.minus", without=["fuse"]), "here it does not"
    assert {wire.start for wire in drawn.wires if wire.mark} >= {"wrong_battery.plus", "battery.plus"}


def test_no_battery_is_short_circuited():
    for name, id in BATTERIES:
        if name != "fuse-at-battery":
            drawn = board(name)
            loads = [part.id for part in drawn.parts.values() if part.kind in ("resistor", "lamp", "motor")]
            for state in drawn.states:
                assert not alike(drawn, f"{id}.plus", f"{id}.minus", state, without=[part for part in loads if not part.startswith("cable")]), (name, id)


def test_a_cable_between_two_batteries_has_a_fuse_at_both_ends():
    for name, between in (("split-charge", "relay"), ("dc-dc-charge", "charger")):
        drawn = board(name)
        found = voltages(drawn, without=["starter_fuse", "house_fuse", between])
        middle = {found[end] for end in found if end.startswith(between)} - {found.get("signal"), found["chassis"]}
        assert found["starter.plus"] not in middle and found["house.plus"] not in middle
        assert not alike(drawn, "starter.plus", "house.plus", without=["starter_fuse"]) and not alike(drawn, "starter.plus", "house.plus", without=["house_fuse"])


def test_strings_side_by_side_have_a_fuse_each():
    for name in ("parallel-same-end", "parallel-diagonal", "parallel-posts"):
        drawn = board(name)
        fuses = parts(drawn, "fuse")
        assert len(fuses) == len(parts(drawn, "battery")) == 4
        for one, other in itertools.combinations(parts(drawn, "battery"), 2):
            assert alike(drawn, f"{one}.plus", f"{other}.plus")
            assert not alike(drawn, f"{one}.plus", f"{other}.plus", without=fuses)
            assert alike(drawn, f"{one}.minus", f"{other}.minus")


def test_take_offs_are_where_the_words_say():
    def links(name, of, post):
        """Links between a battery and a post, along one rail."""
        drawn = board(name)
        rail = "top" if post == "plus" else "foot"
        steps = {f"{rail}{i}": i for i in range(4)}
        near = next(end for wire in drawn.wires for end in (wire.start, wire.end) if post in (wire.start, wire.end) and end != post)
        return abs(steps[near] - of)

    assert [links("parallel-same-end", i, "plus") + links("parallel-same-end", i, "minus") for i in range(4)] == [0, 2, 4, 6]
    assert [links("parallel-diagonal", i, "plus") + links("parallel-diagonal", i, "minus") for i in range(4)] == [3, 3, 3, 3]


def test_series_adds_up():
    drawn = board("series-bank")
    assert alike(drawn, "lower.plus", "upper.minus") and alike(drawn, "upper.plus", "plus") and alike(drawn, "lower.minus", "minus")


def test_isolators_are_in_the_plus_behind_the_fuse():
    for name in ("plug-in", "supply-path", "isolator-and-fuse", "combined", "millivolts-per-joint", "rest-voltage", "generator-charge"):
        drawn = board(name)
        fuse = "fuse" if "fuse" in drawn.parts else "battery_fuse"
        inverter = "block" if name == "combined" else "inverter"
        assert alike(drawn, "isolator.a", f"{fuse}.b", "closed", without=["cable_out"]), name
        assert not alike(drawn, f"{fuse}.b", f"{inverter}.plus", without=["isolator", "precharge", "button"]), name


def test_the_isolator_of_the_panel_breaks_both_poles():
    drawn = board("solar-charge")
    for pole in ("plus", "minus"):
        assert alike(drawn, f"panel.{pole}", f"controller.panel_{pole}", "closed")
        assert not alike(drawn, f"panel.{pole}", f"controller.panel_{pole}", "closed", without=[f"isolator_{pole}"])


def test_the_charger_hangs_on_the_generator_alone():
    drawn = board("generator-charge")
    assert alike(drawn, "generator.line", "charger.line") and alike(drawn, "generator.neutral", "charger.neutral")
    assert not any(end.startswith("inverter.") and end.split(".")[1] not in ("plus", "minus") for end in voltages(drawn))


def test_back_feeding_is_shown_as_live_pins():
    drawn = board("back-feed")
    assert alike(drawn, "inverter.line", "pin_line") and alike(drawn, "inverter.neutral", "pin_neutral")
    assert "never" in "".join(drawn.extras), "crossed out"


def test_two_inverters_share_the_battery_and_nothing_else():
    drawn = board("two-inverters")
    assert alike(drawn, "small.plus", "large.plus") and alike(drawn, "small.minus", "large.minus")
    for terminal in ("line", "neutral"):
        assert not alike(drawn, f"small.{terminal}", f"large.{terminal}")
    assert not alike(drawn, "small.plus", "large.plus", without=["small_fuse", "large_fuse"])


def test_a_meter_sits_on_the_posts_inside_the_fuse():
    for name in ("two-load-test", "standby-clamp", "rest-voltage"):
        drawn = board(name)
        for meter, pole in (("b", "plus"), ("a", "minus")):
            assert alike(drawn, f"meter.{meter}", f"battery.{pole}", without=["battery_fuse"]), name


def test_a_bridge_turns_both_halves_the_same_way():
    for name in ("rectifier", "capacitor-dropper"):
        drawn = board(name)
        ways = {(drawn.place(f"{id}.a"), drawn.place(f"{id}.b")) for id in parts(drawn, "diode")}
        corner = {key: drawn.place(f"bridge_{key}") for key in ("ac1", "ac2", "plus", "minus")}
        assert ways == {(corner["ac1"], corner["plus"]), (corner["ac2"], corner["plus"]), (corner["minus"], corner["ac1"]), (corner["minus"], corner["ac2"])}


@pytest.mark.parametrize("name", ["plug-in", "changeover", "combined"])
def test_arrangements_say_what_is_licensed(name):
    assert "licensed work" in " ".join(line for words in board(name).words for line in words.lines)
    assert "licensed work" in load(name).caption


# ---- curves against formulas of their own ----


def points(name, series):
    figure = load(name).picture
    return [one for one in figure.series if one.name.startswith(series)][0].points


def test_curves_stay_inside_their_axes_and_differ_by_dash():
    for name in CURVES:
        figure = load(name).picture
        assert len({series.dash for series in figure.series}) == len(figure.series)
        for series in figure.series:
            for x, y in series.points:
                assert figure.x.low <= x <= figure.x.high and figure.y.low <= y <= figure.y.high, (name, series.name, x, y)


def resampled(name, series, count=40_000):
    """The drawn line at evenly spaced times of one period."""
    numpy = pytest.importorskip("numpy")
    times, volts = zip(*points(name, series))
    # A vertical edge is two points at one time: a hair apart, so that it can be interpolated.
    times = numpy.array(times) + numpy.arange(len(times)) * 1e-9
    middle = (numpy.arange(count) + 0.5) * 20.0 / count
    return numpy.interp(middle, times, volts)


@pytest.mark.parametrize("wave", ["sine", "stepped", "square"])
def test_the_three_waves_have_one_heating_value(wave):
    numpy = pytest.importorskip("numpy")
    # A sine drawn with 48 chords lies a little inside: within half a percent.
    assert numpy.sqrt(numpy.mean(resampled("three-waves", wave) ** 2)) == pytest.approx(230.0, rel=5e-3)


@pytest.mark.parametrize("wave", ["stepped", "square"])
def test_the_spectra_are_those_of_the_drawn_waves(wave):
    numpy = pytest.importorskip("numpy")
    spectrum = numpy.abs(numpy.fft.rfft(resampled("three-waves", wave)))
    for place, share in points("three-spectra", wave):
        order = 2 * int(place) - 1
        assert share == pytest.approx(100 * spectrum[order] / spectrum[1], abs=0.05), order


def test_a_sine_has_no_harmonics():
    assert points("three-spectra", "sine") == ((1, 100.0), *((place, 0.0) for place in range(2, 8)))


def test_drop_by_voltage_solves_the_loop():
    """The point where the cable's and the load's power add up to the battery's, found by a root finder."""
    optimize = pytest.importorskip("scipy.optimize")
    resistance = 0.0024772664  # of 2 m of 35 mm² class 5 at 50 °C and back: 2·2·0.554e-3·(1 + 0.00393·30)
    assert resistance == pytest.approx(2 * 2 * 0.554e-3 * (1 + 0.00393 * 30), rel=1e-6)
    for name, volts in (("12 V", 12.6), ("24 V", 25.2), ("48 V", 50.4)):
        for power, share in points("drop-by-voltage", name)[1:]:
            current = optimize.brentq(lambda amps: volts * amps - amps**2 * resistance - power, 0.0, volts / resistance / 2)
            assert share == pytest.approx(100 * current * resistance / volts, abs=2e-3)


def test_peukert_gives_the_published_hours():
    """t = H·(C/(I·H))^k, in the rated-hour form: 10 A from 100 Ah at 20 h with k = 1.2 last 8.7055 h."""
    assert dict(points("peukert", "flooded"))[10] == pytest.approx(87.055, abs=0.01)
    for name, exponent in (("AGM", 1.1), ("flooded", 1.2)):
        for current, left in points("peukert", name):
            assert left == pytest.approx(current * 20 * (100 / (current * 20)) ** exponent, abs=0.01)


def test_the_taper_follows_its_differential_equation():
    """dE/dt = −min(P, E/τ), solved in steps, with the example's 800 Wh missing of 1200, 20 A, 14.7 V, 75 % kept and τ = 1 h."""
    integrate = pytest.importorskip("scipy.integrate")
    power, missing, full = 20 * 14.7 * 0.75, 800.0, 1200.0
    times = [time for time, _ in points("charge-taper", "state")]
    solved = integrate.solve_ivp(lambda _, left: [-min(power, left[0])], (0, times[-1]), [missing], t_eval=times, rtol=1e-8, atol=1e-6, max_step=0.01)
    for left, (_, state), (_, current) in zip(solved.y[0], points("charge-taper", "state"), points("charge-taper", "current")):
        assert state == pytest.approx(100 * (1 - left / full), abs=0.02)
        assert current == pytest.approx(100 * min(1.0, left / power), abs=0.05)


def test_efficiency_of_three_sizes():
    """P_dc = P_0 + a·P + b·P²/P_r with the calculators' own 89 % at full load and at most 91 %."""
    optimize = pytest.importorskip("scipy.optimize")
    for rating in (300, 1000, 3000):
        standby = rating / 100

        def both(terms):
            a, b = terms
            best = (standby * rating / b) ** 0.5
            return (rating / (standby + a * rating + b * rating) - 0.89, best / (standby + a * best + b * best**2 / rating) - 0.91)

        a, b = optimize.fsolve(both, (1.05, 0.06))
        for load_, share in points("efficiency-three-sizes", f"{rating} VA"):
            assert share == pytest.approx(100 * load_ / (standby + a * load_ + b * load_**2 / rating), abs=0.02)


def test_a_days_energy_adds_up():
    used, off, on = (points("day-of-energy", name) for name in ("used", "from the battery, off", "from the battery, on"))
    # 12 W from midnight to eight and after ten in the evening, 900 W and 1200 W a quarter of an hour each, 60 W four hours.
    assert used[-1] == (24, 12 * 10 + 900 * 0.25 + 1200 * 0.25 + 60 * 4)
    # With 20 W of standby all day: 9.5 hours in which nothing runs.
    idle = 24 - (8 + 0.25 + 0.25 + 4 + 2)
    assert on[-1][1] - off[-1][1] == pytest.approx(20 * idle, abs=0.1)
    assert all(a[1] <= b[1] <= c[1] for a, b, c in zip(used, off, on))


def test_rest_voltages_are_the_tables():
    assert points("rest-voltage-bands", "lead") == ((0, 11.89), (25, 12.06), (50, 12.24), (75, 12.45), (100, 12.65))
    assert dict(points("rest-voltage-bands", "lithium"))[50] == 13.057


# ---- decision trees ----

GOOD = """
title = "A tree"
start = "one"
[steps.one]
ask = "Is it on?"
how = "Look."
yes = "two"
no = "end"
[steps.two]
ask = "Is it hot?"
answers = [["a little", "end"], ["very", "stop"], ["no", "end"]]
[steps.end]
do = "Wait."
[steps.stop]
do = "Leave it."
level = "stop"
see = "calculators/measure.md"
"""


def tree(tmp_path, text):
    path = tmp_path / "a-tree.toml"
    path.write_text(text, "utf-8")
    return trees.load(path)


def test_a_tree_is_drawn_and_written_alike(tmp_path):
    good = tree(tmp_path, GOOD)
    assert good.order == ["one", "two"]
    drawn = ElementTree.fromstring(f'<g>{trees.draw(good, "x")}</g>'.replace("<svg ", f'<svg xmlns="{SVG[1:-1]}" '))
    words = " ".join(text.text for text in drawn.iter(f"{SVG}text"))
    for piece in ("1. Is it on?", "2. Is it hot?", "Wait.", "Leave it.", "STOP", "A little:"):
        assert piece in words, piece
    written = str(trees.listed(good, "x", lambda page: f"/{page}"))
    assert '<li id="x-one">Is it on?<br>Look.' in written and '<a href="#x-two">question 2</a>' in written
    assert "Go to question" not in words, "one part"
    assert "<strong>Very:</strong> <strong>Stop.</strong> Leave it." in written and 'href="/calculators/measure.md">What is wrong with it?</a>' in written


@pytest.mark.parametrize(
    "old, new, words",
    [
        ('yes = "two"', 'yes = "three"', 'a-tree.toml: steps.one: it leads to "three", which does not exist'),
        ('["very", "stop"]', '["very", "one"]', "a-tree.toml: steps.one: it leads back to itself by way of one → two → one"),
        ('["very", "stop"], ', "", "a-tree.toml: steps.stop: nothing leads to it"),
        ('do = "Wait."', "", "a-tree.toml: steps.end: it has neither ask nor do"),
        ('do = "Wait."', 'do = "Wait."\nyes = "stop"', "a-tree.toml: steps.end: an end leads nowhere, but it has answers"),
        ('do = "Wait."', 'do = "Wait."\nask = "Why?"', "a-tree.toml: steps.end: it has both ask and do"),
        ('no = "end"', "", "a-tree.toml: steps.one: a question needs two answers at least"),
        ('start = "one"', 'start = "first"', 'a-tree.toml: start: "first" does not exist'),
        ('start = "one"', 'start = "end"', "a-tree.toml: steps.one: nothing leads to it"),
        ('level = "stop"', 'level = "danger"', 'a-tree.toml: steps.stop: level is "danger", not one of stop, caution, note'),
        ("measure.md", "measures.md", "a-tree.toml: steps.stop: see: there is no page docs/calculators/measures.md"),
        ('how = "Look."', 'hint = "Look."', 'a-tree.toml: steps.one: there is no "hint"'),
        ('title = "A tree"', "", 'a-tree.toml: "title" is missing'),
        ('title = "A tree"', "title = A tree", "a-tree.toml: Invalid value"),
    ],
)
def test_a_tree_that_cannot_be_followed_is_reported(tmp_path, old, new, words):
    assert old in GOOD
    with pytest.raises(trees.TreeProblem) as caught:
        tree(tmp_path, GOOD.replace(old, new, 1))
    assert words in str(caught.value)


def test_a_long_tree_goes_on_in_another_part(tmp_path):
    steps = "".join(f'[steps.q{n}]\nask = "Is it number {n} of a long row of questions?"\nyes = "e{n}"\nno = "q{n + 1}"\n[steps.e{n}]\ndo = "{"Do what helps. " * 6}"\n' for n in range(1, 9))
    long = tree(tmp_path, f'title = "Long"\nstart = "q1"\n{steps}[steps.q9]\ndo = "Stop."\n')
    drawn = str(trees.draw(long, "x"))
    assert drawn.count("<svg") >= 2 and "part 2 of" in drawn and len(set(re.findall(r' id="([^"]+)"', drawn))) == drawn.count(' id="')
    text = " ".join(re.findall(r">([^<>]+)</text>", drawn))
    for number in range(1, 9):
        assert f"{number}. Is it" in text
    assert text.count("Go to question") == drawn.count("<svg") - 1


TREES = trees.names()


@pytest.mark.parametrize("name", TREES)
def test_every_tree_fits_and_says_everything_in_words(name):
    told = trees.load(trees.FOLDER / f"{name}.toml")
    pictures = ElementTree.fromstring(f'<g>{trees.draw(told, "x")}</g>'.replace("<svg ", f'<svg xmlns="{SVG[1:-1]}" '))
    written = str(trees.listed(told, "x", str))
    for step in told.steps.values():
        assert str(Markup("{}").format(step.ask or step.do)) in written
    for picture in pictures.iter(f"{SVG}svg"):
        _, _, right, floor = map(float, picture.get("viewBox").split())
        assert floor <= 680, "a part must fit a page of A5"
        boxes = list(boxes_of_text(picture))
        for words, (x1, y1, x2, y2) in boxes:
            assert x1 >= 0 and y1 >= 0 and x2 <= right and y2 <= floor, words
        for (words, box), (others, other) in itertools.combinations(boxes, 2):
            assert not overlap(box, other, 0.5), (words, others)


def test_every_drawing_of_the_list_is_there():
    """The chapters count on these names."""
    wanted = """supply-path plug-in changeover combined fault-without-link fault-with-link back-feed series-bank parallel-same-end
        parallel-diagonal parallel-posts split-charge dc-dc-charge solar-charge two-load-test millivolts-per-joint standby-clamp
        rest-voltage capacitor-dropper rectifier fuse-at-battery joint-good-and-bad two-inverters inverter-inside generator-charge
        isolator-and-fuse three-waves three-spectra efficiency-three-sizes day-of-energy drop-by-voltage peukert charge-taper
        rest-voltage-bands hydrogen-places heat-box""".split()
    assert set(wanted) <= set(DRAWINGS) and sorted(sum([*by_topic(True).values(), *by_topic(False).values()], CHARTS)) == sorted(DRAWINGS)


def test_they_stand_in_the_reference_as_drawn():
    pages = {kind: (SITE / "reference" / f"{kind}.html").read_text("utf-8") for kind in ("drawings", "curves")}
    for name in set(DRAWINGS) - set(CHARTS):
        page = pages["curves" if name in CURVES else "drawings"]
        assert str(draw(name, f"drawing-{name}")) in page and f'<div id="{name}">' in page, name
