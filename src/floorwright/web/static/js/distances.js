/** Metres walked by the shop's distance table, as in observe.walk and exchange.shapes. */

/**
 * @param {[string, string, number][]} table from, to, metres; one direction stands for both unless the other is given
 */
export function distanceTable(table) {
  const plain = (name) => name.toLowerCase();
  const metres = new Map(table.map(([from, to, m]) => [JSON.stringify([plain(from), plain(to)]), m]));
  const leg = (from, to) => {
    if (plain(from) === plain(to)) return 0;
    const there = metres.get(JSON.stringify([plain(from), plain(to)]));
    return there ?? metres.get(JSON.stringify([plain(to), plain(from)])) ?? null;
  };
  return {
    /** Metres from one station to another; null where the table does not say. */
    leg,
    /** Metres along a route; null where a leg is missing. */
    walked(route) {
      const legs = route.slice(1).map((to, i) => leg(route[i], to));
      return legs.includes(null) ? null : legs.reduce((sum, m) => sum + m, 0);
    },
  };
}
