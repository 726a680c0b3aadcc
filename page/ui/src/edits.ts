// Changes of the job that are more than one value.

import type { Edit } from './types'

type Path = readonly string[]

/** A new last entry of a list that holds `count` now. */
export function addTo(list: Path, count: number, entries: readonly (readonly [path: Path, value: string])[]): Edit[] {
  return entries.map(([path, value]) => ({ path: [...list, String(count), ...path], value }))
}

/** Takes an entry out of a list. */
export const removeFrom = (list: Path, index: number): Edit[] => [{ path: [...list, String(index)], value: '', remove: true }]
