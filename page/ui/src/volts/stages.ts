// What the job says of the stages of a first power-up: signed, or left out for a
// reason.

import { addTo } from '../edits'
import type { Edit, JobView } from '../types'
import { tablesAt, textAt } from '../view'

const list = ['volts', 'stage']

/** The edits that say it; the other of the two is cleared. */
export function sayOf(view: JobView | null, stage: string, said: { signed: string; skipped: string }): Edit[] {
  const stages = tablesAt(view, ...list)
  const at = stages.findLastIndex((s) => textAt(s, 'stage') === stage)
  const entries = Object.entries(said)
  if (at >= 0) return entries.map(([key, value]) => ({ path: [...list, String(at), key], value }))
  const written: [string[], string][] = entries.filter(([, value]) => value !== '').map(([key, value]) => [[key], value])
  return written.length === 0 ? [] : addTo(list, stages.length, [[['stage'], stage], ...written])
}
