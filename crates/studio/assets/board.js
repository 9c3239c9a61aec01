// The drawing board: two dots make a seam. The dots come with the page, the true points a begun
// seam may end at are asked for; nothing is worked out here.

const SVG = "http://www.w3.org/2000/svg";

export class Board {
  // The board of a fresh sheet, with the place of the hand carried over.
  static on(svg, before, calls) {
    if (!svg) return null;
    const board = new Board(svg, calls);
    before?.watch.disconnect();
    if (before) board.move(board.nearest(before.at[before.here]), false);
    return board;
  }

  constructor(svg, calls) {
    this.svg = svg;
    this.calls = calls;
    this.dots = [...svg.querySelectorAll("[data-dot]")];
    this.own = this.dots.map((dot) => [Number(dot.getAttribute("cx")), Number(dot.getAttribute("cy"))]);
    this.at = this.own;
    this.words = this.dots.map((dot) => dot.dataset.says);
    this.asked = null;
    this.scale = 1;
    // Letters, dots and the reach of a finger keep their size whatever room the board has.
    this.watch = new ResizeObserver(() => {
      const room = svg.getBoundingClientRect();
      const { width, height } = svg.viewBox.baseVal;
      this.scale = Math.max(width / Math.max(room.width, 1), height / Math.max(room.height, 1));
      svg.style.setProperty("--k", this.scale);
    });
    this.watch.observe(svg);
    this.begun = null;
    this.here = 0;
    this.pressed = null;
    this.pressedAt = [0, 0];
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => this.moved(event));
    svg.addEventListener("pointerup", (event) => this.up(event));
    svg.addEventListener("pointercancel", () => this.letGo());
    svg.addEventListener("keydown", (event) => this.key(event));
    this.ending = document.getElementById("ending");
    this.ending?.addEventListener("submit", (event) => {
      event.preventDefault();
      const to = Number(document.getElementById("ends").value);
      if (this.begun !== null) this.seam(this.begun, to);
    });
    document.getElementById("let-go")?.addEventListener("click", () => {
      this.letGo();
      this.svg.focus({ preventScroll: true });
    });
    const beneath = svg.querySelector("#beneath");
    if (beneath) this.strength(Number(beneath.dataset.strength));
    this.move(0, false);
  }

  point(event) {
    // The drawing may be smaller than the room it has.
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  // The dot under the finger, if one is near enough.
  near([x, y], reach = 28 * this.scale) {
    let best = null;
    let least = reach * reach;
    this.at.forEach(([a, b], index) => {
      const far = (a - x) ** 2 + (b - y) ** 2;
      if (far < least) { least = far; best = index; }
    });
    return best;
  }

  nearest([x, y] = [0, 0]) {
    const far = ([a, b]) => (a - x) ** 2 + (b - y) ** 2;
    return this.own.reduce((best, at, index) => (far(at) < far(this.own[best]) ? index : best), 0);
  }

  // How strongly the photograph beneath shows, of a hundred.
  strength(share) {
    this.svg.style.setProperty("--beneath", share / 100);
  }

  // The true points a seam from this dot may end at.
  async offer(dot) {
    if (this.asked === dot) return;
    this.asked = dot;
    const { block, division } = this.svg.dataset;
    const path = `/quilt/${document.body.dataset.quilt}/ends/${block}-${division}-${dot}`;
    const answer = await fetch(path).catch(() => null);
    const ends = answer?.ok ? await answer.json() : [];
    if (this.asked !== dot) return;
    const group = this.svg.querySelector("#offers");
    group.replaceChildren(...ends.map(({ x, y }, index) => {
      const mark = document.createElementNS(SVG, "circle");
      mark.setAttribute("cx", x);
      mark.setAttribute("cy", y);
      mark.dataset.offer = index;
      return mark;
    }));
    this.at = [...this.own, ...ends.map(({ x, y }) => [x, y])];
    this.words = [...this.dots.map((one) => one.dataset.says), ...ends.map(({ says }) => says)];
    const list = document.getElementById("ends");
    list?.replaceChildren(...ends.map(({ says }, index) => new Option(says, this.own.length + index)));
    if (this.ending) this.ending.hidden = this.begun === null || ends.length === 0;
    this.svg.dataset.offered = dot;
  }

  withdraw() {
    const was = this.at[this.here];
    this.asked = null;
    this.at = this.own;
    this.words = this.dots.map((one) => one.dataset.says);
    this.svg.querySelector("#offers").replaceChildren();
    if (this.ending) this.ending.hidden = true;
    delete this.svg.dataset.offered;
    if (this.here >= this.own.length) this.move(this.nearest(was), false);
  }

  say(words) {
    document.getElementById("board-says").textContent = words;
  }

  down(event) {
    this.pressedAt = this.point(event);
    const dot = this.near(this.pressedAt);
    this.pressed = dot;
    if (dot === null) return;
    event.preventDefault();
    this.svg.setPointerCapture(event.pointerId);
    this.svg.focus({ preventScroll: true });
    this.move(dot, false);
    if (this.begun === null) this.offer(dot);
  }

  moved(event) {
    const from = this.begun ?? this.pressed;
    if (from === null) return;
    this.rubber(from, this.point(event));
  }

  up(event) {
    const point = this.point(event);
    const from = this.pressed;
    // A tap stays on its dot, though offers have come up round the finger meanwhile.
    const still = Math.hypot(point[0] - this.pressedAt[0], point[1] - this.pressedAt[1]) < 12 * this.scale;
    const dot = still && from !== null ? from : this.near(point);
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
      this.say(`A seam begins at ${this.words[dot]}. Now the other end: a dot, or a filled one at a true angle. Escape lets go.`);
      if (this.asked === dot && this.ending) this.ending.hidden = this.at.length === this.own.length;
      this.offer(dot);
    } else if (this.begun === dot) this.letGo();
    else this.seam(this.begun, dot);
  }

  seam(from, to) {
    const dots = this.own.length;
    this.letGo();
    this.calls.deed({
      do: "line",
      block: this.svg.dataset.block,
      division: this.svg.dataset.division,
      from: String(from),
      to: to < dots ? String(to) : `o${to - dots}`,
    });
  }

  letGo() {
    if (this.begun !== null) this.dots[this.begun].classList.remove("begun");
    this.begun = null;
    this.pressed = null;
    this.rubber(null);
    this.withdraw();
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
    if (speak) this.say(this.words[dot]);
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
    } else if ((event.key === "PageDown" || event.key === "PageUp") && this.at.length > this.own.length) {
      // Round the true points that are offered.
      const count = this.at.length - this.own.length;
      const now = this.here - this.own.length;
      const next = event.key === "PageDown" ? Math.max(now, -1) + 1 : (now < 0 ? count : now) - 1;
      this.move(this.own.length + ((next + count) % count), true);
    } else if (event.key === "Enter" || event.key === " ") this.tap(this.here);
    else if (event.key === "Escape" && this.begun !== null) { this.letGo(); this.say("Let go."); }
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
