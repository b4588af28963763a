"""Says what is to be answered to acknowledgements.   judge_acks.py < PAYLOADS

PAYLOADS: one a line, in hex. One line for each: "no", or "yes", the id and who it was, in hex of UTF-16 big endian.
Nothing but Python's own json and the promised limits: 2,048 bytes, 3 nested brackets, 16 values, texts of 1,024,
numbers of 100 digits, an id of 1 to 200 characters, 80 printable characters of a name."""
import json
import math
import sys
import unicodedata


class Refused(Exception):
    pass


def once(pairs):
    members = {}
    for name, value in pairs:
        if name in members or len(name) > 1024:
            raise Refused
        members[name] = value
    return members


def number(of):
    def read(digits):
        if len(digits) > 100 or not math.isfinite(float(digits)):
            raise Refused
        return of(digits)

    return read


def refused(_):
    raise Refused


def size(value, depth=1):
    """Counts values; refuses what is nested too deep or too long."""
    if isinstance(value, (dict, list)):
        if depth > 3:
            raise Refused
        inner = value.values() if isinstance(value, dict) else value
        return 1 + sum(size(item, depth + 1) for item in inner)
    if isinstance(value, str) and len(value) > 1024:
        raise Refused
    return 1


def judged(payload):
    if len(payload) > 2048:
        raise Refused
    value = json.loads(
        payload.decode("utf-8"),
        object_pairs_hook=once,
        parse_constant=refused,
        parse_int=number(int),
        parse_float=number(float),
    )
    if not isinstance(value, dict) or size(value) > 16:
        raise Refused
    name = value.get("id")
    by = value.get("by", "mqtt")
    if not isinstance(name, str) or not 1 <= len(name) <= 200 or not isinstance(by, str):
        raise Refused
    by = "".join(c for c in by if unicodedata.category(c)[0] != "C").strip()[:80]
    return name, by or "mqtt"


for line in sys.stdin:
    try:
        answer = "yes " + " ".join(t.encode("utf-16-be", "surrogatepass").hex() for t in judged(bytes.fromhex(line)))
    except (Refused, ValueError, RecursionError):
        answer = "no"
    print(answer)
