// What the store is asked to do while a fault is armed, and what must be true afterwards whatever came of it.
// The text of one function: run in a page of the app as (names of stories) -> results.
async ({ rows }) => {
  const from = (path) => import(new URL(path, document.baseURI).href);
  const [{ Store, openStore }, { newCase }, { newCode }, { boxOf }, copies] = await Promise.all(
    ["store/store.js", "store/new-case.js", "store/codes.js", "store/box.js", "store/copy.js"].map(from));
  const MOST_MS = 40_000;
  const SECRETS = ["four grey herons wading", "three long boats at rest"];
  const derive = window.wholeDerive ??= SubtleCrypto.prototype.deriveBits;
  // The failures are tried here, not the strength of the passphrase.
  SubtleCrypto.prototype.deriveBits = function (how, ...rest) { return derive.call(this, { ...how, iterations: 1 }, ...rest); };
  const pause = (ms) => new Promise((go) => setTimeout(go, ms));
  const without = new Set(["id", "at", "updated_at", "created_at", "build", "seq", "undoes", "generation"]);
  const picture = (value, code) => JSON.stringify(value, (name, one) => (without.has(name) ? undefined : one))?.replaceAll(code, "CODE");
  const fresh = async () => {
    const store = await openStore();
    store.channel = null;
    if (store.locked) await store.unlock(SECRETS[0]).catch(() => store.unlock(SECRETS[1]));
    return store;
  };
  const raw = (name, version, work) => new Promise((done, fail) => {
    const asked = indexedDB.open(name, version);
    asked.onerror = () => fail(asked.error);
    asked.onsuccess = () => Promise.resolve(work(asked.result)).then((value) => { asked.result.close(); done(value); }, fail);
  });
  const dropped = (name) => new Promise((done) => { const asked = indexedDB.deleteDatabase(name); asked.onsuccess = asked.onerror = done; });

  // ---- stories: what was there before, what is done, and what it is asked about afterwards --

  const whole = async (store, code) => ({ record: await store.read(code), drafts: await store.drafts(code),
    log: (await store.log(code)).map(({ kind, path, from: before, to }) => [kind, path, before, to]) });
  const made = async (store, code, more = {}) => {
    await store.create({ ...newCase({ code, eye: "left", person: null }), ...more });
    await store.commit(code, "plan.target_d", -0.5);
    await store.draft(code, "plan.meridian_deg", "17");
  };
  const sealed = async (store, code) => { if (!store.sealed) await store.setPassphrase(SECRETS[0]); if (code) await made(store, code); };
  const opened = async (store, code) => { if (store.sealed) await store.removePassphrase(SECRETS[0]); if (code) await made(store, code); };
  const second = async (store, code) => {
    for (let turn = 0; turn < 400; turn += 1) {
      const copy = await copies.readCopy();
      if (copy?.row && (copy.row.sealed ? copy.row.code : copy.row.code) === code) return;
      await pause(5);
    }
  };
  const STORIES = {
    create: { act: (store, code) => store.create(newCase({ code, eye: "left", person: null })) },
    commit: { before: made, act: (store, code) => store.commit(code, "plan.target_d", 1.25) },
    "commit when sealed": { before: sealed, act: (store, code) => store.commit(code, "plan.target_d", 1.25) },
    append: { before: made, act: (store, code) => store.append(code, "readings", { refraction_d: 2 }, { clear: "plan." }) },
    "append badly written": { before: made, standing: "store/keeper.js put put", standing_fault: "truncated",
      act: (store, code) => store.append(code, "readings", { refraction_d: 2 }) },
    draft: { before: made, act: (store, code) => store.draft(code, "plan.target_d", "-1") },
    "draft ended": { before: made, act: (store, code) => store.draft(code, "plan.meridian_deg", null) },
    undo: { before: made, act: (store, code) => store.undo(code) },
    remove: { before: made, act: (store, code) => store.remove(code) },
    "remove a demo": { before: (store, code) => made(store, code, { demo: true }), act: (store, code) => store.remove(code) },
    "take in": { before: made, act: (store, code) => store.takeIn(code, newCase({ code, eye: "left", person: null }),
      [{ id: `other ${code}`, code, kind: "set", path: "plan.target_d", from: null, to: 3, at: "2026-01-01", build: "x", undoes: null }]) },
    rebuild: { before: made, act: (store, code) => store.rebuild(code) },
    preference: { before: made, act: (store, code) => store.preference("learn_after", code), asks: (store) => store.preference("learn_after") },
    box: { before: made, act: (store, code) => boxOf(store).putIn("put in", [{ lens_power_d: 20, lens_name: code, lens_count: 1 }]),
      asks: async (store, code) => (await boxOf(store).read()).rows.filter((row) => row.lens_name === code).length },
    "read the box": { before: (store, code) => boxOf(store).putIn("put in", [{ lens_power_d: 20, lens_name: code, lens_count: 1 }]),
      reads: async (store, code) => (await boxOf(store).read()).rows.filter((row) => row.lens_name === code).length },
    list: { before: made, reads: async (store, code) => (await store.list()).filter((one) => one.code === code),
      flagged: async (store, code) => (await store.damaged()).some((one) => one.code === code) },
    read: { before: made, reads: (store, code) => store.read(code) },
    "drafts when sealed": { before: sealed, reads: (store, code) => store.drafts(code) },
    log: { before: made, reads: async (store, code) => (await store.log(code)).map(({ kind, path, to }) => [kind, path, to]) },
    "read preference": { before: (store, code) => store.preference("learn_after", code), reads: (store) => store.preference("learn_after") },
    changed: { before: made, reads: async (store, code) => (await store.changedAfter(0)).filter((one) => one === code) },
    backup: { before: made, reads: async (store, code) => (await store.everything()).eyes.filter((one) => one.code === code) },
    "backup when sealed": { before: sealed, reads: async (store, code) => (await store.everything()).eyes.filter((one) => one.code === code),
      flagged: async (_store, _code, rows) => rows.every((row) => row.damaged) },
    ahead: { before: async (store, code) => { await made(store, code); await second(store, code); },
      reads: async (store) => Boolean(await store.ahead()) },
    "gone?": { before: made, reads: (store) => store.missing() },
    start: { before: opened, reads: async (_store, code) => (await fresh()).read(code) },
    "start when sealed": { before: sealed, reads: async (_store, code) => (await fresh()).read(code) },
    unlock: { before: sealed, reads: async (store, code) => { await store.lock(); await store.unlock(SECRETS[0]); return store.read(code); } },
    "a lost copy is noticed": {
      before: async (store, code) => { await made(store, code); await second(store, code); await pause(30); },
      reads: async () => {
        const kept = await copies.readCount();
        return Boolean(kept?.eyes);
      },
    },
    "second copy": { spare: true, before: made, act: async (store, code) => {
      await store.commit(code, "plan.target_d", 1.25);
      for (let turn = 0; turn < 60 && !window.faults.fired; turn += 1) await pause(5);
    } },
    "first start": { before: async (store) => { store.database.close(); await dropped("guyline"); await dropped("guyline-sealed"); },
      act: async (_store, code) => made(await fresh(), code) },
    "newer database": {
      before: async (store, code) => { await opened(store, code); store.database.close(); await raw("guyline", 7, () => {}); },
      reads: async (_store, code) => (await fresh()).read(code), after: async () => {} },
    seal: { before: opened, act: (store) => store.setPassphrase(SECRETS[0]), alone: true },
    unseal: { before: sealed, act: (store) => store.removePassphrase(SECRETS[0]), alone: true },
    "change passphrase": { before: sealed, act: async (store) => {
      await store.changePassphrase(SECRETS[0], SECRETS[1]).catch(async (reason) => {
        if (reason.code !== "wrong_passphrase") throw reason;
      });
      await store.lock();
      await store.unlock(SECRETS[1]);
      window.faults.disarm();
      await store.changePassphrase(SECRETS[1], SECRETS[0]);
    }, alone: true },
    "sealing gives up": { before: opened, standing: "store/database.js fill put", alone: true, gives_up: true,
      act: (store) => store.setPassphrase(SECRETS[0]) },
    "left over": { before: opened, prepared: "store/database.js erase deleteDB", alone: true,
      prepare: (store) => store.setPassphrase(SECRETS[0]).catch(() => {}),
      reads: async (_store, code) => (await fresh()).read(code) },
  };

  // ---- one row of the table ----------------------------------------------------------------

  const places = window.faultPlaces;
  /** A second fault that leads to the call in question. */
  const standingOf = ({ standing, standing_fault }) => (standing_fault
    ? { place: places[standing], fault: standing_fault, times: 1 } : { place: places[standing], fault: "abort" });
  const asked = async (story, code) => {
    const store = await fresh();
    try {
      const there = { ...await whole(store, code), more: await story.asks?.(store, code) ?? null };
      const problems = [...(await store.damaged()).map((one) => `damaged ${one.code}`)];
      const replayed = there.record && picture(await store.fromLog(code), code) !== picture(there.record, code);
      return { there: picture(there, code), problems: [...problems, ...(replayed ? ["the log leads elsewhere"] : [])] };
    } finally { store.database.close(); }
  };

  async function begin(story, code) {
    const store = await fresh();
    await story.before?.(store, code);
    if (!story.prepare) return store;
    window.faults.arm([{ place: places[story.prepared], fault: "abort" }]);
    await story.prepare(store, code);
    window.faults.disarm();
    return store;
  }

  /** Without a fault: which calls it makes, and what is there before and after. */
  async function clean(name) {
    const story = STORIES[name];
    const code = newCode();
    const store = await begin(story, code);
    const before = story.reads ? null : await asked(story, code).catch(() => null);
    if (story.standing) window.faults.arm([standingOf(story)]);
    window.faults.calls = {};
    const value = picture(await (story.reads ?? story.act)(store, code).catch((reason) => ({ refused: reason.message })), code);
    await pause(60);
    const calls = Object.keys(window.faults.calls);
    window.faults.disarm();
    store.database.close();
    const after = story.reads ? null : await asked(story, code);
    return { calls, value, before: before?.there, after: after?.there };
  }

  async function tried(name, { place, fault, times }, expected) {
    const story = STORIES[name];
    const code = newCode();
    const store = await begin(story, code);
    const standing = story.standing ? [standingOf(story)] : [];
    window.faults.arm([{ place, fault, times: times ?? Infinity }, ...standing]);
    const run = (one) => Promise.resolve((story.reads ?? story.act)(one, code)).then((value) => ({ value }), (reason) => ({ why: String(reason?.message ?? reason) }));
    const outcome = await Promise.race([run(store), new Promise((go) => window.faults.later(go, MOST_MS)).then(() => ({ why: "", hung: true }))]);
    const { fired } = window.faults;
    const flagged = story.flagged && !outcome.why ? await story.flagged(store, code, outcome.value).catch(() => false) : false;
    window.faults.disarm();
    store.database.close();
    const faults = [];
    if (outcome.hung) faults.push("no answer at all");
    if (!fired) faults.push("the fault was never met");
    const saved = !("why" in outcome);
    if (story.reads) {
      if (saved && !flagged && picture(outcome.value, code) !== expected.value) faults.push(`a wrong answer without a word: ${picture(outcome.value, code)}`);
      if (picture(await story.reads(await fresh(), code), code) !== expected.value) faults.push("not the same when asked again");
      return { saved, faults, why: outcome.why };
    }
    if ((fault === "truncated" && !story.spare) || story.standing_fault) return { saved, faults: [...faults, ...await healed(story, code, saved, run, expected)], why: outcome.why };
    const then = await asked(story, code);
    faults.push(...then.problems);
    if (saved && then.there !== expected.after) faults.push(`called saved, and it is not: ${then.there}`);
    if (!saved && ![expected.before, expected.after].includes(then.there)) faults.push(`half done: ${then.there}`);
    const written = then.there === expected.after;
    if (!saved && !written) {
      const again = await fresh();
      const second_try = await run(again);
      again.database.close();
      if ("why" in second_try && !story.gives_up) faults.push(`not to be done again: ${second_try.why}`);
      const last = await asked(story, code);
      if (last.there !== expected.after) faults.push(`not there after the second try: ${last.there}`);
    }
    return { saved, written, faults, why: outcome.why };
  }

  /** A row that was written cut: not called saved unless it is whole again, and whole after the second try or from the log. */
  async function healed(story, code, saved, run, expected) {
    
    const again = await fresh();
    const wanted = JSON.parse(expected.after);
    const same = (one, other) => picture(one ?? null, code) === picture(other ?? null, code);
    const right = async () => same(await again.read(code).catch(() => "still damaged"), wanted.record)
      && same(await Promise.resolve(story.asks?.(again, code)).catch(() => "still damaged"), wanted.more);
    if (!saved && !await right()) await run(again);
    if (!await right()) await again.rebuild(code).catch(() => {});
    if (!await right()) await run(again);
    const whole = await right();
    again.database.close();
    return whole ? [] : ["not whole again"];
  }

  window.faults.hurry = { waits: 80, pauses: 40 };
  const results = [];
  for (const row of rows) {
    if (row.clean) results.push(await clean(row.story));
    else results.push({ ...row, ...await tried(row.story, row, row.expected).catch((reason) => ({ faults: [`broke: ${reason?.stack ?? reason}`] })) });
  }
  return results;
}
