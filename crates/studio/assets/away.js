(() => {
  const main = document.querySelector("main");
  const kept = `piecewright ${document.title}`;
  let done = {};
  try { done = JSON.parse(localStorage.getItem(kept)) || {}; } catch { done = {}; }
  const keep = () => { try { localStorage.setItem(kept, JSON.stringify(done)); } catch { /* ticks last while the page is open */ } };
  for (const place of document.querySelectorAll("[data-drawing]")) {
    const from = document.getElementById(`d${place.dataset.drawing}`);
    if (from) place.append(from.content.cloneNode(true));
  }
  const button = (words, call) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = words;
    b.addEventListener("click", call);
    return b;
  };
  for (const section of main.querySelectorAll("section")) {
    const lines = [...section.querySelectorAll("li")];
    const name = (line) => `${section.dataset.list} ${line.dataset.line}`;
    const count = (line) => Math.min(done[name(line)] || 0, Number(line.dataset.times));
    const first = () => Math.max(0, lines.findIndex((line) => count(line) < Number(line.dataset.times)));
    let at = first();
    const bar = document.createElement("div");
    bar.className = "bar";
    section.append(bar);
    const show = () => {
      lines.forEach((line, i) => { line.hidden = i !== at; });
      const line = lines[at];
      if (!line) { bar.textContent = "Nothing to do here."; return; }
      const times = Number(line.dataset.times);
      const ready = lines.filter((l) => count(l) >= Number(l.dataset.times)).length;
      const tick = (to, on) => () => {
        done[name(line)] = to;
        keep();
        if (on) at = first();
        show();
      };
      const words = document.createElement("p");
      words.setAttribute("role", "status");
      words.textContent = `Step ${at + 1} of ${lines.length} · ${count(line)} of ${times} done · ${ready} steps done in all`;
      const row = document.createElement("div");
      row.append(button("Back", () => { at = Math.max(0, at - 1); show(); }));
      if (times > 1 && count(line) + 1 < times) row.append(button("One more", tick(count(line) + 1, false)));
      if (count(line) < times) row.append(button(times > 1 ? `All ${times}` : "Done, next", tick(times, true)));
      else row.append(button("Not done", tick(0, false)));
      row.append(button("On", () => { at = Math.min(lines.length - 1, at + 1); show(); }));
      bar.replaceChildren(words, row);
    };
    show();
  }
  const tabs = document.createElement("nav");
  const turn = (list) => {
    for (const section of main.querySelectorAll("section")) section.hidden = section.dataset.list !== list;
    for (const b of tabs.children) b.setAttribute("aria-pressed", String(b.dataset.list === list));
  };
  for (const [list, words] of [["cut", "Cutting"], ["sew", "Sewing"]]) {
    const b = button(words, () => turn(list));
    b.dataset.list = list;
    tabs.append(b);
  }
  document.querySelector("header").append(tabs);
  turn("cut");
  navigator.wakeLock?.request("screen").catch(() => {});
})();
