"""Another program on the same stock: run as a process of its own.

    another.py ADDRESS WHO MARK [stop]

It says "ready", waits for a line, accepts a layout on the board of that mark, and says what came of it. With "stop" it
says "under way" when the board is taken and nothing is kept yet, and waits there for ever.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from pieces import taking

from casewright.basics.errors import RefusedError
from casewright.stock import layouts
from casewright.stock.shop import ShopStock


def main() -> None:
    address, who, mark, *stop = sys.argv[1:]
    stock = ShopStock(address, who=who)
    wish = taking(mark, project=f"{who}'s box", plan=who, left=((200, 160), (180, 170)))
    if stop:
        booked = layouts._booked

        def waits(*arguments: object) -> None:
            booked(*arguments)  # type: ignore[arg-type]
            print("under way", flush=True)
            time.sleep(600)

        layouts._booked = waits
    print("ready", flush=True)
    sys.stdin.readline()
    try:
        done = stock.accept(wish)
        print(f"accepted {done.number}", flush=True)
    except RefusedError as error:
        print(f"refused {error}", flush=True)


if __name__ == "__main__":
    main()
