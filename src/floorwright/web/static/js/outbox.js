/**
 * Where the outbox keeps its items: IndexedDB with strict durability, or localStorage where IndexedDB fails.
 *
 * Both keep two lists: `out`, what waits to be sent, in order; and `aside`, what the server did not take, for a person
 * to see. An item with `hold_until` may still be replaced or taken back; once it is `taken` for sending it may not.
 * Beside them lie notes, by name: what a page has to remember together with its items, changed with them in one step.
 *
 * @typedef {object} Item
 * @property {number} n its place in the order
 * @property {string} key
 * @property {string} kind
 * @property {string} made_at
 * @property {any} body
 * @property {string} owner who was signed in; "" on a device or computer that several people share
 * @property {string} by what people call whose page kept it; it stays on the device
 * @property {number} size how many readings or things it holds, for the count
 * @property {number|null} hold_until wall clock in ms; null: may be sent
 *
 * @typedef {object} Step what becomes of a note and its items: all of it or nothing
 * @property {any} value of the note from now on
 * @property {object[]} [add] items to keep
 * @property {string[]} [drop] keys of items to take back
 * @property {any} [otherwise] value of the note where one of `drop` is on its way already; then none is taken back
 */

const DATABASE = "floorwright";
const LISTS = ["out", "aside"];
const PREFIX = "fw-out-";
const ASIDE = "fw-aside-";
const NOTE = "fw-note-";
const STEP = "fw-step";

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
  // what was kept last counts: it was written while the database could not be
  for (const { name, value } of await plain.notes()) {
    await outbox.step(name, () => ({ value }));
    await plain.forget(name);
  }
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

/** What a step comes to, given the items it would take back (undefined: one is not there any more). */
function stepDone({ value, add = [], drop = [], otherwise }, found) {
  const taken = drop.length > 0 && found.every((item) => item && item.hold_until !== null);
  if (drop.length && !taken) return { value: otherwise, add: [], drop: [], taken };
  return { value, add, drop: found, taken };
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
      const request = databases.open(name, 2);
      request.onupgradeneeded = ({ oldVersion }) => {
        request.result.createObjectStore("notes", { keyPath: "name" });
        if (oldVersion > 0) return; // the lists of the first version stay as they are
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

  /** One transaction over the lists (and the notes); resolves with what `work` gives once it is on the disk. */
  async #change(mode, work, stores = LISTS) {
    try {
      return await this.#once(mode, work, stores);
    } catch (error) {
      if (error?.name !== "InvalidStateError") throw full(error);
      this.#db = await DatabaseOutbox.#connect(this.#name, this.#databases); // the browser closed it meanwhile
      return this.#once(mode, work, stores);
    }
  }

  #once(mode, work, stores) {
    return new Promise((resolve, reject) => {
      const options = mode === "readwrite" ? { durability: "strict" } : undefined;
      const transaction = this.#db.transaction(stores, mode, options);
      let result;
      transaction.oncomplete = () => resolve(result);
      transaction.onabort = () => reject(full(transaction.error ?? new Error("not kept")));
      transaction.onerror = () => {}; // the abort that follows says it
      const give = (value) => (result = value);
      const opened = Object.fromEntries(stores.map((name) => [name, transaction.objectStore(name)]));
      work(opened.out, opened.aside, give, opened.notes);
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

  note(name) {
    const read = (_, __, give, notes) => {
      notes.get(name).onsuccess = ({ target: { result } }) => give(result?.value);
    };
    return this.#change("readonly", read, ["notes"]);
  }

  /**
   * Change a note and its items in one transaction.
   * @param {(value: any) => Step} change what the note says now (undefined: there is none) to what is to be done
   * @returns {Promise<{taken: boolean}>} whether `drop` was taken back
   */
  step(name, change) {
    const work = (out, _, give, notes) => {
      notes.get(name).onsuccess = ({ target: { result } }) => {
        const step = change(result?.value);
        const drop = step.drop ?? [];
        const found = [];
        const finish = () => {
          const done = stepDone(step, found);
          for (const item of done.add) out.add(item);
          for (const { n } of done.drop) out.delete(n);
          notes.put({ name, value: done.value });
          give({ taken: done.taken });
        };
        if (!drop.length) return finish();
        for (const key of drop) {
          out.index("key").get(key).onsuccess = ({ target: { result: item } }) => {
            found.push(item);
            if (found.length === drop.length) finish();
          };
        }
      };
    };
    return this.#change("readwrite", work, [...LISTS, "notes"]);
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

/** The name of an item's entry; names sort as the items follow one another. */
const placeOf = ({ n, key }) => `${PREFIX}${String(n).padStart(12, "0")}-${key}`;

/** The same in localStorage, one entry an item, so that two tabs never write the same entry. */
export class PlainOutbox {
  #storage;

  constructor(storage) {
    this.#storage = storage;
  }

  #list(prefix) {
    this.#redo();
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
    const made = { ...item, n: last + 1 };
    this.#put(placeOf(made), made);
  }

  async add(item) {
    if (this.#list(PREFIX).some(([, each]) => each.key === item.key)) throw new Error(`${item.key} is there already`);
    this.#append(item);
    return true;
  }

  async notes() {
    return this.#list(NOTE).map(([name, value]) => ({ name: name.slice(NOTE.length), value }));
  }

  async note(name) {
    this.#redo();
    return this.#noted(name);
  }

  #noted(name) {
    return JSON.parse(this.#storage.getItem(NOTE + name) ?? "null") ?? undefined;
  }

  async forget(name) {
    this.#storage.removeItem(NOTE + name);
  }

  /**
   * As in the database: the whole step is written down as one entry first, and whoever reads next finishes it. It waits
   * for nothing in between, so that no other step comes between what it reads and what it writes.
   */
  async step(name, change) {
    const entries = this.#list(PREFIX);
    const step = change(this.#noted(name));
    const there = new Map(entries.map(([place, item]) => [item.key, { ...item, place }]));
    const done = stepDone(step, (step.drop ?? []).map((key) => there.get(key)));
    const last = entries.at(-1)?.[1].n ?? 0;
    const add = done.add.map((item, i) => ({ ...item, n: last + 1 + i }));
    const put = [[NOTE + name, done.value], ...add.map((item) => [placeOf(item), item])];
    const written = { put, remove: done.drop.map(({ place }) => place) };
    this.#put(STEP, { ...written, room: JSON.stringify(written) });
    this.#redo();
    return { taken: done.taken };
  }

  /** Finish a step that was written down. Its entry takes twice its room, so that what it says can be put beside it. */
  #redo() {
    const { put, remove, room } = JSON.parse(this.#storage.getItem(STEP) ?? "{}");
    if (!put) return;
    if (room) this.#put(STEP, { put, remove });
    for (const name of remove) this.#storage.removeItem(name);
    for (const [name, value] of put) this.#put(name, value);
    this.#storage.removeItem(STEP);
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
