// One window of the studio: sends what is asked for, shows what comes back. No craft here.
import { Board } from "./board.js";
import { Cloth } from "./cloth.js";
import { runErrands } from "./errand.js";
import { Picture } from "./picture.js";
import { Corners, drawingFile, tracing } from "./trace.js";

const root = document.documentElement;
const $ = (id) => document.getElementById(id);

export function say(words) {
  const status = $("status");
  if (status) status.textContent = words;
}

// One gesture at a time, so that answers cannot overtake each other.
let line = Promise.resolve();

export function post(path, fields) {
  const asked = line.then(() => send(path, fields));
  line = asked.catch(() => {});
  return asked;
}

async function send(path, fields) {
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(fields),
    });
    if (answer.ok) return answer.json();
    const words = decodeURIComponent(answer.headers.get("x-trouble") ?? "")
      || (await answer.text()).trim().slice(0, 300);
    say(words);
    return { trouble: words, status: answer.status };
  } catch {
    const words = "The program is not answering. Your quilt is kept; start it again to go on.";
    say(words);
    return { trouble: words, status: 0 };
  }
}

// Light, letters, and a step that fills the screen.
export function comforts() {
  const keep = (name, value) => { try { localStorage.setItem(name, value); } catch { /* no matter */ } };
  const dim = () => root.dataset.light === "dim"
    || (root.dataset.light !== "bright" && matchMedia("(prefers-color-scheme: dark)").matches);
  const sizes = ["book", "table", "room"];
  const words = () => {
    for (const button of document.querySelectorAll("[data-comfort]")) {
      if (button.dataset.comfort === "light") button.textContent = dim() ? "Light the room" : "Dim the room";
      if (button.dataset.comfort === "letters") {
        button.textContent = root.dataset.letters === "room" ? "Smaller letters" : "Larger letters";
      }
      if (button.dataset.comfort === "table") {
        button.textContent = root.dataset.table === "yes" ? "Back to the desk" : "Fill the screen";
      }
    }
  };
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-comfort]");
    if (!button) return;
    if (button.dataset.comfort === "light") {
      root.dataset.light = dim() ? "bright" : "dim";
      keep("light", root.dataset.light);
    } else if (button.dataset.comfort === "letters") {
      const now = sizes.indexOf(root.dataset.letters ?? "book");
      root.dataset.letters = sizes[(now + 1) % sizes.length];
      keep("letters", root.dataset.letters);
    } else {
      root.dataset.table = root.dataset.table === "yes" ? "no" : "yes";
      sessionStorage.setItem("table", root.dataset.table);
      if (root.dataset.table === "yes") awake();
    }
    words();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", words);
  words();
  return words;
}

// The screen stays awake beside the table and the machine.
let lock = null;
async function awake() {
  try { lock = await navigator.wakeLock?.request("screen"); } catch { lock = null; }
}

function start() {
  const body = document.body;
  const id = body.dataset.quilt;
  // Only steps fill the screen: whoever goes elsewhere finds the desk again.
  if (!["cutting", "sewing"].includes(body.dataset.screen)) {
    document.documentElement.dataset.table = "no";
    sessionStorage.setItem("table", "no");
  }
  let turned = Number(body.dataset.turned);
  let asked = 0;
  let own = null;
  let partsChosen = null;
  const words = comforts();
  const query = () => new URLSearchParams(location.search);

  const stepwise = ["cutting", "sewing"].includes(body.dataset.screen);
  const choose = (what, by) => {
    picture.choose(what);
    const now = query();
    now.set("chosen", what);
    now.delete("piece");
    // The step is then that of what is chosen.
    now.delete("at");
    if (body.dataset.screen === "cloth") { now.delete("cloth"); now.delete("photo"); }
    history.replaceState(null, "", `?${now}`);
    follow();
    refresh().then(() => {
      const from = $("comes-from");
      if (from) say(from.textContent);
      // Where the regions lie below each other, what was chosen comes into view.
      if (by === "tap") delete body.dataset.open;
      if (by === "tap" && matchMedia("(max-width: 999px), (max-height: 699px)").matches) {
        $(stepwise ? "sheet" : "card").scrollIntoView({ block: "start" });
      }
    });
  };
  const grow = (count) => deed({ do: "count", ...count });
  const picture = new Picture(id, { onChoose: choose, onSay: say, onGrow: grow });
  let board = null;
  let cloth = null;

  // A photograph on the sheet, or none.
  const showPhoto = (number) => {
    const now = query();
    now.set("look", "photos");
    if (number === null) now.delete("photo");
    else now.set("photo", number);
    history.pushState(null, "", `?${now}`);
    return refresh();
  };

  // What is chosen is chosen on every screen.
  const follow = () => {
    const chosen = query().get("chosen");
    for (const link of document.querySelectorAll("#tape a[data-screen]")) {
      const to = `/quilt/${id}/${link.dataset.screen}`;
      link.setAttribute("href", chosen ? `${to}?chosen=${chosen}` : to);
    }
  };

  async function refresh() {
    asked += 1;
    const mine = asked;
    const now = query();
    now.set("part", "1");
    const answer = await fetch(`/quilt/${id}/${body.dataset.screen}?${now}`).catch(() => null);
    if (!answer?.ok || mine !== asked) return;
    put(await answer.json());
  }

  // Fields a maker has changed but not sent, when someone else's news come in.
  function unsent() {
    const fields = document.querySelectorAll("#sheet [id], #card [id]");
    return [...fields].filter((e) => (e.matches("select")
      ? [...e.options].some((o) => o.selected !== o.defaultSelected)
      : e.matches("input") && (e.value !== e.defaultValue || e.checked !== e.defaultChecked)))
      .map((e) => [e.id, e.value, e.checked]);
  }

  function put(parts, fields = []) {
    const focus = document.activeElement?.id;
    const open = new Set([...document.querySelectorAll("details[open] > summary")].map((s) => s.textContent));
    $("title").textContent = parts.title;
    $("kept").textContent = parts.kept;
    const status = $("status").textContent;
    $("sheet").innerHTML = parts.sheet;
    $("card").innerHTML = parts.card;
    $("tape").innerHTML = parts.tape;
    $("legend").outerHTML = parts.legend;
    $("status").textContent = status;
    for (const summary of document.querySelectorAll("details > summary")) {
      if (open.has(summary.textContent)) summary.parentElement.open = true;
    }
    for (const [name, value, checked] of fields) {
      const field = $(name);
      if (!field) continue;
      if (field.type === "radio") field.checked = checked;
      else field.value = value;
    }
    if (focus && document.activeElement?.id !== focus) $(focus)?.focus({ preventScroll: true });
    follow();
    words();
    board = Board.on($("board"), board, { deed, choosePiece });
    Corners.on($("corners"));
    root.dataset.sheet = parts.turned;
    outline();
    cloth?.fresh();
    runErrands({ refresh, say, post });
  }

  const choosePiece = (piece, block) => {
    const now = query();
    now.set("piece", piece);
    now.set("block", block);
    history.replaceState(null, "", `?${now}`);
    refresh();
  };

  // How far the deed at hand reaches, outlined before it is done.
  function outline() {
    const checked = document.querySelector("#card input[name=reach]:checked");
    picture.outline(checked?.dataset.patches ? checked.dataset.patches.split(",").map(Number) : []);
  }

  // A gesture: sent, shown, and only then the sheets. A tick or a step of the history says
  // at which step of the work the page stands then.
  async function deed(fields, path = "do") {
    performance.mark("gesture");
    delete root.dataset.band;
    picture.outline([]);
    const answer = await post(`/quilt/${id}/${path}`, { ...fields, turned });
    if (answer.trouble) {
      if (answer.status === 409) await look();
      troubled(answer.trouble);
      return false;
    }
    if (answer.turned !== turned) own = answer.turned;
    turned = answer.turned;
    $("stale").hidden = answer.whole;
    if (answer.set) picture.set(answer.set, turned);
    else if (answer.whole) await picture.load();
    root.dataset.shown = turned;
    requestAnimationFrame(() => setTimeout(() => performance.measure("gesture to picture", "gesture")));
    say(answer.says);
    if (stepwise && path !== "do") {
      const now = query();
      if (answer.at) now.set("at", answer.at);
      else now.delete("at");
      history.replaceState(null, "", `?${now}`);
    }
    await refresh();
    if (states()) await read($("reading").value);
    return true;
  }

  // Trouble has one form: what happened, what is untouched, and a button; where, is what is
  // chosen or outlined in the picture. It stands until something else is done.
  function troubled(words) {
    $("refused")?.remove();
    const box = document.createElement("div");
    box.id = "refused";
    box.className = "finding stop";
    const line = (tag, text) => {
      const part = document.createElement(tag);
      part.textContent = text;
      box.append(part);
      return part;
    };
    line("p", words).prepend(Object.assign(document.createElement("strong"), { textContent: "Stop: " }));
    line("p", "Nothing was changed; your quilt is kept as it was.");
    const close = line("button", "All right");
    close.type = "button";
    close.addEventListener("click", () => { box.remove(); $("card").focus({ preventScroll: true }); });
    $("card").prepend(box);
    box.scrollIntoView({ block: "nearest" });
  }

  // Readings that follow the ticks.
  const states = () => ({ cut: "cut", sewn: "sew" })[$("reading").value];

  // Someone else changed it, or ticked something off.
  async function look() {
    asked += 1;
    const mine = asked;
    const parts = query();
    parts.set("part", "1");
    const answer = await fetch(`/quilt/${id}/${body.dataset.screen}?${parts}`).catch(() => null);
    if (!answer?.ok || mine !== asked) return;
    const now = await answer.json();
    if (now.turned !== turned) {
      turned = now.turned;
      await picture.load();
      say("Changed in another window.");
    }
    put(now, unsent());
    if (states()) await read($("reading").value);
    root.dataset.shown = turned;
  }

  async function read(reading) {
    let states = null;
    const list = { cut: "cut", sewn: "sew" }[reading];
    if (list) {
      const answer = await fetch(`/quilt/${id}/so-far/${list}`).catch(() => null);
      if (answer?.ok) states = await answer.json();
    }
    picture.read(reading, states);
    root.dataset.reading = reading;
  }

  // A photograph beneath the board: laid, squared, taken away.
  async function trace(fields) {
    const answer = await post(`/quilt/${id}/tracing`, fields);
    if (answer.trouble) return;
    const now = query();
    now.delete("square");
    history.replaceState(null, "", `?${now}`);
    say(answer.says);
    await refresh();
  }

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (form.id === "division") { event.preventDefault(); return; }
    if (!form.matches("form.deed")) return;
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(form, event.submitter ?? undefined));
    if (form.dataset.trace) { await trace(fields); return; }
    if (!form.dataset.tick) { await deed(fields, form.dataset.path); return; }
    if (await deed(fields, "tick") && form.dataset.deed === "tick") {
      ($("step-one") ?? $("step-all") ?? $("step-on"))?.focus({ preventScroll: true });
    }
  });

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-part]");
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
      event.preventDefault();
      history.pushState(null, "", link.getAttribute("href"));
      refresh().then(() => $(link.dataset.to)?.scrollIntoView());
    }
    const chooser = event.target.closest("[data-choose]");
    if (chooser) choose(chooser.dataset.choose);
    const go = event.target.closest("[data-go]");
    if (go) deed({ step: Number(go.dataset.go) }, "go");
    if (event.target.closest("#band")) {
      if (body.dataset.open === "yes") delete body.dataset.open;
      else body.dataset.open = "yes";
    }
    const where = event.target.closest("[data-where]");
    if (where) outlined(where.dataset.where);
    const zoom = event.target.closest("[data-zoom]");
    if (zoom) picture.closer(zoom.dataset.zoom);
    if (event.target.closest("#as-png")) {
      picture.png((blob) => {
        const file = document.createElement("a");
        file.href = URL.createObjectURL(blob);
        file.download = $("as-png").dataset.name;
        file.click();
        say("The picture is in your downloads.");
      });
    }
  });

  // Every place of a step's pieces or units, outlined in the picture.
  async function outlined(path) {
    const answer = await fetch(`/quilt/${id}/where/${path}`).catch(() => null);
    if (!answer?.ok) { say("The places could not be found; load the page again."); return; }
    const places = await answer.json();
    // Beside the machine the picture comes back as a band.
    root.dataset.band = "yes";
    body.dataset.open = "yes";
    picture.outline(places);
    picture.fit();
    $("picture").scrollIntoView({ block: "nearest" });
    say(places.length === 1 ? "Outlined in the picture: 1 patch."
      : `Outlined in the picture: ${places.length} patches.`);
  }

  document.addEventListener("change", (event) => {
    if (event.target.id === "reading") read(event.target.value);
    if (event.target.name === "reach") outline();
    if (event.target.name === "parts") {
      // Once the maker has ticked all she wants.
      clearTimeout(partsChosen);
      partsChosen = setTimeout(() => {
        const boxes = [...document.querySelectorAll("input[name=parts]")];
        const now = query();
        now.delete("leaf");
        now.set("parts", boxes.filter((box) => box.checked).map((box) => box.value).join("-") || "cover");
        if (boxes.every((box) => box.checked)) now.delete("parts");
        history.replaceState(null, "", `?${now}`);
        refresh();
      }, 600);
    }
    if (event.target.id === "trace-file") tracing(event.target, id, { say, trace });
    if (event.target.id === "drawing-file") drawingFile(event.target, { say, deed });
    if (event.target.id === "strength") {
      const { value, dataset } = event.target;
      post(`/quilt/${id}/tracing`, { do: "strength", block: dataset.block, strength: value });
    }
    if (event.target.id === "dots") {
      const now = query();
      now.set("dots", event.target.value);
      history.replaceState(null, "", `?${now}`);
      refresh();
    }
  });

  document.addEventListener("input", (event) => {
    if (event.target.id === "strength") board?.strength(Number(event.target.value));
  });
  document.addEventListener("keydown", (event) => keys(event));
  function keys(event) {
    const typing = event.target.closest?.("input:not([type=radio]), select, textarea");
    const command = event.ctrlKey || event.metaKey;
    if (command && !typing && event.key.toLowerCase() === "z") {
      event.preventDefault();
      $(event.shiftKey ? "redo" : "undo")?.click();
    } else if (event.key === "F6") {
      event.preventDefault();
      const regions = ["picture", "sheet", "card", "tape"].map($);
      const now = regions.findIndex((region) => region.contains(document.activeElement));
      const step = event.shiftKey ? regions.length - 1 : 1;
      regions[(Math.max(now, event.shiftKey ? 0 : -1) + step) % regions.length].focus();
    } else if ((event.key === "[" || event.key === "]") && !typing) {
      const all = [...document.querySelectorAll("#card fieldset:first-of-type input[name=reach]")];
      const now = all.findIndex((one) => one.checked);
      const next = all[now + (event.key === "]" ? 1 : -1)];
      if (next) { next.checked = true; outline(); say(`Reaches ${next.parentElement.textContent}.`); }
    } else if (["cutting", "sewing"].includes(body.dataset.screen) && !typing) pedal(event);
  }

  // Page-turner pedals send the page keys; the space bar only where no button has it.
  function pedal(event) {
    const on = event.target.closest?.("button, a, summary, label");
    const press = (...ids) => ids.map($).find(Boolean)?.click();
    if (event.key === "PageDown" || (event.key === " " && !on)) press("step-one", "step-all", "step-on");
    else if (event.key === "PageUp") press("step-back");
    else return;
    event.preventDefault();
  }

  // On paper numbers stand for the cloths, and the list of cloths says what they mean.
  addEventListener("beforeprint", () => {
    $("print-date").textContent = new Date().toLocaleDateString(undefined, { dateStyle: "long" });
    $("legend").open = true;
    const drawn = picture.paper();
    if (!drawn) return;
    const paper = $("paper-picture") ?? document.createElement("img");
    Object.assign(paper, { id: "paper-picture", alt: "", decoding: "sync", ...drawn });
    $("frame").append(paper);
  });
  addEventListener("afterprint", () => {
    $("legend").open = false;
    $("paper-picture")?.remove();
  });

  addEventListener("popstate", () => { picture.choose(query().get("chosen")); refresh(); });

  // Two windows in step, while this one is looked at.
  let told = null;
  const listen = () => {
    told?.close();
    told = null;
    if (document.hidden) return;
    told = new EventSource(`/quilt/${id}/told`);
    let first = true;
    told.onmessage = (event) => {
      const there = Number(event.data);
      const news = there !== turned || !first;
      first = false;
      // What this window did itself it has shown already.
      line.then(() => {
        if (there === own) own = null;
        else if (news && there >= turned) look();
      });
    };
    if (root.dataset.table === "yes" && !lock) awake();
  };
  document.addEventListener("visibilitychange", listen);
  addEventListener("pagehide", () => told?.close());

  follow();
  runErrands({ refresh, say, post });
  picture.chosen = query().get("chosen");
  board = Board.on($("board"), null, { deed, choosePiece });
  if (body.dataset.screen === "cloth") cloth = new Cloth(id, { deed, refresh, say, post, show: showPhoto });
  Corners.on($("corners"));
  picture.load().then(async () => {
    await read($("reading").value);
    outline();
    listen();
    root.dataset.shown = turned;
    root.dataset.sheet = turned;
    root.dataset.ready = "yes";
  });
}

if (document.body.dataset.quilt) start();
