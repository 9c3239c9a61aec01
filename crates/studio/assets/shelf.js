// The shelf: forms are sent as JSON, a plan file is read here and sent as text.
import { comforts, post, say } from "./studio.js";

comforts();

function tell(words) {
  const trouble = document.getElementById("trouble");
  trouble.hidden = false;
  trouble.textContent = words;
  trouble.focus();
}

// A quilt with its photographs, sent as it is.
async function whole(file) {
  if (file.size > 100 * 1024 * 1024) return { trouble: "This file is larger than 100 MB, which is the most." };
  say("Opening it; every photograph is looked at …");
  try {
    const answer = await fetch("/shelf/file", {
      method: "POST",
      headers: { "content-type": "application/octet-stream" },
      body: file,
    });
    if (answer.ok) return answer.json();
    const words = decodeURIComponent(answer.headers.get("x-trouble") ?? "") || "That file could not be opened.";
    say(words);
    return { trouble: words };
  } catch {
    return { trouble: "The program is not answering. Start it again to go on." };
  }
}

document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form.deed");
  if (!form) return;
  event.preventDefault();
  const fields = Object.fromEntries(new FormData(form));
  if (form.dataset.deed === "open") {
    const file = document.getElementById("plan-file").files[0];
    if (!file) { say("Choose a plan file first."); return; }
    if (file.name.toLowerCase().endsWith(".zip")) {
      const answer = await whole(file);
      if (answer.go) { location.href = answer.go; return; }
      tell(answer.trouble);
      return;
    }
    if (file.size > 1024 * 1024) { say("This file is larger than 1 MB; a plan file is not."); return; }
    fields.text = await file.text();
  }
  const answer = await post("/shelf", fields);
  if (answer.go) { location.href = answer.go; return; }
  if (form.dataset.deed === "open") tell(answer.trouble);
});
document.documentElement.dataset.ready = "yes";
