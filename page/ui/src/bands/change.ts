// A change of parts before it is kept: which fields there are, and the edits
// that what was typed comes to.

import type { Edit, JobView } from '../types'
import { textAt, tablesAt } from '../view'

export type PartName = 'resistor' | 'coil' | 'capacitor' | 'slider'
export type FieldName = 'value' | 'measured' | 'dcr' | 'tolerance'

export interface Field {
  part: PartName
  field: FieldName
  kind: string // what preferred values are asked as; '' where there are none
  text: string // as the job has it
}

const kinds: Record<PartName, string> = { resistor: 'resistor', coil: 'coil', capacitor: 'capacitor', slider: 'slider' }
const has: Record<PartName, readonly FieldName[]> = {
  resistor: ['value', 'measured', 'tolerance'],
  coil: ['value', 'measured', 'dcr', 'tolerance'],
  capacitor: ['value', 'measured', 'tolerance'],
  slider: ['value', 'tolerance'],
}

const keys: Record<FieldName, readonly string[]> = {
  value: ['value'],
  measured: ['measured', 'value'],
  dcr: ['dcr'],
  tolerance: ['tolerance'],
}

/** The fields of a band's parts, in the order of the leg. */
export function fieldsOf(view: JobView | null, band: string): Field[] {
  const table = tablesAt(view, 'band').find((b) => b.name === band)
  if (table === undefined) return []
  const parts = Object.keys(has) as PartName[]
  return parts.flatMap((part) =>
    has[part].map((field) => ({
      part,
      field,
      kind: field === 'value' && part !== 'slider' ? kinds[part] : '',
      text: textAt(table, part, ...keys[field]),
    })),
  )
}

export const idOf = (f: Pick<Field, 'part' | 'field'>): string => `${f.part}.${f.field}`

/** The edits of what was typed; what says the same as before is none. */
export function editsOf(band: string, fields: readonly Field[], typed: Readonly<Record<string, string>>): Edit[] {
  return fields.flatMap((f) => {
    const text = typed[idOf(f)]?.trim()
    if (text === undefined || text === f.text) return []
    return [{ path: ['band', band, f.part, ...keys[f.field]], value: text }]
  })
}

/** The edits that put a designed leg into a band. A measured value belongs to
 * the part that was there, so it goes with it. */
export function legEdits(
  view: JobView | null,
  band: string,
  leg: { resistor: string; coil: string; dcr: string; capacitor: string },
  kept: readonly string[],
): Edit[] {
  const table = tablesAt(view, 'band').find((b) => b.name === band)
  const edits: Edit[] = []
  const put = (part: PartName, value: string, ...key: string[]): void => {
    if (!kept.includes(part)) edits.push({ path: ['band', band, part, ...key], value })
  }
  for (const part of ['resistor', 'coil', 'capacitor'] as const) {
    put(part, leg[part], 'value')
    if (textAt(table ?? null, part, 'measured', 'value') !== '') put(part, '', 'measured', 'value')
  }
  put('coil', leg.dcr, 'dcr')
  return edits
}

/** A wish as it is typed for the server; '' where a band has none. */
export function wish(band: string, w: { centre: string; boost: string; q: string }): string {
  const words = [
    w.centre.trim() && `centre ${w.centre.trim()}`,
    w.boost.trim() && `boost ${w.boost.trim()}`,
    w.q.trim() && `q ${w.q.trim()}`,
  ].filter((x) => x !== '')
  return words.length === 0 ? '' : `${band}: ${words.join(' ')}`
}
