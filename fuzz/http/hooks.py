"""Puts what the server really holds into a part of the generated requests.

A made-up job id is answered with 404 before anything else of the request is looked at. So most
calls carry ids, paths and revisions that are there, and the rest stays as it was generated.
What replaces a value follows from the value, so that a run with the same seed is the same run.
"""

import json
import os
import random

import schemathesis

with open(os.environ["DRYFIT_FUZZ_KNOWN"], encoding="utf-8") as file:
    KNOWN = json.load(file)

# Out of ten values, so many are replaced.
REPLACED = 8


def dice(*about):
    return random.Random(repr(about))


def job_of(parameters):
    return parameters.get("job")


def known_path(name, parameters):
    """Values of a path parameter that are there, for the job that the path names already."""
    job = KNOWN["jobs"].get(job_of(parameters), {})
    return {
        "job": KNOWN["weighted_jobs"],
        "space": job.get("spaces"),
        "key": (job.get("findings") or []) + KNOWN["solves"],
        "sheet": job.get("sheets"),
        "revision": ["1", "2", "3"],
        "contested": ["1", "2"],
        "check": KNOWN["checks"],
        "kind": KNOWN["kinds"],
        "id": ["one", "two", "a b", "ü"],
        "hash": KNOWN["photographs"],
    }.get(name)


@schemathesis.hook
def map_path_parameters(context, path_parameters):
    if not isinstance(path_parameters, dict):
        return path_parameters
    # `job` stands first in each path, so later ones know whose they are.
    for name, value in list(path_parameters.items()):
        choose = dice(name, value)
        values = known_path(name, path_parameters)
        if values and choose.randrange(10) < REPLACED:
            path_parameters[name] = choose.choice(values)
    return path_parameters


@schemathesis.hook
def map_query(context, query):
    if not isinstance(query, dict):
        return query
    for name, value in query.items():
        choose = dice(name, value)
        values = {
            "revision": ["1", "2"],
            "from": ["1", "2"],
            "to": ["1", "2"],
            "kind": KNOWN["kinds"],
            "drawing": ["0", "1"],
            "pinned": KNOWN["places"],
        }.get(name)
        if values and choose.randrange(10) < REPLACED:
            query[name] = choose.choice(values)
    return query


@schemathesis.hook
def map_body(context, body):
    return told(body)


def told(body):
    """The same body with places and revisions of a real job in it."""
    if isinstance(body, list):
        return [told(one) for one in body]
    if not isinstance(body, dict):
        return body
    made = {name: told(value) for name, value in body.items()}
    for name, value in body.items():
        choose = dice(name, value)
        values = {
            "at": KNOWN["places"],
            "set": KNOWN["values"],
            "text": KNOWN["values"] + KNOWN["documents"],
            "base": [1, 2],
            "space": KNOWN["spaces"],
            "of": KNOWN["bodies"],
            "wall": KNOWN["walls"],
            "key": KNOWN["tables"],
            "kind": KNOWN["kinds"],
        }.get(name)
        if values and choose.randrange(10) < REPLACED:
            made[name] = choose.choice(values)
    return made
