// The picture: draws what the server worked out, and tells what was tapped. No craft here.

const BARE = 65535;
const INK = "#1b1b1b";

// The grey that has this lightness (CIE L*), so that the eye sees value alone.
function grey(light) {
  const y = light > 8 ? ((light + 16) / 116) ** 3 : light / 903.3;
  const v = y <= 0.0031308 ? 12.92 * y : 1.055 * y ** (1 / 2.4) - 0.055;
  const n = Math.round(Math.min(1, Math.max(0, v)) * 255);
  return `rgb(${n} ${n} ${n})`;
}

function mix(a, b, share) {
  const part = (hex, at) => parseInt(hex.slice(at, at + 2), 16);
  const one = (at) => Math.round(part(a, at) * (1 - share) + part(b, at) * share);
  return `rgb(${one(1)} ${one(3)} ${one(5)})`;
}

// One repeat of a print, 64 pixels wide.
function tile(cloth) {
  const canvas = new OffscreenCanvas(64, 64);
  const pen = canvas.getContext("2d");
  pen.fillStyle = cloth.colour;
  pen.fillRect(0, 0, 64, 64);
  pen.fillStyle = cloth.second;
  pen.strokeStyle = cloth.second;
  const dot = (x, y, r) => { pen.beginPath(); pen.arc(x, y, r, 0, 7); pen.fill(); };
  const leaf = (x, y, turn) => {
    pen.beginPath();
    pen.ellipse(x, y, 11, 4.5, turn, 0, 7);
    pen.fill();
  };
  switch (cloth.print) {
    case "stripe": pen.fillRect(4, 0, 14, 64); pen.fillRect(36, 0, 14, 64); break;
    case "plaid":
      pen.globalAlpha = 0.55;
      pen.fillRect(0, 0, 24, 64); pen.fillRect(0, 0, 64, 24);
      pen.fillRect(40, 0, 5, 64); pen.fillRect(0, 40, 64, 5);
      break;
    case "dot": dot(16, 16, 8); dot(48, 48, 8); break;
    case "leafy": leaf(16, 14, 0.6); leaf(46, 26, -0.7); leaf(22, 46, -0.4); leaf(52, 56, 0.8); break;
    case "tonal":
      pen.globalAlpha = 0.28;
      dot(12, 14, 13); dot(44, 20, 16); dot(22, 48, 15); dot(56, 54, 11);
      break;
    default: break;
  }
  return canvas;
}

// The corner by which the top grows and shrinks: dragged, or tapped and then the place
// where it is to lie, or by arrow keys. The lengths one block adds come from the server.
class Grip {
  constructor(picture, button, onGrow) {
    Object.assign(this, { picture, button, onGrow, from: null, moved: false, begun: false });
    button.addEventListener("pointerdown", (event) => {
      button.setPointerCapture(event.pointerId);
      this.from = [event.clientX, event.clientY];
      this.moved = false;
    });
    button.addEventListener("pointermove", (event) => {
      if (!this.from) return;
      const way = Math.hypot(event.clientX - this.from[0], event.clientY - this.from[1]);
      if (way > 8) this.moved = true;
      if (this.moved) this.show(this.count(event.clientX, event.clientY));
    });
    button.addEventListener("pointerup", (event) => {
      if (this.from && this.moved) this.made(this.count(event.clientX, event.clientY));
      this.from = null;
    });
    button.addEventListener("pointercancel", () => { this.from = null; this.show(null); });
    button.addEventListener("click", () => {
      if (this.moved) { this.moved = false; return; }
      this.begin(!this.begun);
    });
    button.addEventListener("keydown", (event) => {
      const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] }[event.key];
      const now = this.picture.head?.grow;
      if (event.key === "Escape") this.begin(false);
      if (!way || !now) return;
      event.preventDefault();
      this.made({ columns: Math.max(1, now.columns + way[0]), rows: Math.max(1, now.rows + way[1]) });
    });
    // The second tap may lie anywhere, outside the picture too.
    document.addEventListener("click", (event) => {
      if (!this.begun || button.contains(event.target)) return;
      event.preventDefault();
      event.stopPropagation();
      this.made(this.count(event.clientX, event.clientY));
    }, true);
  }

  begin(begun) {
    this.begun = begun;
    this.button.setAttribute("aria-pressed", String(begun));
    this.show(null);
    if (begun) this.picture.onSay("Now tap where the lower right corner of the top is to lie. Escape lets go.");
  }

  count(x, y) {
    const { head, canvas, scale } = this.picture;
    const room = canvas.getBoundingClientRect();
    const { rows, columns, across, down } = head.grow;
    const more = (at, length, step) => Math.round((at / scale - length) / step);
    return {
      columns: Math.min(100, Math.max(1, columns + more(x - room.left, head.width, across))),
      rows: Math.min(100, Math.max(1, rows + more(y - room.top, head.height, down))),
    };
  }

  show(count) {
    this.button.firstElementChild.textContent = count ? `${count.columns} × ${count.rows}` : "⇲";
  }

  made(count) {
    this.begin(false);
    const now = this.picture.head.grow;
    if (count.columns === now.columns && count.rows === now.rows) return;
    this.onGrow(count);
  }
}

export class Picture {
  constructor(id, { onChoose, onSay, onGrow }) {
    this.id = id;
    this.onChoose = onChoose;
    this.onSay = onSay;
    this.grip = document.getElementById("grip");
    if (this.grip) new Grip(this, this.grip, onGrow);
    this.frame = document.getElementById("frame");
    this.canvas = document.getElementById("quilt");
    this.over = document.getElementById("marks");
    this.cells = document.getElementById("cells");
    this.reading = "cloth";
    this.zoom = 1;
    this.patches = [];
    this.chosen = null;
    this.reach = [];
    this.states = null;
    this.within = null;
    this.images = new Map();
    this.frame.addEventListener("click", (event) => this.tapped(event));
    this.cells.addEventListener("keydown", (event) => this.key(event));
    this.cells.addEventListener("focusin", () => this.marks());
    new ResizeObserver(() => this.fit()).observe(this.frame);
  }

  async load() {
    const answer = await fetch(`/quilt/${this.id}/geometry`);
    if (!answer.ok) return;
    const bytes = await answer.arrayBuffer();
    const view = new DataView(bytes);
    const length = view.getUint32(0, true);
    const head = JSON.parse(new TextDecoder().decode(new Uint8Array(bytes, 4, length)));
    const patches = [];
    let at = 4 + length;
    for (let i = 0; i < head.patches; i += 1) {
      const cloth = view.getUint16(at, true);
      const corners = view.getUint16(at + 2, true);
      const turn = view.getFloat32(at + 4, true);
      at += 8;
      const ring = new Float32Array(corners * 2);
      let box = [Infinity, Infinity, -Infinity, -Infinity];
      for (let j = 0; j < corners * 2; j += 2) {
        const x = view.getFloat32(at, true);
        const y = view.getFloat32(at + 4, true);
        at += 8;
        ring[j] = x;
        ring[j + 1] = y;
        box = [Math.min(box[0], x), Math.min(box[1], y), Math.max(box[2], x), Math.max(box[3], y)];
      }
      patches.push({ cloth, turn, ring, box });
    }
    const few = this.moved(head, patches);
    this.head = head;
    this.patches = patches;
    this.turned = head.turned;
    if (few) {
      this.buttons();
      this.paint(few);
      this.marks();
      return;
    }
    document.getElementById("half").hidden = head.loose.length === 0;
    this.tiles = head.cloths.map(tile);
    this.perPixel = head.cloths.map((cloth) => cloth.scale / 64);
    this.shown = head.cloths.map(() => false);
    this.buttons();
    this.fit();
    await this.photographs(head);
  }

  // The patches that lie otherwise than before, where they are few and fill the same room
  // (a block was turned); null where the whole picture is to be painted.
  moved(head, patches) {
    const was = this.head;
    const same = (name) => JSON.stringify(was[name]) === JSON.stringify(head[name]);
    if (!was || !this.scale || patches.length !== this.patches.length) return null;
    if (was.loose.length + head.loose.length > 0) return null;
    if (!["width", "height", "cloths", "under", "grow", "parts"].every(same)) return null;
    const few = [];
    patches.forEach((patch, number) => {
      const old = this.patches[number];
      const stays = old.cloth === patch.cloth && old.turn === patch.turn
        && old.ring.length === patch.ring.length && old.ring.every((x, i) => x === patch.ring[i]);
      if (!stays) few.push(number);
    });
    if (few.length * 4 > patches.length) return null;
    const room = (all) => few.reduce(([area, a, b, c, d], number) => {
      const { ring, box } = all[number];
      let twice = 0;
      for (let i = 0; i < ring.length; i += 2) {
        const j = (i + 2) % ring.length;
        twice += ring[i] * ring[j + 1] - ring[j] * ring[i + 1];
      }
      return [area + Math.abs(twice) / 2, Math.min(a, box[0]), Math.min(b, box[1]), Math.max(c, box[2]), Math.max(d, box[3])];
    }, [0, Infinity, Infinity, -Infinity, -Infinity]);
    const [before, after] = [room(this.patches), room(patches)];
    return few.length === 0 || before.every((x, i) => Math.abs(x - after[i]) < 1e-3) ? few : null;
  }

  // Paints these patches alone.
  paint(numbers) {
    const pen = this.pen();
    for (const number of numbers) this.fill(pen, this.patches[number], number);
    if (this.reading === "squint") return;
    for (const number of numbers) this.seam(pen, this.patches[number]);
  }

  // Cloth that was photographed, at its true size. The picture stands without meanwhile.
  async photographs(head) {
    let any = false;
    await Promise.all(head.cloths.map(async ({ photo }, index) => {
      if (!photo) return;
      const image = await this.image(photo.number);
      if (!image || this.head !== head) return;
      // A whole number of repeats, so that the print goes on where the picture ends.
      const perPixel = photo.shows / image.width;
      const whole = (pixels, repeat) => {
        const one = repeat / perPixel;
        return one > 1 && one <= pixels ? Math.floor(pixels / one) * one : pixels;
      };
      const wide = photo.repeat ? whole(image.width, photo.repeat[0]) : image.width;
      const high = photo.repeat ? whole(image.height, photo.repeat[1]) : image.height;
      const canvas = new OffscreenCanvas(Math.max(1, Math.round(wide)), Math.max(1, Math.round(high)));
      canvas.getContext("2d").drawImage(image, 0, 0, wide, high, 0, 0, canvas.width, canvas.height);
      this.tiles[index] = canvas;
      this.perPixel[index] = perPixel;
      this.shown[index] = true;
      any = true;
    }));
    if (any && this.head === head) this.draw();
    document.documentElement.dataset.photographs = String(this.shown.filter(Boolean).length);
  }

  image(number) {
    if (!this.images.has(number)) {
      this.images.set(number, fetch(`/quilt/${this.id}/photo/small/${number}`)
        .then((answer) => (answer.ok ? answer.blob() : null))
        .then((blob) => (blob ? createImageBitmap(blob) : null))
        .catch(() => null));
    }
    return this.images.get(number);
  }

  // Patches that lie in other cloth now.
  set(changes, turned) {
    this.turned = turned;
    const known = changes.filter(([number]) => this.patches[number]);
    for (const [number, cloth] of known) this.patches[number].cloth = cloth ?? BARE;
    this.paint(known.map(([number]) => number));
  }

  fit() {
    if (!this.head) return;
    const room = this.frame.getBoundingClientRect();
    if (room.width < 2 || room.height < 2) return;
    const { width, height } = this.head;
    const scale = Math.min((room.width - 16) / width, (room.height - 16) / height) * this.zoom;
    const ratio = Math.min(window.devicePixelRatio || 1, 2);
    this.scale = Math.min(scale, 6000 / Math.max(width, height) / ratio);
    const size = [width * this.scale, height * this.scale];
    for (const canvas of [this.canvas, this.over]) {
      canvas.width = Math.ceil(size[0] * ratio);
      canvas.height = Math.ceil(size[1] * ratio);
    }
    for (const part of [this.canvas, this.over, this.cells]) {
      part.style.width = `${size[0]}px`;
      part.style.height = `${size[1]}px`;
      part.style.left = `${Math.max(8, (room.width - size[0]) / 2)}px`;
      part.style.top = `${Math.max(8, (room.height - size[1]) / 2)}px`;
    }
    this.ratio = ratio;
    if (this.grip) {
      this.grip.hidden = !this.head.grow;
      this.grip.style.left = `${Math.max(8, (room.width - size[0]) / 2) + size[0]}px`;
      this.grip.style.top = `${Math.max(8, (room.height - size[1]) / 2) + size[1]}px`;
    }
    this.draw();
  }

  pen(canvas = this.canvas) {
    const pen = canvas.getContext("2d");
    const k = this.scale * this.ratio;
    pen.setTransform(k, 0, 0, k, 0, 0);
    return pen;
  }

  draw() {
    if (!this.head || !this.scale) return;
    const pen = this.pen();
    pen.clearRect(0, 0, this.head.width, this.head.height);
    const blur = this.reading === "squint" ? `blur(${Math.max(3, this.scale * 1.1)}px)` : "";
    this.canvas.style.filter = blur;
    this.patches.forEach((patch, number) => this.fill(pen, patch, number));
    if (this.reading !== "squint") this.patches.forEach((patch) => this.seam(pen, patch));
    this.loose(pen);
    this.marks();
  }

  // Seams of a half-drawn block that stop in the open.
  loose(pen) {
    for (const [colour, width] of [["#ffffff", 5], [INK, 2.5]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = width / this.scale;
      pen.setLineDash(colour === INK ? [6 / this.scale, 4 / this.scale] : []);
      for (const [[x1, y1], [x2, y2]] of this.head.loose) {
        pen.beginPath();
        pen.moveTo(x1, y1);
        pen.lineTo(x2, y2);
        pen.stroke();
      }
    }
    pen.setLineDash([]);
  }

  path(pen, patch) {
    pen.beginPath();
    for (let i = 0; i < patch.ring.length; i += 2) pen.lineTo(patch.ring[i], patch.ring[i + 1]);
    pen.closePath();
  }

  fill(pen, patch, number) {
    const cloth = patch.cloth === BARE ? null : this.head.cloths[patch.cloth];
    const state = this.states ? this.states[number] ?? 0 : 2;
    const plain = !cloth || this.reading === "lines" || this.reading === "numbers"
      || (this.states && state === 0);
    this.path(pen, patch);
    pen.fillStyle = plain ? "#ffffff" : this.style(pen, patch, cloth);
    pen.fill();
    // A hair of its own cloth, so that no paper shows along the seams.
    pen.strokeStyle = pen.fillStyle;
    pen.lineWidth = 0.7 / this.scale;
    pen.stroke();
    if (this.states && state === 1) this.hatch(pen, patch);
    if (this.reading === "numbers" && cloth) this.number(pen, patch);
  }

  style(pen, patch, cloth) {
    if (this.reading === "grey" || this.reading === "squint") return grey(cloth.light);
    const shown = this.shown[patch.cloth];
    const repeat = cloth.scale * this.scale;
    if (cloth.print === "plain" && !shown) return cloth.colour;
    if (repeat < 5) return shown ? cloth.colour : mix(cloth.colour, cloth.second, 0.3);
    const pattern = pen.createPattern(this.tiles[patch.cloth], "repeat");
    let lies = new DOMMatrix();
    // Every patch is cut from another spot of the cloth.
    if (shown) lies = lies.translate(patch.box[0] + patch.box[1] * 0.37, patch.box[1] + patch.box[0] * 0.61);
    pattern.setTransform(lies.rotate(patch.turn).scale(this.perPixel[patch.cloth]));
    return pattern;
  }

  hatch(pen, patch) {
    pen.save();
    this.path(pen, patch);
    pen.clip();
    pen.strokeStyle = "#ffffff";
    pen.lineWidth = 3 / this.scale;
    pen.beginPath();
    const step = 8 / this.scale;
    const [left, top, right, bottom] = patch.box;
    for (let x = left - (bottom - top); x < right; x += step) {
      pen.moveTo(x, bottom);
      pen.lineTo(x + (bottom - top), top);
    }
    pen.stroke();
    pen.restore();
  }

  number(pen, patch) {
    const [left, top, right, bottom] = patch.box;
    const room = Math.min(right - left, bottom - top) * this.scale;
    if (room < 15) return;
    pen.fillStyle = INK;
    pen.font = `${Math.min(16, room * 0.42) / this.scale}px Letters, sans-serif`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    let [x, y] = [0, 0];
    const corners = patch.ring.length / 2;
    for (let i = 0; i < patch.ring.length; i += 2) { x += patch.ring[i]; y += patch.ring[i + 1]; }
    pen.fillText(String(patch.cloth + 1), x / corners, y / corners);
  }

  seam(pen, patch) {
    this.path(pen, patch);
    const bare = patch.cloth === BARE;
    pen.setLineDash(bare ? [4 / this.scale, 3 / this.scale] : []);
    const fine = this.reading === "lines" || this.reading === "numbers" || this.states || bare;
    pen.strokeStyle = fine ? INK : "rgb(27 27 27 / 45%)";
    pen.lineWidth = Math.min((fine ? 0.8 : 0.5) / this.scale, 0.06);
    pen.stroke();
    pen.setLineDash([]);
  }

  // What is chosen and how far a deed reaches, in the layer above.
  marks() {
    if (!this.head || !this.scale) return;
    const pen = this.pen(this.over);
    pen.clearRect(0, 0, this.head.width, this.head.height);
    const outline = (numbers, dash) => {
      for (const [colour, width] of [["#ffffff", 6], ["#0b57d0", 3]]) {
        pen.strokeStyle = colour;
        pen.lineWidth = width / this.scale;
        pen.setLineDash(dash.map((d) => d / this.scale));
        for (const number of numbers) {
          const patch = this.patches[number];
          if (!patch) continue;
          // Thin on small patches, so that their cloth still shows.
          const side = Math.min(patch.box[2] - patch.box[0], patch.box[3] - patch.box[1]) * this.scale;
          pen.lineWidth = (width * Math.min(1, Math.max(0.4, side / 26))) / this.scale;
          this.path(pen, patch);
          pen.stroke();
        }
      }
    };
    if (this.head.under && document.body.dataset.screen === "setting") this.underneath(pen, this.head.under);
    outline(this.reach, [7, 5]);
    const focus = document.activeElement?.dataset?.cell;
    if (focus !== undefined && this.within === null) this.frameOf(pen, Number(focus), [3, 3]);
    if (!this.chosen) return;
    const [kind, number] = [this.chosen[0], Number(this.chosen.slice(1))];
    if (kind === "p") outline([number], []);
    else this.frameOf(pen, number, []);
  }

  // The bed, or the size that is wanted, dashed over the top.
  underneath(pen, [left, top, width, height]) {
    for (const [colour, wide] of [["#ffffff", 5], [INK, 2]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide / this.scale;
      pen.setLineDash([10 / this.scale, 6 / this.scale]);
      pen.strokeRect(left, top, width, height);
    }
    pen.setLineDash([]);
  }

  frameOf(pen, cell, dash) {
    const box = this.boxOf(cell);
    if (!box) return;
    for (const [colour, width] of [["#ffffff", 7], ["#0b57d0", 4]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = width / this.scale;
      pen.setLineDash(dash.map((d) => d / this.scale));
      pen.strokeRect(box[0], box[1], box[2] - box[0], box[3] - box[1]);
    }
  }

  boxOf(cell) {
    const of = this.head?.cells[cell];
    if (!of) return null;
    const boxes = this.patches.slice(of.first, of.first + of.count).map((p) => p.box);
    return boxes.reduce((a, b) => [
      Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3]),
    ], [Infinity, Infinity, -Infinity, -Infinity]);
  }

  cellOf(patch) {
    return this.head.cells.findIndex((c) => patch >= c.first && patch < c.first + c.count);
  }

  choose(what) {
    this.chosen = what;
    this.reach = [];
    this.marks();
  }

  outline(patches) {
    this.reach = patches;
    this.marks();
  }

  read(reading, states) {
    this.reading = reading;
    this.states = states;
    this.draw();
  }

  closer(how) {
    this.zoom = how === "whole" ? 1 : Math.min(8, Math.max(1, this.zoom * (how === "in" ? 1.5 : 1 / 1.5)));
    this.fit();
  }

  tapped(event) {
    if (!this.head || event.target.closest("#grip")) return;
    // On a phone the picture is a band that a tap opens.
    if (matchMedia("(max-width: 640px)").matches && document.body.dataset.open !== "yes") {
      document.body.dataset.open = "yes";
      this.onSay("The picture is open: tap a patch.");
      return;
    }
    const room = this.canvas.getBoundingClientRect();
    const [x, y] = [(event.clientX - room.left) / this.scale, (event.clientY - room.top) / this.scale];
    for (let i = this.patches.length - 1; i >= 0; i -= 1) {
      const { box, ring } = this.patches[i];
      if (x < box[0] || y < box[1] || x > box[2] || y > box[3]) continue;
      let inside = false;
      for (let a = 0, b = ring.length - 2; a < ring.length; b = a, a += 2) {
        const [xa, ya, xb, yb] = [ring[a], ring[a + 1], ring[b], ring[b + 1]];
        if ((ya > y) !== (yb > y) && x < ((xb - xa) * (y - ya)) / (yb - ya) + xa) inside = !inside;
      }
      if (!inside) continue;
      // A second tap on the same patch means the block it lies in.
      const cell = this.cellOf(i);
      this.onChoose(this.chosen === `p${i}` && cell >= 0 ? `b${cell}` : `p${i}`, "tap");
      return;
    }
  }

  // One button a block, for the keyboard and for those who hear the page.
  buttons() {
    const rows = new Map();
    this.head.cells.forEach((cell, index) => {
      const key = `${cell.row} ${cell.between}`;
      if (!rows.has(key)) rows.set(key, []);
      rows.get(key).push([cell, index]);
    });
    const focused = document.activeElement?.dataset?.cell;
    this.cells.replaceChildren(...[...rows.values()].map((row) => {
      const line = document.createElement("div");
      line.setAttribute("role", "row");
      for (const [cell, index] of row) {
        const button = document.createElement("button");
        button.type = "button";
        button.dataset.cell = index;
        button.tabIndex = index === Number(focused ?? 0) ? 0 : -1;
        button.setAttribute("role", "gridcell");
        button.setAttribute("aria-label", cell.says);
        const box = this.boxOf(index);
        const { width, height } = this.head;
        button.style.left = `${(box[0] / width) * 100}%`;
        button.style.top = `${(box[1] / height) * 100}%`;
        button.style.width = `${((box[2] - box[0]) / width) * 100}%`;
        button.style.height = `${((box[3] - box[1]) / height) * 100}%`;
        line.append(button);
      }
      return line;
    }));
    if (focused !== undefined) this.focus(Number(focused));
  }

  focus(cell) {
    for (const button of this.cells.querySelectorAll("button")) {
      button.tabIndex = Number(button.dataset.cell) === cell ? 0 : -1;
    }
    this.cells.querySelector(`[data-cell="${cell}"]`)?.focus();
    this.marks();
  }

  key(event) {
    const here = Number(event.target.dataset.cell);
    if (Number.isNaN(here)) return;
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    const of = this.head.cells[here];
    if (this.within !== null) {
      if (way) {
        const step = way[0] + way[1];
        this.within = (this.within + step + of.count) % of.count;
        this.onChoose(`p${of.first + this.within}`);
      } else if (event.key === "Escape") {
        this.within = null;
        this.onChoose(`b${here}`);
      } else return;
      event.preventDefault();
      return;
    }
    if (way) {
      const next = this.neighbour(here, way);
      if (next !== null) this.focus(next);
      event.preventDefault();
    } else if (event.key === "Enter" || event.key === " ") {
      if (this.chosen === `b${here}`) {
        this.within = 0;
        this.onSay("In the block: arrows go from patch to patch, Escape out.");
        this.onChoose(`p${of.first}`);
      } else this.onChoose(`b${here}`);
      event.preventDefault();
    }
  }

  neighbour(here, [right, down]) {
    const middle = (cell) => {
      const box = this.boxOf(cell);
      return [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    };
    const from = middle(here);
    let best = null;
    let least = Infinity;
    this.head.cells.forEach((_, index) => {
      if (index === here) return;
      const at = middle(index);
      const [x, y] = [at[0] - from[0], at[1] - from[1]];
      const along = x * right + y * down;
      const aside = Math.abs(x * down) + Math.abs(y * right);
      if (along <= 0.01 || aside > along) return;
      if (along + 3 * aside < least) { least = along + 3 * aside; best = index; }
    });
    return best;
  }

  // The picture for paper: numbers stand for the cloths, 16 cm at most, three dots a pixel.
  // Browsers do not print what is drawn on a canvas so late, so it is a picture file.
  paper() {
    if (!this.head) return null;
    const { width, height } = this.head;
    const scale = 605 / Math.max(width, height);
    const sheet = document.createElement("canvas");
    [sheet.width, sheet.height] = [Math.ceil(width * scale * 3), Math.ceil(height * scale * 3)];
    const { canvas, ratio, reading, states } = this;
    const kept = { canvas, scale: this.scale, ratio, reading, states };
    Object.assign(this, { canvas: sheet, scale, ratio: 3, reading: "numbers", states: null });
    const pen = this.pen();
    this.patches.forEach((patch, number) => this.fill(pen, patch, number));
    this.patches.forEach((patch) => this.seam(pen, patch));
    Object.assign(this, kept);
    return { src: sheet.toDataURL("image/png"), width: Math.round(width * scale), height: Math.round(height * scale) };
  }

  // The picture as a file, white behind.
  png(done) {
    const sheet = document.createElement("canvas");
    const k = Math.min(40, 4000 / Math.max(this.head.width, this.head.height));
    [sheet.width, sheet.height] = [this.head.width * k, this.head.height * k];
    const [canvas, scale, ratio] = [this.canvas, this.scale, this.ratio];
    Object.assign(this, { canvas: sheet, scale: k, ratio: 1 });
    const pen = this.pen();
    this.patches.forEach((patch, number) => this.fill(pen, patch, number));
    this.patches.forEach((patch) => this.seam(pen, patch));
    Object.assign(this, { canvas, scale, ratio });
    sheet.toBlob(done, "image/png");
  }
}
