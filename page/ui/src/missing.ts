// How the steps stand by what is blank. Only form is looked at: a blank is a
// blank. What the record lacks, in words, the question `record` says.

import type { Standing } from './state'
import type { JobView } from './types'
import { tablesAt, textAt } from './view'

/** Entries that a whole record has. */
const entries: Readonly<Record<string, readonly string[]>> = {
  agreed: ['customer', 'wants', 'price', 'date', 'by'],
  found: ['mains', 'rail', 'hum', 'repairs', 'measured'],
  tap_in: ['where', 'load', 'level', 'cut', 'zero_volt', 'rail_tap'],
  left: ['mains', 'rail', 'hum', 'noise', 'normal_hum', 'footswitch', 'measured'],
  safety: ['earth_bond', 'leakage', 'insulation', 'soak', 'date', 'by'],
}
const came = ['owner', 'serial', 'taken_in', 'why']
const went = ['handed_back', 'by']

const blank = (text: string): boolean => text.trim() === ''
const none = (view: JobView, ...list: string[]): boolean => tablesAt(view, ...list).length === 0

const blanks = (view: JobView, table: string, keys = entries[table] ?? []): boolean => keys.some((key) => blank(textAt(view, table, key)))

/** Is a safety reading missing? Then the amp is not to be played. */
export const unsafe = (view: JobView | null): boolean => view !== null && blanks(view, 'safety')

function ticketDone(view: JobView): boolean {
  return (
    !blank(textAt(view, 'amp')) &&
    !blanks(view, 'record', came) &&
    !['agreed', 'found', 'tap_in'].some((table) => blanks(view, table)) &&
    !tablesAt(view, 'fitting').some((s) => blank(textAt(s, 'done')))
  )
}

/** Is every coil and capacitor measured, beside what is marked on it? */
const partsDone = (view: JobView): boolean =>
  tablesAt(view, 'band').every((band) => ['coil', 'capacitor'].every((part) => !blank(textAt(band, part, 'measured', 'value'))))

const stages = ['bench', 'limiter', 'mains']

/** Feed, wiring, readings and curves: what was to be done on the way. */
function workDone(view: JobView): boolean {
  const signed = (stage: string) => tablesAt(view, 'volts', 'stage').some((s) => textAt(s, 'stage') === stage && !blank(textAt(s, 'signed')))
  const read = (kind: string) => tablesAt(view, 'reading').some((r) => textAt(r, 'kind') === kind && !blank(textAt(r, 'value')))
  return (
    !blanks(view, 'feed', ['fuse', 'cold', 'ripple']) &&
    !none(view, 'run') &&
    tablesAt(view, 'run').every((r) => ['made', 'removed'].includes(textAt(r, 'state'))) &&
    !tablesAt(view, 'moved').some((m) => textAt(m, 'mains') === 'true' && blank(textAt(m, 'signed_by'))) &&
    stages.every(signed) &&
    read('ohms') &&
    read('volts') &&
    tablesAt(view, 'curve').some((c) => textAt(c, 'role') === 'measured')
  )
}

const handedOver = (view: JobView): boolean =>
  !blanks(view, 'left') && !none(view, 'left', 'volts') && !unsafe(view) && !blanks(view, 'record', went) && !none(view, 'record', 'photo')

/** How the steps stand that the record itself tells of. */
export function standings(view: JobView | null): Readonly<Record<'ticket' | 'parts' | 'handover', Standing>> {
  if (view === null) return { ticket: 'look', parts: 'ahead', handover: 'ahead' }
  const done = (is: boolean): Standing => (is ? 'done' : 'ahead')
  return {
    ticket: done(ticketDone(view)),
    parts: done(partsDone(view)),
    handover: done(ticketDone(view) && partsDone(view) && workDone(view) && handedOver(view)),
  }
}
