// Photographs, marks and the value line: sends what is brought and pulled. No craft here.

const $ = (id) => document.getElementById(id);
const MOST = 20 * 1024 * 1024;
const SVG = "http://www.w3.org/2000/svg";

export class Cloth {
  constructor(id, { deed, refresh, say, post, show }) {
    Object.assign(this, { id, deed, refresh, say, post, show });
    // What is being brought, as long as it takes; it outlives fresh sheets.
    this.lines = document.createElement("ul");
    this.lines.className = "bringing";
    this.mark = "ruler";
    this.read = new Map();
    this.reading = null;
    document.addEventListener("change", (event) => this.changed(event));
    document.addEventListener("submit", (event) => this.submitted(event));
    document.addEventListener("click", (event) => this.clicked(event));
    this.drops();
    this.fresh();
  }

  // The sheet has been written anew.
  fresh() {
    $("bring")?.append(this.lines);
    this.board();
    this.measured();
    this.line();
  }

  // Bringing files: one after another, each with how far it is and a way to stop it.

  drops() {
    const sheet = $("sheet");
    const holds = (event) => event.dataTransfer?.types.includes("Files") && document.body.dataset.screen === "cloth";
    sheet.addEventListener("dragover", (event) => {
      if (!holds(event)) return;
      event.preventDefault();
      sheet.classList.add("over");
    });
    sheet.addEventListener("dragleave", () => sheet.classList.remove("over"));
    sheet.addEventListener("drop", (event) => {
      sheet.classList.remove("over");
      if (!holds(event)) return;
      event.preventDefault();
      this.bring([...event.dataTransfer.files]);
    });
  }

  changed(event) {
    if (!["bring-files", "bring-camera"].includes(event.target.id)) return;
    const files = [...event.target.files];
    event.target.value = "";
    this.bring(files);
  }

  async bring(files) {
    let last = null;
    for (const file of files) last = await this.one(file) ?? last;
    if (last !== null) this.show(last);
  }

  one(file) {
    const line = document.createElement("li");
    const words = document.createElement("span");
    const bar = document.createElement("progress");
    const stop = document.createElement("button");
    stop.type = "button";
    stop.textContent = `Stop ${file.name}`;
    bar.max = Math.max(1, file.size);
    bar.setAttribute("aria-label", file.name);
    words.textContent = `${file.name}: bringing it …`;
    line.append(words, bar, stop);
    this.lines.append(line);
    const end = (trouble) => {
      bar.remove();
      if (!trouble) { line.remove(); return; }
      this.say(trouble);
      words.textContent = trouble;
      stop.textContent = "Good";
      stop.addEventListener("click", () => line.remove(), { once: true });
    };
    if (file.size > MOST) {
      end(`“${file.name}” is larger than 20 MB, which is the most. Save it smaller; nothing was kept of it.`);
      return Promise.resolve(null);
    }
    return new Promise((done) => {
      const send = new XMLHttpRequest();
      const name = encodeURIComponent(file.name);
      send.open("POST", `/quilt/${this.id}/photo?kind=cloth&name=${name}`);
      send.setRequestHeader("content-type", "application/octet-stream");
      send.upload.addEventListener("progress", (event) => {
        bar.value = event.loaded;
        const mb = (bytes) => (bytes / 1048576).toFixed(1);
        words.textContent = event.loaded < event.total
          ? `${file.name}: ${mb(event.loaded)} of ${mb(event.total)} MB`
          : `${file.name}: looking at it …`;
      });
      send.addEventListener("load", () => {
        if (send.status === 200) {
          end(null);
          this.say(`${file.name} is on the table.`);
          done(JSON.parse(send.responseText).number);
        } else {
          end(decodeURIComponent(send.getResponseHeader("x-trouble") ?? "") || "That did not work; nothing was kept of it.");
          done(null);
        }
      });
      send.addEventListener("error", () => {
        end("The program is not answering, or the file is too large. Your quilt is kept.");
        done(null);
      });
      send.addEventListener("abort", () => { line.remove(); this.say("Stopped; nothing was kept of it."); done(null); });
      stop.addEventListener("click", () => send.abort(), { once: true });
      send.send(file);
    });
  }

  // Marks in a photograph: tapped, pulled, or moved with the arrow keys.

  board() {
    const board = $("marking");
    if (!board) return;
    const layer = $("mark-layer");
    layer.addEventListener("pointerdown", (event) => this.down(event));
    layer.addEventListener("pointermove", (event) => this.moved(event));
    layer.addEventListener("pointerup", (event) => this.up(event));
    layer.addEventListener("keydown", (event) => this.key(event));
    this.choose(this.mark);
  }

  choose(mark) {
    this.mark = mark;
    for (const button of document.querySelectorAll("[data-mark]")) {
      const on = button.dataset.mark === mark;
      button.setAttribute("aria-pressed", String(on));
      if (on) { this.many = Number(button.dataset.points); $("mark-help").textContent = button.dataset.help; }
    }
    for (const field of document.querySelectorAll("#photo-marks [data-of]")) field.hidden = field.dataset.of !== mark;
    this.points = this.kept(mark);
    this.draw();
  }

  kept(mark) {
    const numbers = $("photo-marks").elements[mark].value.split(" ").filter(Boolean).map(Number);
    const points = [];
    for (let i = 0; i + 1 < numbers.length; i += 2) points.push([numbers[i], numbers[i + 1]]);
    return points;
  }

  draw() {
    const layer = $("mark-layer");
    const board = $("marking");
    const scale = Number(board.dataset.wide) / Math.max(1, layer.getBoundingClientRect().width);
    const focus = layer.contains(document.activeElement) ? Number(document.activeElement.dataset.point) : null;
    layer.replaceChildren();
    const put = (name, attributes) => {
      const e = document.createElementNS(SVG, name);
      for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
      layer.append(e);
      return e;
    };
    const shape = (mark, points, quiet) => {
      if (points.length < 2) return;
      let ring = points;
      if (points.length === 2 && mark !== "ruler") {
        const [[a, b], [c, d]] = points;
        ring = [[a, b], [c, b], [c, d], [a, d]];
      }
      const all = ring.map((p) => p.join(",")).join(" ");
      const open = points.length < (mark === "corners" ? 4 : 2) || mark === "ruler";
      put(open ? "polyline" : "polygon", { points: all, class: quiet ? "quiet" : "" });
    };
    for (const button of document.querySelectorAll("[data-mark]")) {
      const mark = button.dataset.mark;
      if (mark !== this.mark) shape(mark, this.kept(mark), true);
    }
    shape(this.mark, this.points, false);
    this.points.forEach(([x, y], index) => {
      const dot = put("g", { tabindex: 0, role: "button", "data-point": index, "aria-label": `Mark ${index + 1} of ${this.many}: ${Math.round(x)} across, ${Math.round(y)} down` });
      const circle = (r, name) => {
        const c = document.createElementNS(SVG, "circle");
        c.setAttribute("cx", x); c.setAttribute("cy", y); c.setAttribute("r", r * scale); c.setAttribute("class", name);
        dot.append(c);
      };
      circle(28, "room");
      circle(9, "ring");
      circle(1.5, "eye");
      if (index === focus) dot.focus({ preventScroll: true });
    });
  }

  at(event) {
    const layer = $("mark-layer");
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(layer.getScreenCTM().inverse());
    const { wide, high } = $("marking").dataset;
    return [Math.round(Math.min(Math.max(p.x, 0), Number(wide))), Math.round(Math.min(Math.max(p.y, 0), Number(high)))];
  }

  down(event) {
    const dot = event.target.closest("[data-point]");
    this.held = { point: dot ? Number(dot.dataset.point) : null, from: [event.clientX, event.clientY], pulled: false };
    $("mark-layer").setPointerCapture(event.pointerId);
    event.preventDefault();
  }

  moved(event) {
    if (!this.held) return;
    const [x, y] = this.held.from;
    if (Math.hypot(event.clientX - x, event.clientY - y) > 5) this.held.pulled = true;
    if (this.held.pulled && this.held.point !== null) {
      this.points[this.held.point] = this.at(event);
      this.draw();
    }
  }

  up(event) {
    const held = this.held;
    this.held = null;
    if (!held) return;
    if (held.point !== null && held.pulled) { this.store(); return; }
    if (held.point !== null) {
      $("mark-layer").querySelector(`[data-point="${held.point}"]`)?.focus({ preventScroll: true });
      return;
    }
    if (!held.pulled) this.place(this.at(event));
  }

  // A further mark; once all are there, the next begins anew.
  place(point) {
    if (this.points.length >= this.many) this.points = [];
    this.points.push(point);
    this.draw();
    const left = this.many - this.points.length;
    this.say(left ? `Mark ${this.points.length} is set; ${left} to go.` : "All marks are set.");
    if (!left) this.store();
  }

  key(event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    const index = Number(event.target.dataset?.point);
    if (!way || Number.isNaN(index)) return;
    event.preventDefault();
    const board = $("marking").dataset;
    const one = Math.max(1, Number(board.wide) / Math.max(1, $("mark-layer").getBoundingClientRect().width));
    const far = one * (event.shiftKey ? 10 : 1);
    const [x, y] = this.points[index];
    const within = (v, most) => Math.round(Math.min(Math.max(v, 0), Number(most)));
    this.points[index] = [within(x + way[0] * far, board.wide), within(y + way[1] * far, board.high)];
    this.draw();
    clearTimeout(this.later);
    this.later = setTimeout(() => this.store(), 600);
  }

  // Kept at once when they are whole, and measured again.
  store() {
    if (this.points.length && this.points.length < this.many) return;
    $("photo-marks").elements[this.mark].value = this.points.flat().join(" ");
    this.keep();
  }

  async keep() {
    const form = $("photo-marks");
    if (!form) return;
    const fields = Object.fromEntries(new FormData(form));
    const answer = await this.post(`/quilt/${this.id}/marks`, fields);
    if (!answer.trouble) await this.refresh();
  }

  submitted(event) {
    const form = event.target;
    if (form.id === "photo-marks") {
      event.preventDefault();
      this.keep();
    } else if (form.id === "photo-away") {
      event.preventDefault();
      this.post(`/quilt/${this.id}/marks`, Object.fromEntries(new FormData(form))).then((answer) => {
        if (answer.trouble) return;
        this.say(answer.says);
        this.show(null);
      });
    }
  }

  clicked(event) {
    const tool = event.target.closest("[data-mark]");
    if (tool) this.choose(tool.dataset.mark);
    if (event.target.closest("#mark-middle")) {
      const { wide, high } = $("marking").dataset;
      const shift = 0.08 * Number(wide) * (this.points.length % this.many);
      this.place([Math.round(Number(wide) / 2 + shift), Math.round(Number(high) / 2)]);
      const dots = $("mark-layer").querySelectorAll("[data-point]");
      dots[dots.length - 1]?.focus({ preventScroll: true });
    }
    if (event.target.closest("#mark-clear")) { this.points = []; this.draw(); this.store(); }
    if (event.target.closest("#measure-stop")) this.reading?.abort();
    if (event.target.closest("#measure-again")) this.measured();
  }

  // What is read off the photograph, fetched beside everything else.
  async measured() {
    const holder = $("measured");
    this.reading?.abort();
    this.reading = null;
    if (!holder) return;
    const photo = holder.dataset.photo;
    const key = `${photo} ${holder.dataset.marks} ${document.body.dataset.turned}`;
    if (!this.read.has(key)) {
      const over = new AbortController();
      this.reading = over;
      const stand = (words) => {
        if (!holder.isConnected) return;
        holder.querySelector(".words").textContent = words;
        holder.querySelector("progress").hidden = true;
        const button = $("measure-stop");
        button.id = "measure-again";
        button.textContent = "Read it again";
      };
      try {
        const answer = await fetch(`/quilt/${this.id}/measured/${photo}`, { signal: over.signal });
        if (!answer.ok) {
          stand(decodeURIComponent(answer.headers.get("x-trouble") ?? "") || "That did not work; the photograph is kept.");
          return;
        }
        const text = await answer.text();
        if (this.read.size > 40) this.read.clear();
        this.read.set(key, text);
      } catch {
        if (this.reading === over) stand("Stopped. The photograph is kept.");
        return;
      }
      if (this.reading !== over) return;
      this.reading = null;
    }
    if (!holder.isConnected) return;
    holder.innerHTML = this.read.get(key);
    holder.dataset.read = "yes";
  }

  // Breaks of the value line, pulled along it.
  line() {
    const svg = $("value-line");
    if (!svg) return;
    const lights = svg.dataset.lights.split(" ").map(Number);
    const wide = Number(svg.dataset.wide);
    for (const bar of svg.querySelectorAll("[data-break]")) {
      let x = null;
      const at = (event) => {
        const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
        return Math.min(Math.max(p.x, 0), wide);
      };
      bar.addEventListener("pointerdown", (event) => {
        bar.setPointerCapture(event.pointerId);
        x = at(event);
        event.preventDefault();
      });
      bar.addEventListener("pointermove", (event) => {
        if (x === null) return;
        x = at(event);
        bar.setAttribute("transform", `translate(${x} 0)`);
      });
      bar.addEventListener("pointercancel", () => { x = null; this.refresh(); });
      bar.addEventListener("pointerup", () => {
        if (x === null) return;
        const light = 100 * (1 - x / wide);
        x = null;
        const to = lights.filter((one) => one > light).length;
        if (to === Number(bar.dataset.at)) { this.refresh(); return; }
        this.deed({ do: "break", break: bar.dataset.break, to: String(to) });
      });
    }
  }
}
