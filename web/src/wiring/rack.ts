// The rows of a rack's elevation: a row a unit, long free stretches drawn as one, what clashes side by side.

import type { Rack, Racked } from '../api/schema';

/** Free stretches longer than this become one row, units. */
const FREE_MOST = 3;

export type RackRow = { top: number; bottom: number };
export type RackPlace = { one: Racked; row: number; rows: number; lane: number };
export type RackLaid = {
  /** From the top. */
  rows: RackRow[];
  places: RackPlace[];
  /** How many stand side by side at most. */
  lanes: number;
  /** What reaches out of the rack. */
  outside: Racked[];
};

export function laid({ slots, things }: Pick<Rack, 'slots' | 'things'>): RackLaid {
  const top = ({ slot, units }: Racked) => slot + Math.max(1, units) - 1;
  const inside = things.filter((one) => one.slot >= 1 && top(one) <= slots);
  const isTaken = (unit: number) => inside.some((one) => one.slot <= unit && unit <= top(one));
  const rows: RackRow[] = [];
  for (let unit = slots; unit >= 1; unit -= 1) {
    let bottom = unit;
    while (bottom > 1 && !isTaken(unit) && !isTaken(bottom - 1)) bottom -= 1;
    if (unit - bottom >= FREE_MOST) {
      rows.push({ top: unit, bottom });
      unit = bottom;
    } else rows.push({ top: unit, bottom: unit });
  }
  const rowOf = (unit: number) => rows.findIndex((row) => row.bottom <= unit && unit <= row.top);
  const places: RackPlace[] = [];
  for (const one of inside) {
    const row = rowOf(top(one));
    const rowsOfIt = rowOf(one.slot) - row + 1;
    const clash = places.filter((other) => other.row < row + rowsOfIt && row < other.row + other.rows);
    let lane = 0;
    while (clash.some((other) => other.lane === lane)) lane += 1;
    places.push({ one, row, rows: rowsOfIt, lane });
  }
  return {
    rows,
    places,
    lanes: 1 + Math.max(0, ...places.map(({ lane }) => lane)),
    outside: things.filter((one) => !inside.includes(one)),
  };
}

/** "Units 5 to 8". */
export function unitsText({ slot, units }: Racked): string {
  return units <= 1 ? `Unit ${slot}` : `Units ${slot} to ${slot + units - 1}`;
}
