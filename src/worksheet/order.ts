/** An order of cells, and those that stand in or behind a circle and have none. */
export interface CellOrder {
  /** The place of each cell; one that needs another comes after it. */
  readonly ranks: Map<string, number>;
  /** The cells that need each other, or need such cells. */
  readonly circular: ReadonlySet<string>;
}

/**
 * Brings cells into an order in which each comes after those that it needs; else they keep the order given.
 * @param needs for each cell the cells that it needs
 */
export function orderCells(needs: ReadonlyMap<string, readonly string[]>): CellOrder {
  const open = new Map<string, number>();
  const neededBy = new Map<string, string[]>();
  for (const [cell, list] of needs) {
    open.set(cell, list.length);
    for (const other of list) neededBy.set(other, [...(neededBy.get(other) ?? []), cell]);
  }
  const ranks = new Map<string, number>();
  const ready = [...needs.keys()].filter((cell) => open.get(cell) === 0);
  for (let i = 0; i < ready.length; i++) {
    ranks.set(ready[i], ranks.size);
    for (const user of neededBy.get(ready[i]) ?? []) {
      const left = open.get(user)! - 1;
      open.set(user, left);
      if (left === 0) ready.push(user);
    }
  }
  const circular = new Set([...needs.keys()].filter((cell) => !ranks.has(cell)));
  for (const cell of circular) ranks.set(cell, ranks.size);
  return { ranks, circular };
}

/**
 * The shortest circle that leads from a cell back to itself.
 * @param start the cell
 * @param needs for each cell the cells that it needs
 * @returns the cells of the circle, the given one first, or null where it stands in none
 */
export function circleThrough(start: string, needs: ReadonlyMap<string, readonly string[]>): string[] | null {
  const cameFrom = new Map<string, string>();
  const open = [start];
  for (let i = 0; i < open.length; i++) {
    for (const other of needs.get(open[i]) ?? []) {
      if (other === start) return walkBack(open[i], start, cameFrom);
      if (cameFrom.has(other)) continue;
      cameFrom.set(other, open[i]);
      open.push(other);
    }
  }
  return null;
}

function walkBack(end: string, start: string, cameFrom: ReadonlyMap<string, string>): string[] {
  const path: string[] = [];
  for (let cell = end; cell !== start; cell = cameFrom.get(cell)!) path.unshift(cell);
  return [start, ...path];
}
