// What the record still lacks, and where each entry is made. Only form is
// looked at: a blank is a blank.

import type { Standing, StepName } from './state'
import type { JobView } from './types'
import { tablesAt, textAt } from './view'
import { words } from './words'

export interface Missing {
  table: string // under which heading
  what: string
  step: StepName // where it is entered
  at: string // the part of that step it stands in
}

/** Entries that print as NOT DONE, as the sheet has them. */
const entries: Readonly<Record<string, readonly string[]>> = {
  agreed: ['customer', 'wants', 'price', 'date', 'by'],
  found: ['mains', 'rail', 'hum', 'repairs', 'measured'],
  tap_in: ['where', 'source', 'load', 'level', 'cut', 'zero_volt', 'rail_tap'],
  safety: ['earth_bond', 'leakage', 'insulation', 'soak', 'date', 'by'],
}

const named: Readonly<Record<string, Readonly<Record<string, unknown>>>> = {
  agreed: words.ticket.agreed,
  found: words.ticket.found,
  tap_in: words.ticket.tapIn,
  safety: words.ticket.safety,
}

const blank = (text: string): boolean => text.trim() === ''

/** Everything missing, in the order of the record. */
export function missing(view: JobView | null): Missing[] {
  if (view === null) return []
  return [
    ...inTable(view, 'agreed'),
    ...inTable(view, 'found'),
    ...inTable(view, 'tap_in'),
    ...unmeasured(view),
    ...undone(view),
    ...(tablesAt(view, 'curve').some((c) => textAt(c, 'role') !== 'target')
      ? []
      : [{ table: 'curves', what: words.handover.missing.noCurve, step: 'curves' as const, at: 'bring-head' }]),
    ...inTable(view, 'safety'),
  ]
}

function inTable(view: JobView, table: string): Missing[] {
  return (entries[table] ?? [])
    .filter((key) => blank(textAt(view, table, key)))
    .map((key) => ({ table, what: String(named[table]?.[key] ?? key), step: 'ticket', at: table }))
}

function undone(view: JobView): Missing[] {
  return tablesAt(view, 'fitting').flatMap((s, i) =>
    blank(textAt(s, 'done'))
      ? [{ table: 'fitting', what: words.handover.missing.step(i + 1, textAt(s, 'do')), step: 'ticket' as const, at: `fitting-${i}` }]
      : [],
  )
}

/** Coils and capacitors whose marked value is all there is. */
function unmeasured(view: JobView): Missing[] {
  const w = words.handover.missing
  return tablesAt(view, 'band').flatMap((band) =>
    ['coil', 'capacitor']
      .filter((part) => blank(textAt(band, part, 'measured', 'value')))
      .map((part) => ({
        table: 'parts',
        what: w.notMeasured(w.parts[part] ?? part, textAt(band, 'name')),
        step: 'bands' as const,
        at: `band-${textAt(band, 'name')}`,
      })),
  )
}

/** Is a safety reading missing? Then the amp is not to be played. */
export const unsafe = (list: readonly Missing[]): boolean => list.some((m) => m.table === 'safety')

/** How the steps stand that the record itself tells of. */
export function standings(view: JobView | null): Readonly<Record<'ticket' | 'parts' | 'handover', Standing>> {
  if (view === null) return { ticket: 'look', parts: 'ahead', handover: 'ahead' }
  const list = missing(view)
  const done = (is: boolean): Standing => (is ? 'done' : 'ahead')
  return {
    ticket: done(!list.some((m) => m.step === 'ticket')),
    parts: done(!list.some((m) => m.table === 'parts')),
    handover: done(list.length === 0),
  }
}
