// The keyboard: everything the pointer does can be done here too.

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const REST = 700; // ms after the last step by key it counts as put down

export class Keys {
  constructor(board, pointing) {
    this.board = board;
    this.pointing = pointing;
    this.carry = null;
    this.timer = 0;
    const { svg } = board;
    svg.addEventListener("keydown", (e) => this.down(e));
    svg.addEventListener("keyup", (e) => this.up(e));
    svg.addEventListener("focusout", () => {
      this.pointing.isSpace = false;
      this.settle();
    });
  }

  down(event) {
    const { board } = this;
    if (event.isComposing) return;
    const handled = this.handle(event, board.focused || board.things.get([...board.chosen].pop()));
    if (handled) {
      event.preventDefault();
      event.stopPropagation();
    }
  }

  handle(event, thing) {
    const { board } = this, { key } = event;
    const isCommand = event.ctrlKey || event.metaKey;
    if (key in ARROWS && !isCommand) return this.step(ARROWS[key], event.shiftKey, thing);
    if (isCommand) {
      if (key.toLowerCase() !== "a") return false;
      board.choose([...board.things.values()].filter(({ sort }) => sort === "item").map((one) => one.key));
      return true;
    }
    switch (key) {
      case "Escape":
        if (this.carry) this.undo();
        else if (!this.pointing.cancel() && !board.entry.close()) {
          if (!board.chosen.size && !board.picked) return false;
          board.choose([]);
        }
        return true;
      case "Tab":
        return this.tab(event.shiftKey);
      case "Enter":
        if (!thing) return false;
        if (thing.sort === "mark") thing.press();
        else if (thing.sort === "seam") board.pickSeam(thing);
        else board.openEntry(thing);
        return true;
      case "Delete":
      case "Backspace": {
        const keys = [...board.chosen].filter((one) => board.things.get(one)?.sort === "item");
        if (!keys.length || board.options.readOnly) return false;
        board.emit("command", { name: "remove", keys });
        return true;
      }
      case " ":
        if (thing && board.focused && !event.repeat && !this.pointing.mode) {
          if (thing.sort === "mark") {
            thing.press();
            return true;
          }
          if (thing.sort === "seam") board.pickSeam(thing);
          else if (event.shiftKey && board.chosen.has(thing.key)) board.choose([...board.chosen].filter((one) => one !== thing.key));
          else if (event.shiftKey) board.choose([...board.chosen, thing.key]);
        }
        this.pointing.isSpace = true;
        return true;
      case "+":
      case "=":
        board.zoomBy(1.25);
        return true;
      case "-":
        board.zoomBy(0.8);
        return true;
      case "0":
      case "Home":
        board.fit();
        return true;
      default:
        return false;
    }
  }

  /** To the next part in reading order; past the last one the focus leaves the board. */
  tab(isBack) {
    const { board } = this;
    this.settle();
    const order = board.readingOrder();
    const now = board.focused ? order.indexOf(board.focused) : -1;
    const next = board.focused ? order[now + (isBack ? -1 : 1)] : isBack ? undefined : order[0];
    if (!next) {
      board.letGo();
      return false;
    }
    board.focus(next);
    if (next.sort !== "seam" && next.sort !== "mark") board.choose([next.key]);
    return true;
  }

  step([dx, dy], isFar, thing) {
    const { board } = this;
    if (!thing || !thing.isMovable) return Boolean(thing);
    if (board.options.readOnly || this.pointing.mode) return true;
    const keys = board.chosen.has(thing.key) ? [...board.chosen] : [thing.key];
    if (!this.carry || this.carry.primary !== thing) {
      this.settle();
      if (!board.chosen.has(thing.key)) board.choose([thing.key]);
      this.carry = board.lift(keys, thing.key, "keys");
    }
    const by = board.scene.grid * (isFar ? 10 : 1), [x, y] = this.carry.delta;
    const ahead = thing.normal ? steered(thing.normal, dx, dy) : [dx, dy];
    this.carry.shift([x + ahead[0] * by, y + ahead[1] * by]);
    board.showCarry(this.carry);
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), REST);
    return true;
  }

  up(event) {
    if (event.key === " ") this.pointing.isSpace = false;
    if (event.key in ARROWS) this.settle();
  }

  /** The steps so far count as one move. */
  settle() {
    clearTimeout(this.timer);
    const { carry } = this;
    this.carry = null;
    if (carry) this.board.drop(carry);
  }

  undo() {
    clearTimeout(this.timer);
    const { carry } = this;
    this.carry = null;
    this.board.putBack(carry);
  }
}

/** An edge goes square to itself, by the arrow that points its way more than along it. */
function steered([a, b], dx, dy) {
  const far = dx * a + dy * b;
  return Math.abs(far) < 0.5 ? [0, 0] : [a * Math.sign(far), b * Math.sign(far)];
}
