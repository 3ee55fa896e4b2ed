/**
 * What of a watch has gone to the outbox: pure, so that it can be tried without one.
 *
 * The readings of a cycle are one draft while they may still be undone; two cycles later, or at the end, it is let go.
 * What changes after that is said by a correction that names the reading it replaces: readings are never taken back.
 *
 * @typedef {object} Ledger
 * @property {Record<string, {key: string, text: string, sure: boolean, stale?: boolean}>} drafts by cycle; `sure`: the
 * outbox has it; `stale`: perhaps with other rows
 * @property {Record<string, {last: string, text: string, count: number, unsure?: boolean}>} gone readings that were let
 * go, by their key; `unsure`: perhaps with another content
 * @property {object} [pending] a row that is about to be sent at once
 */

/** @returns {Ledger} */
export const emptyLedger = () => ({ drafts: {}, gone: {} });

const CYCLES_OPEN = 2;
const said = (row) => JSON.stringify({ ...row, key: "", replaces: "", reason: "" });

/**
 * What has to be done so that the outbox says what the watch says.
 * @param {Ledger} ledger
 * @param {object[]} rows of the watch, as they are now
 * @param {{cycle: number, ended: boolean}} now
 * @returns {{puts: {cycle: string, key: string|null, rows: object[]}[], late: object[], release: string[]}}
 * puts: drafts to keep with these rows (key null: a new one; no rows: take it back); late: rows to send at once;
 * release: cycles whose draft is let go afterwards
 */
export function plan(ledger, rows, now) {
  const late = [];
  const open = new Map(Object.keys(ledger.drafts).map((cycle) => [cycle, []]));
  const settled = (cycle) => now.ended || cycle <= now.cycle - CYCLES_OPEN;
  for (const row of rows) {
    const gone = ledger.gone[row.key];
    const cycle = String(row.cycle);
    if (gone) {
      if (gone.text !== said(row) || gone.unsure) late.push(correction(row, gone, "changed on the watch"));
    } else open.set(cycle, [...(open.get(cycle) ?? []), row]);
  }
  const present = new Set(rows.map((row) => row.key));
  for (const [key, gone] of Object.entries(ledger.gone)) {
    if (present.has(key)) continue;
    const undone = { ...JSON.parse(gone.text), key, foreign: true };
    if (gone.text !== said(undone) || gone.unsure) late.push(correction(undone, gone, "undone on the watch"));
  }
  const puts = [...open].flatMap(([cycle, mine]) => {
    const draft = ledger.drafts[cycle];
    const same = draft?.text === JSON.stringify(mine) && draft.sure && !draft.stale;
    const changed = mine.length ? !same : Boolean(draft);
    return changed ? [{ cycle, key: draft?.sure ? draft.key : null, rows: mine }] : [];
  });
  const release = [...open].filter(([cycle, mine]) => mine.length && settled(Number(cycle))).map(([cycle]) => cycle);
  return { puts, late, release };
}

function correction(row, gone, reason) {
  return { ...row, key: `${row.key}~${gone.count + 1}`, replaces: gone.last, reason };
}

/** The ledger with a draft noted; no rows: without it. */
export function withDraft(ledger, cycle, key, rows, sure) {
  const { [cycle]: _, ...others } = ledger.drafts;
  const drafts = rows.length ? { ...others, [cycle]: { key, text: JSON.stringify(rows), sure } } : others;
  return { ...ledger, drafts };
}

/** The ledger once the draft of a cycle was let go: its rows can be corrected only. */
export function withRelease(ledger, cycle) {
  const { [cycle]: draft, ...drafts } = ledger.drafts;
  const gone = { ...ledger.gone };
  for (const row of JSON.parse(draft.text)) {
    gone[row.key] = { last: row.key, text: said(row), count: 0, unsure: draft.stale };
  }
  return { ...ledger, drafts, gone };
}

/** The ledger once a row was sent at once: a correction, or one that was in doubt until now. */
export function withLate(ledger, row) {
  const first = row.replaces ? row.key.slice(0, row.key.lastIndexOf("~")) : row.key;
  const count = row.replaces ? ledger.gone[first].count + 1 : 0;
  const { pending: _, ...rest } = ledger;
  return { ...rest, gone: { ...ledger.gone, [first]: { last: row.key, text: said(row), count } } };
}

/** The ledger with a row noted that is about to be sent at once. */
export const withPending = (ledger, row) => ({ ...ledger, pending: row });

/**
 * The ledger of a page that is opened again, by what the outbox holds. A draft that is not there any more was sent. One
 * of which nobody knows whether it was kept is sent once more as it was: its readings have the same keys, so that none
 * counts twice, and what changes from now on is a correction in either case.
 * @param {Map<string, boolean>} held keys in the outbox, and whether each may still change
 * @returns {{ledger: Ledger, again: object[][]}}
 */
export function afterOpening(ledger, held) {
  let found = ledger;
  const again = ledger.pending ? [[ledger.pending]] : [];
  for (const [cycle, draft] of Object.entries(ledger.drafts)) {
    const rows = JSON.parse(draft.text);
    if (held.get(draft.key) === true) {
      // the outbox may have got as far as the next change, which was not noted any more
      const stale = { ...draft, sure: true, stale: true };
      found = { ...found, drafts: { ...found.drafts, [cycle]: stale } };
    } else {
      if (!draft.sure && !held.has(draft.key)) again.push(rows);
      found = withRelease(found, cycle);
    }
  }
  return { ledger: ledger.pending ? withLate(found, ledger.pending) : found, again };
}
