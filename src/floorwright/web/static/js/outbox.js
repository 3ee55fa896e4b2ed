/**
 * Where the outbox keeps its items: IndexedDB with strict durability, or localStorage where IndexedDB fails.
 *
 * Both keep two lists: `out`, what waits to be sent, in order; and `aside`, what the server did not take, for a person
 * to see. An item with `hold_until` may still be replaced or taken back; once it is `taken` for sending it may not.
 *
 * @typedef {object} Item
 * @property {number} n its place in the order
 * @property {string} key
 * @property {string} kind
 * @property {string} made_at
 * @property {any} body
 * @property {number} size how many readings or things it holds, for the count
 * @property {number|null} hold_until wall clock in ms; null: may be sent
 */

const DATABASE = "floorwright";
const PREFIX = "fw-out-";
const ASIDE = "fw-aside-";

/** Thrown where the device has no room left: nothing was changed. */
export class StorageFull extends Error {}

const isFull = (error) => error?.name === "QuotaExceededError" || error?.name === "NS_ERROR_DOM_QUOTA_REACHED";
const full = (error) => (isFull(error) ? new StorageFull(error.message) : error);

/** Open the store that this browser can offer. */
export async function openOutbox(name = DATABASE, databases = globalThis.indexedDB) {
  let found;
  try {
    found = await DatabaseOutbox.open(name, databases);
  } catch {
    return new PlainOutbox(localStorage); // private windows and broken profiles have no database
  }
  await adopt(found, new PlainOutbox(localStorage));
  return found;
}

/** Bring over what was kept in localStorage while the database could not be opened; each goes there only once. */
async function adopt(outbox, plain) {
  const there = new Set([...(await outbox.items()), ...(await outbox.aside())].map((item) => item.key));
  const waiting = await plain.items();
  const asides = await plain.aside();
  for (const { n: _, ...item } of waiting) if (!there.has(item.key)) await outbox.add(item);
  if (asides.length) await outbox.settle([], asides.map(({ answer, ...item }) => ({ item, answer })));
  await plain.settle(waiting, []);
  for (const { key } of asides) await plain.restore(key, () => null);
}

const LONGEST_HOLD_MS = 600_000; // one that ends further ahead was written before the clock was put back
const held = (item, now) =>
  item.hold_until !== null && item.hold_until > now && item.hold_until < now + LONGEST_HOLD_MS;

/** The items to send next: in order, those that are held left where they are. */
function nextOf(items, now, most, mostBytes) {
  const batch = [];
  let bytes = 0;
  for (const item of items) {
    if (held(item, now)) continue;
    const size = JSON.stringify(item.body).length;
    if (batch.length && (batch.length >= most || bytes + size > mostBytes)) break;
    batch.push(item);
    bytes += size;
  }
  return batch;
}

class DatabaseOutbox {
  #db;
  #name;
  #databases;

  constructor(db, name, databases) {
    this.#db = db;
    this.#name = name;
    this.#databases = databases;
  }

  static async open(name, databases) {
    const outbox = new DatabaseOutbox(await DatabaseOutbox.#connect(name, databases), name, databases);
    await outbox.items(); // a profile that opens a database but cannot read it fails here
    return outbox;
  }

  static #connect(name, databases) {
    return new Promise((resolve, reject) => {
      const request = databases.open(name, 1);
      request.onupgradeneeded = () => {
        const out = request.result.createObjectStore("out", { keyPath: "n", autoIncrement: true });
        out.createIndex("key", "key", { unique: true });
        request.result.createObjectStore("aside", { keyPath: "key" });
      };
      request.onsuccess = () => {
        request.result.onversionchange = () => request.result.close();
        resolve(request.result);
      };
      request.onerror = () => reject(request.error);
      request.onblocked = () => reject(new Error("the database is blocked"));
    });
  }

  /** One transaction over both lists; resolves with what `work` gives once it is on the disk. */
  async #change(mode, work) {
    try {
      return await this.#once(mode, work);
    } catch (error) {
      if (error?.name !== "InvalidStateError") throw full(error);
      this.#db = await DatabaseOutbox.#connect(this.#name, this.#databases); // the browser closed it meanwhile
      return this.#once(mode, work);
    }
  }

  #once(mode, work) {
    return new Promise((resolve, reject) => {
      const options = mode === "readwrite" ? { durability: "strict" } : undefined;
      const transaction = this.#db.transaction(["out", "aside"], mode, options);
      let result;
      transaction.oncomplete = () => resolve(result);
      transaction.onabort = () => reject(full(transaction.error ?? new Error("not kept")));
      transaction.onerror = () => {}; // the abort that follows says it
      const give = (value) => (result = value);
      work(transaction.objectStore("out"), transaction.objectStore("aside"), give);
    });
  }

  add(item) {
    return this.#change("readwrite", (out, _, give) => {
      out.add(item).onsuccess = () => give(true);
    });
  }

  replace(key, change) {
    return this.#change("readwrite", (out, _, give) => {
      out.index("key").get(key).onsuccess = ({ target: { result: item } }) => {
        const found = item && item.hold_until !== null;
        give(found ? true : false);
        if (!found) return;
        const next = change(item);
        if (next === null) out.delete(item.n);
        else out.put({ ...item, ...next });
      };
    });
  }

  take(now, most, mostBytes) {
    return this.#change("readwrite", (out, _, give) => {
      out.getAll().onsuccess = ({ target: { result: items } }) => {
        const batch = nextOf(items, now, most, mostBytes).map((item) => ({ ...item, hold_until: null }));
        for (const item of batch) out.put(item);
        give(batch);
      };
    });
  }

  settle(done, asides) {
    return this.#change("readwrite", (out, aside) => {
      for (const item of [...done, ...asides.map((each) => each.item)]) {
        // by key: a second tab may have settled it already, and numbers are this database's own
        out.index("key").getKey(item.key).onsuccess = ({ target: { result: n } }) => n !== undefined && out.delete(n);
      }
      for (const { item, answer } of asides) aside.put({ ...item, answer });
    });
  }

  restore(key, change) {
    return this.#change("readwrite", (out, aside, give) => {
      aside.get(key).onsuccess = ({ target: { result: item } }) => {
        give(Boolean(item));
        if (!item) return;
        aside.delete(key);
        const next = change(item);
        if (next === null) return;
        const { answer: _, n: __, ...rest } = { ...item, ...next };
        out.add(rest);
      };
    });
  }

  items() {
    return this.#change("readonly", (out, _, give) => {
      out.getAll().onsuccess = ({ target: { result } }) => give(result);
    });
  }

  aside() {
    return this.#change("readonly", (_, aside, give) => {
      aside.getAll().onsuccess = ({ target: { result } }) => give(result.sort((a, b) => a.n - b.n));
    });
  }
}

/** The same in localStorage, one entry an item, so that two tabs never write the same entry. */
export class PlainOutbox {
  #storage;

  constructor(storage) {
    this.#storage = storage;
  }

  #list(prefix) {
    const names = Array.from({ length: this.#storage.length }, (_, i) => this.#storage.key(i));
    return names
      .filter((name) => name?.startsWith(prefix))
      .sort()
      .map((name) => [name, JSON.parse(this.#storage.getItem(name) ?? "null")])
      .filter(([, item]) => item);
  }

  #put(name, item) {
    try {
      this.#storage.setItem(name, JSON.stringify(item));
    } catch (error) {
      throw full(error);
    }
  }

  #append(item) {
    const last = this.#list(PREFIX).at(-1)?.[1].n ?? 0;
    const n = last + 1;
    this.#put(`${PREFIX}${String(n).padStart(12, "0")}-${item.key}`, { ...item, n });
  }

  async add(item) {
    if (this.#list(PREFIX).some(([, each]) => each.key === item.key)) throw new Error(`${item.key} is there already`);
    this.#append(item);
    return true;
  }

  async replace(key, change) {
    const [name, item] = this.#list(PREFIX).find(([, each]) => each.key === key) ?? [];
    if (!item || item.hold_until === null) return false;
    const next = change(item);
    if (next === null) this.#storage.removeItem(name);
    else this.#put(name, { ...item, ...next });
    return true;
  }

  async take(now, most, mostBytes) {
    const named = new Map(this.#list(PREFIX).map(([name, item]) => [item, name]));
    const batch = nextOf([...named.keys()], now, most, mostBytes);
    return batch.map((item) => {
      const taken = { ...item, hold_until: null };
      if (item.hold_until !== null) this.#put(named.get(item), taken);
      return taken;
    });
  }

  async settle(done, asides) {
    const drop = (keys) => {
      for (const [name, item] of this.#list(PREFIX)) if (keys.has(item.key)) this.#storage.removeItem(name);
    };
    drop(new Set(done.map((item) => item.key))); // first, so that a full storage has room for what goes aside
    for (const { item, answer } of asides) this.#put(ASIDE + item.key, { ...item, answer });
    drop(new Set(asides.map(({ item }) => item.key)));
  }

  async restore(key, change) {
    const text = this.#storage.getItem(ASIDE + key);
    if (!text) return false;
    const item = JSON.parse(text);
    const next = change(item);
    if (next !== null) {
      const { answer: _, ...rest } = { ...item, ...next };
      this.#append(rest);
    }
    this.#storage.removeItem(ASIDE + key);
    return true;
  }

  async items() {
    return this.#list(PREFIX).map(([, item]) => item);
  }

  async aside() {
    return this.#list(ASIDE)
      .map(([, item]) => item)
      .sort((a, b) => a.n - b.n);
  }
}
