// What the surgeon sees while a call of the storage fails: run in the plan of one eye, as ({ rows }) -> results.
async ({ rows }) => {
  const { faults } = window;
  const shell = document.querySelector("gl-shell");
  const inside = (host, name) => host?.renderRoot?.querySelector(name);
  const field = () => inside(inside(inside(shell, "gl-eye-screen"), "gl-plan-view"), '[path="measurements.axial_length_mm"]');
  const until = async (look, ms) => {
    const end = performance.now() + ms;
    for (;;) {
      const found = look();
      if (found || performance.now() > end) return found;
      await new Promise((go) => faults.later(go, 4));
    }
  };
  const said = () => inside(inside(shell, "gl-undo"), "p")?.textContent ?? "";
  const banner = () => [...(inside(shell, "gl-status-line")?.renderRoot.querySelectorAll("gl-banner") ?? [])]
    .map((one) => `${one.heading ?? one.getAttribute("heading")} ${one.textContent}`).find((text) => text.startsWith("Not saved")) ?? "";
  const type = (text) => {
    const input = inside(field(), "input");
    input.focus();
    input.value = text;
    input.dispatchEvent(new InputEvent("input", { bubbles: true, composed: true }));
    input.blur();
  };
  faults.hurry = { waits: 80, pauses: 40 };
  const results = [];
  for (const { place, fault, text, times } of rows) {
    shell.said = "";
    await until(() => said() === "", 10_000);
    await shell.store.settled();
    faults.arm([{ place, fault, times: times ?? Infinity }]);
    type(text);
    const told = () => field().renderRoot.textContent.includes("Not saved. What you typed is still here.");
    await until(() => told() || said().startsWith("✓ Axial length"), 40_000);
    const seen = { told: told(), saved: said(), fired: faults.fired, value: inside(field(), "input").value };
    if (seen.told) seen.banner = await until(banner, 10_000);
    faults.disarm();
    if (seen.told) {
      [...field().renderRoot.querySelectorAll("button")].find((one) => one.textContent.trim() === "Save again").click();
      await until(() => said().startsWith("✓ Axial length") && !told() && !banner(), 40_000);
    }
    results.push({ ...seen, finally: said(), left: banner(), still: told() });
  }
  return results;
}
