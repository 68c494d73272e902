"use strict";
(() => {
  const steps = [...document.querySelectorAll("main > section")];
  const [back, on, where] = ["back", "on", "where"].map((id) => document.getElementById(id));
  if (steps.length === 0) return;
  document.body.classList.add("one");
  let at = Math.max(0, steps.findIndex((step) => "#" + step.id === location.hash));
  const show = (focus) => {
    steps.forEach((step, index) => step.classList.toggle("shown", index === at));
    back.disabled = at === 0;
    on.disabled = at === steps.length - 1;
    where.textContent = `Step ${at + 1} of ${steps.length}`;
    if (focus) steps[at].querySelector("h2").focus();
  };
  const go = (by) => {
    const next = Math.min(steps.length - 1, Math.max(0, at + by));
    if (next !== at) { at = next; show(true); }
  };
  back.addEventListener("click", () => go(-1));
  on.addEventListener("click", () => go(1));
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "ArrowRight" || event.key === "PageDown") { event.preventDefault(); go(1); }
    if (event.key === "ArrowLeft" || event.key === "PageUp") { event.preventDefault(); go(-1); }
  });
  window.addEventListener("beforeprint", () => document.querySelectorAll("details").forEach((it) => { it.open = true; }));
  show(false);
})();
