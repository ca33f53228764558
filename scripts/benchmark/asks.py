"""Writes what a reader would ask of each calculator and of the worksheet, and how long it takes without a browser.

python asks.py OUTPUT: OUTPUT becomes a JSON object, `requests` by calculator and `native`, the
milliseconds of each answer here by calculator. Each request differs from the form's example in
one field, whose number is another one every time; only requests that have an answer count.
"""

import itertools
import json
import random
import re
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from calc.browser import answer, flat  # noqa: E402
from calc.calculators import CALCULATORS  # noqa: E402

ASKED = 200
WARMING = 20
NUMBER = re.compile(r"\d+(?:\.\d+)?")


def answered(calculator, chance):
    """Requests that have an answer, field after field, each with its milliseconds here."""
    start = flat(calculator.shown())
    numbered = [name for name, text in start.items() if (number := NUMBER.search(text)) and float(number[0])]
    # A field that takes no other number, such as a count, only costs tries.
    for attempt in range(10 * (ASKED + WARMING)):
        name = numbered[attempt % len(numbered)]
        values = {**start, name: NUMBER.sub(lambda number: f"{float(number[0]) * chance.uniform(0.95, 1.05):.6g}", start[name], count=1)}
        request = json.dumps({"calculator": calculator.id, "id": calculator.id, "values": values, "start": start})
        before = time.perf_counter()
        response = answer(request)
        spent = (time.perf_counter() - before) * 1000
        if json.loads(response)["usable"]:
            yield request, spent


def worked(chance):
    """Changes of a plan on the worksheet, each with its milliseconds here: a load's power, another one every time."""
    plan = (ROOT / "docs" / "plans" / "longstay-motorhome.json").read_text("utf-8")
    load = json.loads(plan)["loads"][0]
    step = {"do": "step", "plan": plan, "before": plan, "step": "charging"}
    while True:
        power = f"{float(NUMBER.search(load['power'])[0]) * chance.uniform(0.8, 1.2):.6g} W"
        request = json.dumps({**step, "edit": {"do": "set", "path": f"loads.{load['id']}.power", "text": power}})
        before = time.perf_counter()
        answer(request)
        yield request, (time.perf_counter() - before) * 1000


def main(output):
    found = {"requests": {}, "native": {}}
    sets = {id: answered(calculator, random.Random(id)) for id, calculator in CALCULATORS.items()}
    for id, asked in {**sets, "worksheet": worked(random.Random("worksheet"))}.items():
        pairs = list(itertools.islice(asked, ASKED + WARMING))
        if len(pairs) < ASKED + WARMING:
            raise SystemExit(f"{id}: only {len(pairs)} of {ASKED + WARMING} requests have an answer")
        chosen = [request for request, _ in pairs]
        found["requests"][id] = {"warming": chosen[:WARMING], "asked": chosen[WARMING:]}
        found["native"][id] = [spent for _, spent in pairs[WARMING:]]
    Path(output).write_text(json.dumps(found), encoding="utf-8")


main(sys.argv[1])
