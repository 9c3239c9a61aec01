// The drawing board: two dots make a seam. The dots come with the page; nothing is worked out here.

export class Board {
  // The board of a fresh sheet, with the place of the hand carried over.
  static on(svg, before, calls) {
    if (!svg) return null;
    const board = new Board(svg, calls);
    if (before) board.move(Math.min(before.here, board.dots.length - 1), false);
    return board;
  }

  constructor(svg, calls) {
    this.svg = svg;
    this.calls = calls;
    this.dots = [...svg.querySelectorAll("[data-dot]")];
    this.at = this.dots.map((dot) => [Number(dot.getAttribute("cx")), Number(dot.getAttribute("cy"))]);
    this.begun = null;
    this.here = 0;
    this.pressed = null;
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.moved(event));
    svg.addEventListener("pointerup", (event) => this.up(event));
    svg.addEventListener("pointercancel", () => this.letGo());
    svg.addEventListener("keydown", (event) => this.key(event));
    this.move(0, false);
  }

  point(event) {
    // The drawing may be smaller than the room it has.
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  // The dot under the finger, if one is near enough.
  near([x, y], reach = 22) {
    let best = null;
    let least = reach * reach;
    this.at.forEach(([a, b], index) => {
      const far = (a - x) ** 2 + (b - y) ** 2;
      if (far < least) { least = far; best = index; }
    });
    return best;
  }

  say(words) {
    document.getElementById("board-says").textContent = words;
  }

  down(event) {
    const dot = this.near(this.point(event));
    this.pressed = dot;
    if (dot === null) return;
    event.preventDefault();
    this.svg.setPointerCapture(event.pointerId);
    this.svg.focus({ preventScroll: true });
    this.move(dot, false);
  }

  moved(event) {
    const from = this.begun ?? this.pressed;
    if (from === null) return;
    this.rubber(from, this.point(event));
  }

  up(event) {
    const point = this.point(event);
    const dot = this.near(point);
    const from = this.pressed;
    this.pressed = null;
    if (from !== null && dot !== null && dot !== from && this.begun === null) {
      this.seam(from, dot);
    } else if (dot !== null && from !== null) {
      this.tap(dot);
    } else if (from === null) {
      this.pick(event);
    } else this.letGo();
  }

  // Not on a dot: a seam to take out, or a patch to speak of.
  pick(event) {
    const seam = this.near(this.point(event)) === null
      ? document.elementsFromPoint(event.clientX, event.clientY).find((e) => e.dataset?.seam)
      : null;
    if (seam) {
      this.calls.deed({ do: "no-line", block: this.svg.dataset.block, seam: seam.dataset.seam });
      return;
    }
    const piece = document.elementsFromPoint(event.clientX, event.clientY).find((e) => e.dataset?.piece);
    if (piece) this.calls.choosePiece(piece.dataset.piece, this.svg.dataset.block);
  }

  tap(dot) {
    this.move(dot, false);
    if (this.begun === null) {
      this.begun = dot;
      this.dots[dot].classList.add("begun");
      this.say(`A seam begins at ${this.dots[dot].dataset.says}. Now the other end; Escape lets go.`);
    } else if (this.begun === dot) this.letGo();
    else this.seam(this.begun, dot);
  }

  seam(from, to) {
    this.letGo();
    this.calls.deed({
      do: "line",
      block: this.svg.dataset.block,
      division: this.svg.dataset.division,
      from: String(from),
      to: String(to),
    });
  }

  letGo() {
    if (this.begun !== null) this.dots[this.begun].classList.remove("begun");
    this.begun = null;
    this.pressed = null;
    this.rubber(null);
  }

  rubber(from, to) {
    const line = this.svg.querySelector("#rubber");
    line.classList.toggle("shown", from !== null);
    if (from === null) return;
    const near = this.near(to);
    const [x2, y2] = near === null ? to : this.at[near];
    const [x1, y1] = this.at[from];
    for (const [name, value] of Object.entries({ x1, y1, x2, y2 })) line.setAttribute(name, value);
  }

  move(dot, speak) {
    if (!this.at[dot]) return;
    this.here = dot;
    const mark = this.svg.querySelector("#here");
    mark.setAttribute("cx", this.at[dot][0]);
    mark.setAttribute("cy", this.at[dot][1]);
    if (speak) this.say(this.dots[dot].dataset.says);
    if (this.begun !== null) this.rubber(this.begun, this.at[dot]);
  }

  key(event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    if (way) {
      const [x, y] = this.at[this.here];
      let best = null;
      let least = Infinity;
      this.at.forEach(([a, b], index) => {
        const along = (a - x) * way[0] + (b - y) * way[1];
        const aside = Math.abs((a - x) * way[1]) + Math.abs((b - y) * way[0]);
        if (along > 0.5 && along + 3 * aside < least) { least = along + 3 * aside; best = index; }
      });
      if (best !== null) this.move(best, true);
    } else if (event.key === "Enter" || event.key === " ") this.tap(this.here);
    else if (event.key === "Escape" && this.begun !== null) { this.letGo(); this.say("Let go."); }
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
