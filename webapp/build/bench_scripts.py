"""What is measured, as functions that run in the page and answer with milliseconds."""

from __future__ import annotations

MODULE = "(path) => import(new URL(path, document.baseURI).href)"

BARE = """async () => {
  const start = performance.now();
  const worker = new Worker(new URL("worker.js", location.href), { type: "module" });
  const found = {};
  await new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => {
      found[data] = performance.now() - start;
      if (data === "numpy") resolve();
    };
    worker.onerror = (event) => reject(new Error(event.message));
    worker.postMessage(new URL("./", location.href).href);
  });
  worker.terminate();
  return found;
}"""

KEPT = f"""async () => {{
  const {{ offline }} = await ({MODULE})("store/offline.js");
  await new Promise((resolve, reject) => {{
    const look = () => {{
      if (offline.state.name === "ready") resolve();
      if (["failed", "unsupported"].includes(offline.state.name)) reject(new Error(offline.sentence));
    }};
    offline.addEventListener("change", look);
    look();
  }});
}}"""

STORE_DEMO = f"""async () => {{
  const {{ ask }} = await ({MODULE})("worker/client.js");
  const {{ value }} = await ask("demo_cases", {{}});
  const {{ store }} = document.querySelector("gl-shell");
  for (const record of value.cases) if (!await store.read(record.code)) await store.create(record);
  return value.cases;
}}"""

FORGET = f"""async () => {{
  const build = document.querySelector('meta[name="guyline-build"]').content;
  await (await ({MODULE})("worker/kept-snapshot.js")).forget(build);
}}"""

SNAPSHOT = f"""async () => {{
  for (let turn = 0; turn < 5; turn += 1) {{
    const outcome = await (await ({MODULE})("worker/snapshot.js")).makeSnapshot();
    if (outcome !== "interrupted") return outcome;
  }}
  return "interrupted";
}}"""

# Run at once after a load; the clock began with the navigation.
START = f"""async (operation, payload) => {{
  const eyes = () => document.querySelector("gl-shell")?.shadowRoot?.querySelector("gl-eyes-view")?.shadowRoot;
  const seen = new Promise((resolve) => {{
    const look = () => (eyes()?.querySelector("a.eye") ? resolve(performance.now()) : setTimeout(look, 4));
    look();
  }});
  while (!document.querySelector('meta[name="guyline-build"]')) await new Promise((go) => setTimeout(go, 2));
  const {{ ask, status }} = await ({MODULE})("worker/client.js");
  await ask(operation, payload);
  const advice = performance.now();
  while (status.numpy !== "ready") await new Promise((go) => status.addEventListener("change", go, {{ once: true }}));
  return {{ eyes: await seen, advice, numpy: performance.now(), from: status.from, heap: status.heap, steps: status.steps }};
}}"""

ROUND_TRIPS = f"""async (operation, payload, times) => {{
  const {{ ask }} = await ({MODULE})("worker/client.js");
  const found = [];
  for (let turn = 0; turn < times; turn += 1) {{
    const start = performance.now();
    await ask(operation, payload, {{ waitForNumpy: true }});
    found.push(performance.now() - start);
  }}
  return found;
}}"""

# A list of ten thousand, scrolled from end to end a screen at a time; the longest frame.
SCROLL = f"""async (count) => {{
  await ({MODULE})("views/eyes/long-list.js");
  const {{ html }} = await import("lit");
  const box = document.createElement("div");
  box.style.cssText = "position: fixed; inset: 0; overflow: auto; z-index: 9; background: white";
  const list = document.createElement("gl-long-list");
  list.keyOf = (row) => row.code;
  list.drawRow = (row) => html`<a class="eye" href=${{row.code}}><gl-eye .eye=${{"right"}} .code=${{row.code}}></gl-eye><p>Follow-up due</p></a>`;
  list.rows = Array.from({{ length: count }}, (_, place) => ({{ code: `E${{place}}` }}));
  box.append(list);
  document.body.append(box);
  await list.updateComplete;
  let longest = 0, last = performance.now();
  for (let turn = 0; turn < 200; turn += 1) {{
    box.scrollTo({{ top: turn % 4 ? box.scrollTop + 600 : (box.scrollHeight * turn) / 200 }});
    await new Promise((go) => requestAnimationFrame(go));
    const now = performance.now();
    if (turn > 5) longest = Math.max(longest, now - last);
    last = now;
  }}
  box.remove();
  return longest;
}}"""
