// Light and size of letters, set before anything is painted. Kept in this browser only.
(() => {
  const root = document.documentElement;
  const kept = (name) => { try { return localStorage.getItem(name); } catch { return null; } };
  if (kept("light")) root.dataset.light = kept("light");
  if (kept("letters")) root.dataset.letters = kept("letters");
  if (sessionStorage.getItem("table") === "yes") root.dataset.table = "yes";
})();
