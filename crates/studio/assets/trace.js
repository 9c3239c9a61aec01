// A photograph beneath the board, and drawings from files: chosen here, squared and read by the server.

// Most bytes of a drawing, as the server has it.
const DRAWING = 200_000;

export async function drawingFile(field, { say, deed }) {
  const [file] = field.files;
  if (!file) return;
  if (file.size > DRAWING) {
    say("This drawing is larger than 200 kB, which is the most. A block’s lines take far less: take pictures and text out of it.");
  } else {
    await deed({ do: "drawing", block: field.dataset.block, text: await file.text() });
  }
  field.value = "";
}

export async function tracing(field, id, { say, trace }) {
  const [file] = field.files;
  if (!file) return;
  say("The photograph is being brought in.");
  const path = `/quilt/${id}/photo?kind=tracing&name=${encodeURIComponent(file.name)}`;
  const answer = await fetch(path, {
    method: "POST",
    headers: { "content-type": "application/octet-stream" },
    body: file,
  }).catch(() => null);
  field.value = "";
  if (!answer?.ok) {
    say(decodeURIComponent(answer?.headers.get("x-trouble") ?? "") || "The photograph did not come in; choose it again.");
    return;
  }
  const { number } = await answer.json();
  await trace({ do: "lay", block: field.dataset.block, photo: String(number) });
}

// Four corners over a photograph: dragged, tapped two by two, or moved by the arrow keys.
export class Corners {
  static on(svg) {
    return svg ? new Corners(svg) : null;
  }

  constructor(svg) {
    this.svg = svg;
    this.marks = [...svg.querySelectorAll("[data-corner]")];
    this.at = this.marks.map((mark) => [Number(mark.getAttribute("cx")), Number(mark.getAttribute("cy"))]);
    this.held = 0;
    this.dragged = false;
    new ResizeObserver(() => {
      const room = svg.getBoundingClientRect();
      const { width, height } = svg.viewBox.baseVal;
      this.scale = Math.max(width / Math.max(room.width, 1), height / Math.max(room.height, 1));
      svg.style.setProperty("--k", this.scale);
    }).observe(svg);
    svg.addEventListener("pointerdown", (event) => this.down(event));
    svg.addEventListener("pointermove", (event) => { if (this.dragged) this.put(this.point(event)); });
    svg.addEventListener("pointerup", () => { if (this.dragged) { this.dragged = false; this.tell(); } });
    svg.addEventListener("pointercancel", () => { this.dragged = false; });
    svg.addEventListener("keydown", (event) => this.key(event));
    this.hold(0, false);
  }

  point(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  down(event) {
    event.preventDefault();
    this.svg.focus({ preventScroll: true });
    this.svg.setPointerCapture(event.pointerId);
    const [x, y] = this.point(event);
    const near = this.at.findIndex(([a, b]) => Math.hypot(a - x, b - y) < 30 * (this.scale ?? 1));
    if (near >= 0) { this.hold(near); this.dragged = true; } else { this.put([x, y]); this.tell(); }
  }

  hold(corner, speak = true) {
    this.held = corner;
    this.marks.forEach((mark, index) => mark.classList.toggle("held", index === corner));
    if (speak) this.say(`The ${this.marks[corner].dataset.says} corner is in hand. Tap where it is in the photograph.`);
  }

  put([x, y]) {
    const { width, height } = this.svg.viewBox.baseVal;
    this.at[this.held] = [Math.min(width, Math.max(0, x)), Math.min(height, Math.max(0, y))];
    const mark = this.marks[this.held];
    mark.setAttribute("cx", this.at[this.held][0]);
    mark.setAttribute("cy", this.at[this.held][1]);
    this.svg.querySelector("polygon").setAttribute("points", this.at.map((one) => one.join(",")).join(" "));
    const shares = this.at.flatMap(([a, b]) => [a / width, b / height]);
    document.getElementById("corners-are").value = shares.map((share) => Math.round(share * 10000)).join(" ");
  }

  tell() {
    const { width, height } = this.svg.viewBox.baseVal;
    const [x, y] = this.at[this.held];
    this.say(`The ${this.marks[this.held].dataset.says} corner: ${Math.round((100 * x) / width)} hundredths across, ${Math.round((100 * y) / height)} down.`);
  }

  say(words) {
    document.getElementById("corners-say").textContent = words;
  }

  key(event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    if (way) {
      const step = event.shiftKey ? 25 : 2.5;
      const [x, y] = this.at[this.held];
      this.put([x + way[0] * step, y + way[1] * step]);
      this.tell();
    } else if (event.key === "Enter" || event.key === " ") this.hold((this.held + 1) % 4);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
