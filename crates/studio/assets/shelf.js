// The shelf: forms are sent as JSON, a plan file is read here and sent as text.
import { comforts, post, say } from "./studio.js";

comforts();
document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form.deed");
  if (!form) return;
  event.preventDefault();
  const fields = Object.fromEntries(new FormData(form));
  const trouble = document.getElementById("trouble");
  if (form.dataset.deed === "open") {
    const file = document.getElementById("plan-file").files[0];
    if (!file) { say("Choose a plan file first."); return; }
    if (file.size > 1024 * 1024) { say("This file is larger than 1 MB; a plan file is not."); return; }
    fields.text = await file.text();
  }
  const answer = await post("/shelf", fields);
  if (answer.go) { location.href = answer.go; return; }
  if (trouble && form.dataset.deed === "open") {
    trouble.hidden = false;
    trouble.textContent = answer.trouble;
    trouble.focus();
  }
});
document.documentElement.dataset.ready = "yes";
