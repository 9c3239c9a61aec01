// Work that is waited for: done beside everything else, with how far it is and a way to stop.

let under = null;

// Has the work done that the sheet waits for, if it waits for any.
export function runErrands({ refresh, say, post }) {
  const holder = document.querySelector("[data-errand]");
  const address = holder?.dataset.errand;
  if (under && under.address !== address) under.leave();
  if (!address || under) return;
  under = new Errand(address, { refresh, say, post });
}

class Errand {
  constructor(address, { refresh, say, post }) {
    this.address = address;
    this.post = post;
    this.name = crypto.randomUUID();
    this.over = new AbortController();
    this.say = say;
    this.clicked = (event) => { if (event.target.closest("[data-stop]")) this.stop(); };
    document.addEventListener("click", this.clicked);
    this.watching = setInterval(() => this.look(), 200);
    this.run().then((answer) => {
      if (under !== this) return;
      this.end();
      if (answer?.stopped) this.stand("Stopped.");
      else if (answer) refresh();
    });
  }

  async run() {
    const mark = this.address.includes("?") ? "&" : "?";
    try {
      const answer = await fetch(`${this.address}${mark}errand=${this.name}`, { signal: this.over.signal });
      if (answer.ok) return answer.json();
      const words = decodeURIComponent(answer.headers.get("x-trouble") ?? "")
        || "That did not work; everything you made is kept.";
      this.say(words);
      if (under === this) this.stand(words);
    } catch {
      if (under === this) this.stand("The program is not answering. Your quilt is kept; start it again to go on.");
    }
    return null;
  }

  async look() {
    const answer = await fetch(`/errand/${this.name}`).catch(() => null);
    if (!answer?.ok || under !== this) return;
    const { done, of } = await answer.json();
    const bar = document.querySelector("[data-errand] progress");
    if (!bar || of === 0) return;
    bar.max = of;
    bar.value = done;
    bar.textContent = `${done} of ${of}`;
  }

  stop() {
    this.say("Stopping …");
    this.post(`/errand/${this.name}/stop`, {});
  }

  // Nobody waits for it any more.
  leave() {
    this.post(`/errand/${this.name}/stop`, {});
    this.over.abort();
    this.end();
  }

  end() {
    clearInterval(this.watching);
    document.removeEventListener("click", this.clicked);
    if (under === this) under = null;
  }

  // Says how it ended, with a way to begin again.
  stand(words) {
    const holder = document.querySelector("[data-errand]");
    if (!holder) return;
    const address = holder.dataset.errand;
    delete holder.dataset.errand;
    holder.querySelector(".words").textContent = words;
    holder.querySelector("progress").hidden = true;
    const button = holder.querySelector("button");
    delete button.dataset.stop;
    button.textContent = "Begin again";
    button.addEventListener("click", () => location.assign(location.href), { once: true });
    this.say(words);
    holder.dataset.was = address;
  }
}
