// Faults at single call sites of the browser's storage. Loaded before the app, in a page or in the service
// worker; `faults.arm([{ place, fault, times }])` makes the next calls from that place in the app fail.
(() => {
  const APP = /\/(store\/[\w-]+\.js|sw\.js):(\d+):(\d+)/;
  const WAITED = 5_000;
  const PAUSED = 150;
  const later = self.setTimeout.bind(self);
  /** @type {{place: string, fault: string, times: number}[]} */
  let armed = [];
  /** Ends of what hangs. @type {(() => void)[]} */
  let hung = [];
  const faults = {
    /** Where the app's calls came from, as the engine counts columns. @type {Record<string, number>} */
    calls: {},
    /** How many faults were let loose since they were armed. */
    fired: 0,
    /** Waiting times of the app, divided: waits for an answer, and pauses before another try. */
    hurry: { waits: 1, pauses: 1 },
    arm(list) { armed = list.map((one) => ({ times: Infinity, ...one })); faults.fired = 0; },
    /** Not hurried. */
    later,
    disarm() { armed = []; for (const end of hung.splice(0)) end(); },
  };
  self.faults = faults;

  self.setTimeout = (work, ms = 0, ...given) => {
    const waiting = armed.some((one) => one.fault === "timeout");
    const by = ms >= WAITED ? (waiting ? faults.hurry.waits : 1) : ms >= PAUSED ? faults.hurry.pauses : 1;
    return later(work, ms / by, ...given);
  };

  /** The innermost place of the app that is calling. */
  function here() {
    const limit = Error.stackTraceLimit;
    Error.stackTraceLimit = 30;
    const { stack } = new Error();
    Error.stackTraceLimit = limit;
    const found = stack.match(APP);
    return found ? `${found[1]}:${found[2]}:${found[3]}` : "";
  }

  /** Whether a call comes from a place "file:line:first-last". @param {string} place @param {string} found */
  function within(place, found) {
    const [file, line, columns] = place.split(":");
    const [inFile, atLine, column] = found.split(":");
    const [first, last] = columns.split("-").map(Number);
    return file === inFile && line === atLine && Number(column) >= first && Number(column) <= last;
  }

  /** @param {Record<string, Function>} known */
  function due(known) {
    const place = here();
    if (place) faults.calls[place] = (faults.calls[place] ?? 0) + 1;
    const one = armed.find((each) => each.times > 0 && known[each.fault] && within(each.place, place));
    if (!one) return undefined;
    one.times -= 1;
    faults.fired += 1;
    return known[one.fault];
  }

  /** @param {any} owner @param {string[]} names @param {Record<string, Function>} known */
  function hook(owner, names, known) {
    for (const name of names) {
      const real = owner[name];
      owner[name] = function (...given) {
        const fault = due(known);
        return fault ? fault.call(this, real, given) : real.apply(this, given);
      };
    }
  }

  const full = () => new DOMException("The device is full", "QuotaExceededError");
  const broken = () => new DOMException("The storage is broken", "UnknownError");
  const never = () => new Promise((_done, fail) => { hung.push(() => fail(broken())); });
  const rejecting = (reason) => () => Promise.reject(reason());
  const throwing = (reason) => () => { throw reason(); };
  const transactionOf = (one) => one.transaction ?? one.objectStore?.transaction ?? one.request.transaction;
  const abort = (transaction) => { try { transaction.abort(); } catch { /* over already */ } };
  const failed = (transaction, reason) => Object.defineProperty(transaction, "error", { configurable: true, get: reason });

  // ---- IndexedDB ---------------------------------------------------------------------------

  const get = IDBObjectStore.prototype.get;
  const resultOf = Object.getOwnPropertyDescriptor(IDBRequest.prototype, "result").get;

  /** The transaction stays open, as when the disk does not answer. */
  function hang(transaction) {
    let open = true;
    const store = transaction.objectStore(transaction.objectStoreNames[0]);
    const spin = () => {
      if (!open) return;
      const request = get.call(store, "nothing");
      request.onsuccess = spin;
      request.onerror = (event) => event.stopPropagation();
    };
    transaction.addEventListener("abort", () => { open = false; });
    hung.push(() => { open = false; });
    spin();
  }

  /** Everything under way on the connection aborts, and the handle is dead. */
  function cutOff(transaction) {
    const { db } = transaction;
    abort(transaction);
    db.close();
    db.dispatchEvent(new Event("close"));
  }

  const REQUEST = {
    abort(real, given) {
      const request = real.apply(this, given);
      abort(transactionOf(this));
      return request;
    },
    lost(real, given) {
      const request = real.apply(this, given);
      cutOff(transactionOf(this));
      return request;
    },
    timeout(real, given) {
      const transaction = transactionOf(this);
      const silent = real.apply(this, given);
      for (const name of ["success", "error"]) silent.addEventListener(name, (event) => event.stopImmediatePropagation());
      hang(transaction);
      return silent;
    },
  };
  const WRITE = {
    ...REQUEST,
    /** The disk is found full when the change is to be written. */
    quota(real, given) {
      const transaction = transactionOf(this);
      failed(transaction, full);
      const request = real.apply(this, given);
      request.addEventListener("success", () => abort(transaction));
      return request;
    },
  };
  const READ = {
    ...REQUEST,
    truncated(real, given) {
      const request = real.apply(this, given);
      Object.defineProperty(request, "result", { get() {
        const rows = resultOf.call(request);
        return Array.isArray(rows) ? rows.map(cut) : cut(rows);
      } });
      return request;
    },
  };
  const PUT = { ...WRITE, truncated(real, [row, ...rest]) { return real.call(this, cut(row), ...rest); } };

  /** What finds a row stays; of the rest the end is gone. */
  const KEPT = new Set(["code", "path", "id", "seq", "name", "sealed", "schema"]);

  function cut(row) {
    if (!row || typeof row !== "object") return row;
    return Object.fromEntries(Object.entries(row).map(([name, value]) => [name, KEPT.has(name) ? value : shortened(value)]));
  }

  function shortened(value) {
    if (typeof value === "string") return value.slice(0, value.length >> 1);
    if (value instanceof Uint8Array) return value.slice(0, value.length >> 1);
    return value && typeof value === "object" ? "{" : undefined;
  }

  hook(IDBObjectStore.prototype, ["get", "getAll"], READ);
  hook(IDBIndex.prototype, ["get", "getAll"], READ);
  hook(IDBObjectStore.prototype, ["getKey", "count", "openCursor"], REQUEST);
  hook(IDBIndex.prototype, ["getKey", "count", "openCursor", "openKeyCursor"], REQUEST);
  hook(IDBObjectStore.prototype, ["delete", "clear"], WRITE);
  hook(IDBCursor.prototype, ["delete"], WRITE);
  hook(IDBObjectStore.prototype, ["put", "add"], PUT);
  hook(IDBCursor.prototype, ["continue"], {
    abort(real, given) { real.apply(this, given); abort(this.request.transaction); },
    lost(real, given) { real.apply(this, given); cutOff(this.request.transaction); },
    timeout() { hang(this.request.transaction); },
  });
  hook(IDBDatabase.prototype, ["transaction"], {
    lost: throwing(() => new DOMException("The database connection is closing", "InvalidStateError")),
    abort(real, given) {
      const made = real.apply(this, given);
      queueMicrotask(() => abort(made));
      return made;
    },
    quota(real, given) {
      const made = failed(real.apply(this, given), full);
      queueMicrotask(() => abort(made));
      return made;
    },
    /** It was written, and the news of it is lost. */
    unheard(real, given) {
      const made = real.apply(this, given);
      made.addEventListener("complete", (event) => {
        event.stopImmediatePropagation();
        made.dispatchEvent(new Event("abort"));
      });
      return made;
    },
    timeout(real, given) {
      const made = real.apply(this, given);
      hang(made);
      return made;
    },
  });
  hook(IDBDatabase.prototype, ["createObjectStore"], { quota: throwing(full), abort(real, given) {
    const made = real.apply(this, given);
    abort(made.transaction);
    return made;
  } });
  hook(IDBObjectStore.prototype, ["createIndex"], { quota: throwing(full), abort(real, given) {
    const made = real.apply(this, given);
    abort(this.transaction);
    return made;
  } });

  /** An opening or a deletion that ends in an error, or never. @param {(() => DOMException) | null} reason */
  const refused = (reason) => () => {
    const news = new EventTarget();
    if (reason) later(() => news.dispatchEvent(new Event("error")));
    return Object.create(IDBOpenDBRequest.prototype, {
      addEventListener: { value: news.addEventListener.bind(news) },
      removeEventListener: { value: news.removeEventListener.bind(news) },
      error: { get: () => reason?.() ?? null },
      result: { value: undefined },
    });
  };
  hook(IDBFactory.prototype, ["open", "deleteDatabase"], { abort: refused(broken), quota: refused(full), timeout: refused(null) });
  hook(IDBFactory.prototype, ["databases"], { abort: rejecting(broken), timeout: never });

  // ---- caches and local storage ------------------------------------------------------------

  const half = async (answer) => {
    const bytes = await answer.arrayBuffer();
    return new Response(bytes.slice(0, bytes.byteLength >> 1), { headers: answer.headers });
  };
  const CACHE = { abort: rejecting(broken), timeout: never };
  hook(CacheStorage.prototype, ["open", "delete"], { ...CACHE, quota: rejecting(full) });
  hook(CacheStorage.prototype, ["has", "keys", "match"], CACHE);
  hook(Cache.prototype, ["match"], {
    ...CACHE,
    lost: () => Promise.resolve(undefined),
    async truncated(real, given) {
      const answer = await real.apply(this, given);
      return answer && half(answer);
    },
  });
  hook(Cache.prototype, ["put"], {
    ...CACHE,
    quota: rejecting(full),
    async truncated(real, [key, answer]) { return real.call(this, key, await half(answer)); },
  });
  hook(Cache.prototype, ["delete", "keys"], CACHE);
  if (self.Storage) {
    hook(Storage.prototype, ["getItem"], {
      abort: throwing(broken), lost: () => null,
      truncated(real, given) { return real.apply(this, given)?.slice(0, 10) ?? null; },
    });
    hook(Storage.prototype, ["setItem", "removeItem"], { abort: throwing(broken), quota: throwing(full) });
  }
})();
