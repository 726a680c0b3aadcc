// Changes of the job that are more than one value.

import type { Edit } from './types'

/** A new last entry of a list that holds `count` now. */
export function addTo(list: string, count: number, entries: readonly (readonly [path: readonly string[], value: string])[]): Edit[] {
  return entries.map(([path, value]) => ({ path: [list, String(count), ...path], value }))
}

/** Takes an entry out of a list. */
export const removeFrom = (list: string, index: number): Edit[] => [{ path: [list, String(index)], value: '', remove: true }]
