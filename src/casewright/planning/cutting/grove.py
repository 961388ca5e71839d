"""The cut trees of all sheets in four rows of numbers, and what the search does with them.

Every function here is written for speed in two ways at once: it runs as it stands, with lists, and it can be compiled,
with arrays (`compiled.py`). Both give the same numbers to the last bit, so only arithmetic that is exact or the same
everywhere is used, and chance comes from a small generator of our own.

A node is a rectangle, as `tree.Box` is: it is one part, or is divided along its axis into kids that span it in the
other axis, with one free rest after the last. Node `n` has eight whole numbers from `links[8 n]` and four measures from
`sizes[4 n]`. The nodes 0, 1, … are the sheets; an axis of −1 marks a node that is not in use.
"""

from __future__ import annotations

from typing import NamedTuple

Ints = list[int]
Floats = list[float]

PARENT, KID, NEXT, BEFORE, PART, AXIS, TURNED, SHEET = 0, 1, 2, 3, 4, 5, 6, 7
X, Y, FREE = 0, 1, 2
UNUSED, OUTSIDE = 0, 1  # counts, in `bag`
HEAD = 2
NOWHERE = -1

RULES = 10
"""How places are compared: number 0, or 1 + 3 × fit + split. Fits: least area, least short side, like width; splits:
keep the largest rest, cut off first, row first. Number 0 keeps the free area in few pieces."""
BY_AREA, BY_LONGER, BY_CHANCE, BY_WIDTH, BY_LENGTH = 0, 1, 2, 3, 4
"""Orders in which parts are laid."""

MOST_NODES = 3  # for one part
MOST_LIFTED = 20  # parts in one step
FOCUS = 0.3  # chance that all come from one sheet
EMPTIER = 0.7  # chance that of two sheets the emptier is taken
TIGHTEN = 0.7  # chance that the room is given to the node above
FIRST_RULE = 0.8  # chance that the first rule is used
BLINK = 0.01  # chance that a better place is overlooked
PACKED = 0.7  # weight of few pieces against area outside, to begin with
LEAST_PACKED, MOST_PACKED = 0.1, 1.0  # what it is drawn from later
WEIGHED = 1000  # steps after which what is outside gets heavier, and few pieces count otherwise
HEAVIER = 1.05  # times as heavy
HEAVIEST = 1000.0  # where all get lighter again


class Parts(NamedTuple):
    """What is laid. One entry a part."""

    length: Floats
    width: Floats
    area: Floats
    turns: Ints
    """1: it may lie turned."""
    kind: Ints
    """Parts of equal size and right to turn share it; 0, 1, …"""
    inner: Ints
    """Stages that it takes in itself: of a group of parts that stay together."""


class Grove(NamedTuple):
    """All sheets, and which parts are outside."""

    links: Ints
    sizes: Floats
    bag: Ints
    """Counts of the unused nodes and of the parts outside, then the former, then (after as many as there are nodes)
    the latter."""
    load: Floats
    """Area laid on each sheet, then the area of each."""


class Desk(NamedTuple):
    """Scratch space, and how the search goes on."""

    opened: Ints
    keys: Floats
    failed: Ints
    """By kind: the pass in which it found no place."""
    chance: Ints
    """State of the generator, then the number of passes."""
    memory: Floats
    """What late acceptance looks back on."""
    costs: Floats
    """Now; the least so far, with all parts of equal weight; and what few pieces count for now."""
    weights: Floats
    """By part: how many times its area counts while it is outside."""


class Limits(NamedTuple):
    """What every cut obeys."""

    kerf: float
    least: float
    """Shortest side of any part: a smaller rest is closed."""
    stages: int
    """Most stages: times that the cut direction changes, the first cut included; 0 is no limit."""


def draw(chance: Ints, below: int) -> int:
    """A whole number from 0, less than `below`.

    Source:
        S. K. Park, K. W. Miller, Communications of the ACM 31 (1988), with the factor of their second edition.
    """
    chance[0] = chance[0] * 48271 % 2147483647
    return chance[0] % below


def share(chance: Ints) -> float:
    """A number from 0 to 1."""
    chance[0] = chance[0] * 48271 % 2147483647
    return chance[0] / 2147483647.0


def copy(a: Grove, b: Grove) -> None:
    """Make b like a."""
    b.links[:] = a.links
    b.sizes[:] = a.sizes
    b.bag[:] = a.bag
    b.load[:] = a.load


def copy_each(a: Grove, b: Grove) -> None:
    """The same, entry by entry: takes a tenth of the time to compile and is as quick then."""
    for i in range(len(a.links)):
        b.links[i] = a.links[i]
    for i in range(len(a.sizes)):
        b.sizes[i] = a.sizes[i]
    for i in range(len(a.bag)):
        b.bag[i] = a.bag[i]
    for i in range(len(a.load)):
        b.load[i] = a.load[i]


def open_sheet(g: Grove, sheet: int, length: float, width: float) -> None:
    """Put an empty sheet where none is."""
    n, m = 8 * sheet, 4 * sheet
    for k in range(8):
        g.links[n + k] = NOWHERE
    g.links[n + AXIS] = 0
    g.links[n + TURNED] = 0
    g.links[n + SHEET] = sheet
    g.sizes[m + X] = length
    g.sizes[m + Y] = width
    g.sizes[m + FREE] = length
    g.load[sheet] = 0.0
    g.load[len(g.load) // 2 + sheet] = length * width


def close_sheet(g: Grove, sheet: int) -> None:
    """Take an empty sheet away."""
    g.links[8 * sheet + AXIS] = NOWHERE


def new_node(g: Grove, parent: int, axis: int, x: float, y: float) -> int:
    """Add a kid to a node, which says by itself what room it loses."""
    links, sizes = g.links, g.sizes
    g.bag[UNUSED] -= 1
    node = g.bag[HEAD + g.bag[UNUSED]]
    n, m, p = 8 * node, 4 * node, 8 * parent
    first = links[p + KID]
    links[n + PARENT] = parent
    links[n + KID] = NOWHERE
    links[n + NEXT] = first
    links[n + BEFORE] = NOWHERE
    links[n + PART] = NOWHERE
    links[n + AXIS] = axis
    links[n + TURNED] = 0
    links[n + SHEET] = links[p + SHEET]
    if first >= 0:
        links[8 * first + BEFORE] = node
    links[p + KID] = node
    sizes[m + X] = x
    sizes[m + Y] = y
    sizes[m + FREE] = y if axis else x
    return node


def _release(g: Grove, parts: Parts, node: int) -> None:
    """Give a node and all below it back; their parts go outside."""
    links, bag = g.links, g.bag
    nodes = len(links) // 8
    at = node
    while True:
        while links[8 * at + KID] >= 0:
            at = links[8 * at + KID]
        n = 8 * at
        part = links[n + PART]
        if part >= 0:
            bag[HEAD + nodes + bag[OUTSIDE]] = part
            bag[OUTSIDE] += 1
            g.load[links[n + SHEET]] -= parts.area[part]
        links[n + AXIS] = NOWHERE
        bag[HEAD + bag[UNUSED]] = at
        bag[UNUSED] += 1
        if at == node:
            break
        up, beside = links[n + PARENT], links[n + NEXT]
        links[8 * up + KID] = beside
        at = beside if beside >= 0 else up


def take_out(g: Grove, parts: Parts, node: int, kerf: float, tighten: bool) -> None:
    """Lift a node with all its parts out and give its room back to the node above."""
    links, sizes = g.links, g.sizes
    n = 8 * node
    p = links[n + PARENT]
    if p < 0:
        kid = links[n + KID]
        while kid >= 0:
            beside = links[8 * kid + NEXT]
            _release(g, parts, kid)
            kid = beside
        links[n + KID] = NOWHERE
        sizes[4 * node + FREE] = sizes[4 * node + links[n + AXIS]]
        g.load[node] = 0.0
        return
    while True:
        n = 8 * node
        before, beside = links[n + BEFORE], links[n + NEXT]
        if before >= 0:
            links[8 * before + NEXT] = beside
        else:
            links[8 * p + KID] = beside
        if beside >= 0:
            links[8 * beside + BEFORE] = before
        sizes[4 * p + FREE] += sizes[4 * node + links[8 * p + AXIS]] + kerf
        up = links[8 * p + PARENT]
        _release(g, parts, node)
        if links[8 * p + KID] >= 0 or up < 0:
            break
        node, p = p, up
    if links[8 * p + KID] < 0:  # an emptied sheet: no sum of cuts may leave a trace
        sizes[4 * p + FREE] = sizes[4 * p + links[8 * p + AXIS]]
    if tighten:
        while links[8 * p + PARENT] >= 0:
            _shrink(g, p, kerf)
            p = links[8 * p + PARENT]


def _shrink(g: Grove, node: int, kerf: float) -> None:
    """Make a node no larger across than its kids need; the room goes to the node above."""
    links, sizes = g.links, g.sizes
    least = -1.0
    kid = links[8 * node + KID]
    while kid >= 0:
        room = 0.0
        if links[8 * kid + PART] < 0:
            room = max(0.0, sizes[4 * kid + FREE] + kerf)
        if least < 0.0 or room < least:
            least = room
        kid = links[8 * kid + NEXT]
    if least > 0.0:
        across = 1 - links[8 * node + AXIS]
        sizes[4 * links[8 * node + PARENT] + FREE] += least
        sizes[4 * node + across] -= least
        kid = links[8 * node + KID]
        while kid >= 0:
            sizes[4 * kid + FREE] -= least
            sizes[4 * kid + across] -= least
            kid = links[8 * kid + NEXT]


def _level(g: Grove, node: int) -> int:
    """Which alternation of the cut direction the cuts within a node belong to; the first is 1."""
    level = 1
    while g.links[8 * node + PARENT] >= 0:
        node = g.links[8 * node + PARENT]
        level += 1
    return level


def _too_deep(g: Grove, node: int, row: bool, trims: bool, ends: bool, stages: int) -> bool:
    """Whether a part laid there would need more stages than there are for it."""
    if row and g.links[8 * node + KID] < 0 and g.links[8 * node + PARENT] < 0:
        # an empty sheet is cut the other way first
        return 1 + (1 if ends else 0) > stages
    level = _level(g, node)
    if row:
        return level + (2 if ends else 1) > stages
    return level + (1 if trims else 0) > stages


def _place(
    g: Grove, parts: Parts, desk: Desk, limits: Limits, count: int, part: int, where: int, how: int
) -> int:
    """Lay a part in a node's rest: `how` is 1 if it lies turned, plus 2 if it starts a row over the whole rest."""
    links, sizes, opened = g.links, g.sizes, desk.opened
    kerf, least = limits.kerf, limits.least
    turn, row = how % 2, how >= 2
    axis = links[8 * where + AXIS]
    if row and links[8 * where + KID] < 0 and links[8 * where + PARENT] < 0:
        axis = 1 - axis
        links[8 * where + AXIS] = axis
        sizes[4 * where + FREE] = sizes[4 * where + axis]
        row = False
    if turn == axis:
        along, across = parts.length[part], parts.width[part]
    else:
        along, across = parts.width[part], parts.length[part]
    free = sizes[4 * where + FREE]
    wide = sizes[4 * where + 1 - axis]
    parent = where
    if row:
        band = new_node(g, where, 0, wide, free) if axis else new_node(g, where, 1, free, wide)
        sizes[4 * where + FREE] = -kerf
        sizes[4 * band + FREE] = wide - across - kerf
        opened[count] = band
        parent = new_node(g, band, 1, across, free) if axis else new_node(g, band, 0, free, across)
        opened[count + 1] = parent
        count += 2
        wide = across
    sizes[4 * parent + FREE] = free - along - kerf
    leaf = new_node(g, parent, 0, wide, along) if axis else new_node(g, parent, 1, along, wide)
    if across != wide:
        sizes[4 * leaf + FREE] = wide - across - kerf
        if sizes[4 * leaf + FREE] >= least:
            opened[count] = leaf
            count += 1
        leaf = new_node(g, leaf, 1, across, along) if axis else new_node(g, leaf, 0, along, across)
    links[8 * leaf + PART] = part
    links[8 * leaf + TURNED] = turn
    g.load[links[8 * where + SHEET]] += parts.area[part]
    return count


def _put(
    g: Grove,
    parts: Parts,
    desk: Desk,
    limits: Limits,
    count: int,
    part: int,
    rule: int,
    blink: float,
    only: int,
) -> int:
    """Lay a part in the best of the open rests; returns how many are open then, −1 if none takes it.

    With `blink`, a better place is overlooked with that chance. `only`, if not −1, is the one sheet looked at.
    """
    links, sizes = g.links, g.sizes
    kerf, least = limits.kerf, limits.least
    best = 1e300
    where, how = NOWHERE, 0
    length, width = parts.length[part], parts.width[part]
    ways = 1 + parts.turns[part]
    fit, split = -1, 0
    if rule > 0:
        fit, split = (rule - 1) // 3, (rule - 1) % 3
    for i in range(count):
        node = desk.opened[i]
        free = sizes[4 * node + FREE]
        if free < least or (only >= 0 and links[8 * node + SHEET] != only):
            continue
        axis = links[8 * node + AXIS]
        wide = sizes[4 * node + 1 - axis]
        for turn in range(ways):
            if turn == axis:
                along, across = length, width
            else:
                along, across = width, length
            if along > free or across > wide:
                continue
            rest = max(0.0, free - along - kerf)
            side = max(0.0, wide - across - kerf)
            # Cut off first: rest × wide and along × side. Row first: rest × across and free × side.
            row = split == 2 and side > 0.0
            if split == 0:
                row = free * side > rest * wide and rest > 0.0 and side > 0.0
            if fit < 0:
                if row:
                    one, two = rest * across, free * side
                else:
                    one, two = rest * wide, along * side
                whole = free * wide
                cost = whole * whole - one * one - two * two
            elif fit == 0:
                cost = free * wide
            elif fit == 1:
                cost = min(free - along, wide - across)
            else:
                cost = (wide - across) * 1e6 + free - along
            if cost < best:
                if blink > 0.0 and share(desk.chance) < blink:
                    continue
                stages = limits.stages - parts.inner[part]
                if limits.stages > 0 and _too_deep(
                    g, node, row, across < wide, along < free, stages
                ):
                    if not row or _too_deep(g, node, False, across < wide, along < free, stages):
                        continue
                    row = False
                best, where, how = cost, node, turn + (2 if row else 0)
    if where < 0 or g.bag[UNUSED] < MOST_NODES:
        return -1
    return _place(g, parts, desk, limits, count, part, where, how)


def sort_outside(g: Grove, parts: Parts, desk: Desk, order: int) -> None:
    """Bring the parts outside into an order, the largest first; equal ones keep theirs."""
    first = HEAD + len(g.links) // 8
    count = g.bag[OUTSIDE]
    keys = desk.keys
    spread = 0.0
    if order == BY_CHANCE:
        pick = draw(desk.chance, 3)
        spread = 0.2 if pick == 0 else 0.5 if pick == 1 else 1.0
    for i in range(count):
        part = g.bag[first + i]
        length, width = parts.length[part], parts.width[part]
        if order == BY_AREA:
            keys[i] = parts.area[part]
        elif order == BY_LONGER:
            keys[i] = max(length, width)
        elif order == BY_CHANCE:
            keys[i] = parts.area[part] * (1.0 + spread * share(desk.chance))
        elif order == BY_WIDTH:
            keys[i] = min(length, width) if parts.turns[part] else width
        else:
            keys[i] = max(length, width) if parts.turns[part] else length
    for i in range(1, count):
        key, part = keys[i], g.bag[first + i]
        j = i - 1
        while j >= 0 and keys[j] < key:
            keys[j + 1] = keys[j]
            g.bag[first + j + 1] = g.bag[first + j]
            j -= 1
        keys[j + 1] = key
        g.bag[first + j + 1] = part


def _open_rests(g: Grove, desk: Desk, least: float) -> int:
    count = 0
    links, sizes = g.links, g.sizes
    for node in range(len(links) // 8):
        if (
            links[8 * node + AXIS] >= 0
            and links[8 * node + PART] < 0
            and sizes[4 * node + FREE] >= least
        ):
            desk.opened[count] = node
            count += 1
    return count


def put_back(g: Grove, parts: Parts, desk: Desk, limits: Limits, rule: int, blink: float) -> None:
    """Lay what is outside, in its order, wherever a rest takes it."""
    first = HEAD + len(g.links) // 8
    count = _open_rests(g, desk, limits.least)
    desk.chance[1] += 1
    now = desk.chance[1]
    kept = 0
    for i in range(g.bag[OUTSIDE]):
        part = g.bag[first + i]
        done = -1
        if desk.failed[parts.kind[part]] != now:
            done = _put(g, parts, desk, limits, count, part, rule, blink, -1)
        if done < 0:
            desk.failed[parts.kind[part]] = now
            g.bag[first + kept] = part
            kept += 1
        else:
            count = done
    g.bag[OUTSIDE] = kept


def lay(
    g: Grove,
    parts: Parts,
    desk: Desk,
    limits: Limits,
    rule: int,
    policy: Ints,
    stock: Floats,
    counts: Ints,
    taken: Ints,
) -> int:
    """Lay what is outside, in its order, and take a new sheet only where none has room.

    Args:
        g: No sheet is open.
        parts: The parts.
        desk: Scratch space.
        limits: Kerf and the like.
        rule: How places are compared.
        policy: Stock numbers in the order in which new sheets are tried.
        stock: Length and width of each stock.
        counts: How many there are of each.
        taken: Comes back with the stock number of each sheet, after as many entries as there are stocks, which count.

    Returns:
        How many sheets are open.
    """
    first = HEAD + len(g.links) // 8
    kinds = len(counts)
    desk.chance[1] += 1
    now = desk.chance[1]
    count, sheets, kept = 0, 0, 0
    for i in range(g.bag[OUTSIDE]):
        part = g.bag[first + i]
        done = -1
        tries = 0 if desk.failed[parts.kind[part]] == now else 1 + len(policy)
        for trial in range(tries):  # where there is room, then on a new sheet of each stock
            k = policy[trial - 1] if trial > 0 else -1
            if k >= 0:
                if taken[k] >= counts[k]:
                    continue
                open_sheet(g, sheets, stock[2 * k], stock[2 * k + 1])
                desk.opened[count] = sheets
            only = sheets if k >= 0 else -1
            done = _put(g, parts, desk, limits, count + (k >= 0), part, rule, 0.0, only)
            if done >= 0:
                if k >= 0:
                    taken[k] += 1
                    taken[kinds + sheets] = k
                    sheets += 1
                break
            if k >= 0:
                close_sheet(g, sheets)
        if done < 0:
            desk.failed[parts.kind[part]] = now
            g.bag[first + kept] = part
            kept += 1
        else:
            count = done
    g.bag[OUTSIDE] = kept
    return sheets


def left_over(g: Grove, parts: Parts) -> float:
    """Area of the parts outside."""
    first = HEAD + len(g.links) // 8
    total = 0.0
    for i in range(g.bag[OUTSIDE]):
        total += parts.area[g.bag[first + i]]
    return total


def _weight_outside(g: Grove, parts: Parts, desk: Desk) -> float:
    """The same, each part by its weight."""
    first = HEAD + len(g.links) // 8
    total = 0.0
    for i in range(g.bag[OUTSIDE]):
        part = g.bag[first + i]
        total += parts.area[part] * desk.weights[part]
    return total


def _weigh(g: Grove, desk: Desk) -> None:
    """Make what is outside heavier, so that it finds a place and others take their turn outside."""
    weights = desk.weights
    first = HEAD + len(g.links) // 8
    heaviest = 0.0
    for i in range(g.bag[OUTSIDE]):
        part = g.bag[first + i]
        weights[part] *= HEAVIER
        heaviest = max(heaviest, weights[part])
    if heaviest > HEAVIEST:
        for part in range(len(weights)):
            weights[part] = max(1.0, weights[part] / 2.0)


def _packed(g: Grove) -> float:
    """Sum of the squared rests: the higher, the fewer pieces the free area is in."""
    links, sizes = g.links, g.sizes
    total = 0.0
    for node in range(len(links) // 8):
        axis = links[8 * node + AXIS]
        if axis >= 0 and links[8 * node + PART] < 0 and sizes[4 * node + FREE] > 0.0:
            area = sizes[4 * node + FREE] * sizes[4 * node + 1 - axis]
            total += area * area
    return total


def _pick(g: Grove, desk: Desk, only: int) -> int:
    """A node in use, by chance; of one sheet if `only` is one. −1 if none was hit upon."""
    links = g.links
    nodes = len(links) // 8
    filled = False  # an empty sheet has nothing to take, and would be looked for in vain
    for sheet in range(len(g.load) // 2):
        if links[8 * sheet + KID] >= 0 and (only < 0 or only == sheet):
            filled = True
    if not filled:
        return NOWHERE
    for _ in range(400):
        node = draw(desk.chance, nodes)
        n = 8 * node
        if links[n + AXIS] < 0 or (only >= 0 and links[n + SHEET] != only):
            continue
        if links[n + PARENT] < 0 and (links[n + KID] < 0 or draw(desk.chance, 4) > 0):
            continue
        return node
    return NOWHERE


def search(
    now: Grove,
    trial: Grove,
    best: Grove,
    parts: Parts,
    desk: Desk,
    limits: Limits,
    start: int,
    steps: int,
) -> int:
    """Steps `start` to `start + steps`: lift parts out and put them back, to leave less area outside.

    The cost is the area outside, lessened a little where the free area is in few pieces. What has been outside for long
    counts for more than its area, and few pieces for now more, now less, so that the search does not stand still before
    the same few parts. `now` and `trial` are alike before and after; `best` and `desk` are kept from call to call.

    Returns:
        The number of the step to go on with.

    Source:
        C. Voudouris, E. Tsang, Eur. J. Oper. Res. 113 (1999), for weights that grow where a search stands still; J.
        Christiaens, G. Vanden Berghe, Transportation Science 54 (2020), for weighing what is left out by how long it
        has been. Both from memory.
    """
    links = trial.links
    cost, least_cost = desk.costs[0], desk.costs[1]
    span = len(desk.memory)
    whole = 0.0
    half = len(now.load) // 2
    for sheet in range(half):
        if now.load[half + sheet] > whole:
            whole = now.load[half + sheet]
    step = start
    while step < start + steps and least_cost > 0.0:
        goal = 1 + draw(desk.chance, MOST_LIFTED)
        before = trial.bag[OUTSIDE]
        focus = share(desk.chance) < FOCUS
        only = NOWHERE
        for _ in range(2 * MOST_LIFTED):
            if trial.bag[OUTSIDE] - before >= goal:
                break
            node = _pick(trial, desk, only)
            if node < 0:
                if only < 0:
                    break
                only = NOWHERE
                continue
            if only < 0 and share(desk.chance) < EMPTIER:
                other = _pick(trial, desk, only)
                if other >= 0:
                    a, b = links[8 * node + SHEET], links[8 * other + SHEET]
                    if trial.load[b] * trial.load[half + a] < trial.load[a] * trial.load[half + b]:
                        node = other
            if focus:
                only = links[8 * node + SHEET]
            take_out(trial, parts, node, limits.kerf, share(desk.chance) < TIGHTEN)
        pick = share(desk.chance)
        sort_outside(
            trial, parts, desk, BY_AREA if pick < 0.65 else BY_LONGER if pick < 0.9 else BY_CHANCE
        )
        rule = 0
        if share(desk.chance) >= FIRST_RULE:
            rule = draw(desk.chance, RULES)
        put_back(trial, parts, desk, limits, rule, BLINK)
        new = equal = left_over(trial, parts)
        if new > 0.0:
            packed = desk.costs[2] * _packed(trial) / whole
            equal = max(equal - packed, 1e-3)
            new = max(_weight_outside(trial, parts, desk) - packed, 1e-3)
        at = step % span
        if new <= cost or new <= desk.memory[at]:
            cost = new
            copy(trial, now)
            if equal < least_cost:
                least_cost = equal
                copy(trial, best)
        else:
            copy(now, trial)
        if cost < desk.memory[at]:
            desk.memory[at] = cost
        step += 1
        if step % WEIGHED == 0 and cost > 0.0:
            _weigh(now, desk)
            weight = LEAST_PACKED + (MOST_PACKED - LEAST_PACKED) * share(desk.chance)
            desk.costs[2] = weight
            cost = max(_weight_outside(now, parts, desk) - weight * _packed(now) / whole, 1e-3)
            for i in range(span):
                desk.memory[i] = cost
    desk.costs[0], desk.costs[1] = cost, least_cost
    return step


__all__ = [
    "AXIS",
    "BEFORE",
    "BLINK",
    "BY_AREA",
    "BY_CHANCE",
    "BY_LENGTH",
    "BY_LONGER",
    "BY_WIDTH",
    "EMPTIER",
    "FIRST_RULE",
    "FOCUS",
    "FREE",
    "HEAD",
    "HEAVIER",
    "HEAVIEST",
    "KID",
    "MOST_LIFTED",
    "MOST_NODES",
    "NEXT",
    "NOWHERE",
    "OUTSIDE",
    "PACKED",
    "PARENT",
    "PART",
    "RULES",
    "SHEET",
    "TIGHTEN",
    "TURNED",
    "UNUSED",
    "WEIGHED",
    "Desk",
    "Floats",
    "Grove",
    "Ints",
    "Limits",
    "Parts",
    "X",
    "Y",
    "close_sheet",
    "copy",
    "copy_each",
    "draw",
    "lay",
    "left_over",
    "new_node",
    "open_sheet",
    "put_back",
    "search",
    "share",
    "sort_outside",
    "take_out",
]
