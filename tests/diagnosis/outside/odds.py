"""Asks a Bayesian network library for the odds after findings, and writes questions and answers as JSON lines.

usage: odds.py SITE    where SITE is a pressed handbook; make.sh calls it.

A symptom is the plainest of networks: one node that says which fault it is, and under it a node for each check. The library
(pyAgrum, lazy propagation) gets the tables and the findings, nothing of this project's sums.
"""

import json
import pathlib
import random
import sys

import pyagrum


def posterior(chances, checks, found):
    """The odds after the findings; None if the library says that they cannot all be."""
    net = pyagrum.BayesNet("symptom")
    net.add(pyagrum.LabelizedVariable("fault", "", len(chances)))
    net.cpt("fault").fillWith([chance / sum(chances) for chance in chances])
    for place, rows in enumerate(checks):
        name = f"check{place}"
        net.add(pyagrum.LabelizedVariable(name, "", len(rows)))
        net.addArc("fault", name)
        for fault in range(len(chances)):
            net.cpt(name)[{"fault": fault}] = [row[fault] for row in rows]
    engine = pyagrum.LazyPropagation(net)
    engine.setEvidence({f"check{place}": outcome for place, outcome in enumerate(found)})
    try:
        engine.makeInference()
        return [float(chance) for chance in engine.posterior("fault").toarray()]
    except pyagrum.IncompatibleEvidence:
        return None


def question(of, chances, checks, found):
    return {"of": of, "chances": chances, "checks": checks, "found": found, "odds": posterior(chances, checks, found)}


def from_symptom(path, draw):
    data = json.loads(path.read_text().split("] = ", 1)[1].rstrip().rstrip(";"))
    chances = [suspect["chance"] for suspect in data["suspects"]]
    hidden = draw.choices(range(len(chances)), chances)[0]
    telling = [check for check in data["checks"] if not check["guard"]]
    checks = [[outcome["likely"] for outcome in check["outcomes"]] for check in draw.sample(telling, min(5, len(telling)))]
    found = [draw.choices(range(len(rows)), [row[hidden] for row in rows])[0] for rows in checks]
    return question(path.stem, chances, checks, found)


def made_up(draw):
    faults = draw.randint(2, 12)
    chances = [float(draw.randint(1, 60)) for _ in range(faults)]
    checks = []
    for _ in range(draw.randint(1, 8)):
        outcomes = draw.randint(2, 5)
        columns = []
        for _ in range(faults):
            parts = [draw.choice([0.0, 0.0, 1.0, draw.random()]) for _ in range(outcomes)]
            parts[draw.randrange(outcomes)] += draw.choice([0.001, 0.2, 1.0])
            columns.append([part / sum(parts) for part in parts])
        checks.append([[column[outcome] for column in columns] for outcome in range(outcomes)])
    found = [draw.randrange(len(rows)) for rows in checks]
    return question("made up", chances, checks, found)


draw = random.Random(1763)
print(json.dumps({"library": "pyAgrum", "version": pyagrum.__version__, "inference": "lazy propagation"}))
for script in sorted(pathlib.Path(sys.argv[1], "walk/symptoms").glob("*.js")):
    for _ in range(3):
        print(json.dumps(from_symptom(script, draw)))
for _ in range(60):
    print(json.dumps(made_up(draw)))
