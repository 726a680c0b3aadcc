// What was read, in the job: found, entered, taken out again. Nothing is judged
// here; that is asked.

import { addTo, removeFrom } from '../edits'
import type { OpenJob, Draft } from '../state'
import { draftOf } from '../state'
import type { Edit, JobView } from '../types'
import { tablesAt, textAt } from '../view'

export type ReadingKind = 'ohms' | 'volts' | 'gain'

/** Where a meter is held, and what for. */
export interface Spot {
  kind: ReadingKind
  red: string
  black: string
  setting: string
  stage: string
  at?: string // the frequency of a gain, as it is written
}

/** A reading as it stands in the job; blank black is ground, blank setting flat. */
export interface Entered extends Spot {
  index: number
  value: string
}

const ground = '0'
const flat = 'flat'

/** Every reading of the job, in the file's order. */
export function entered(view: JobView | null): Entered[] {
  return tablesAt(view, 'reading').map((r, index) => ({
    index,
    kind: textAt(r, 'kind') as ReadingKind,
    red: textAt(r, 'red'),
    black: textAt(r, 'black') || ground,
    setting: textAt(r, 'setting') || flat,
    stage: textAt(r, 'stage'),
    at: textAt(r, 'at'),
    value: textAt(r, 'value'),
  }))
}

/** The reading of a spot; the later of two counts. Ohms are the same either way
 * round. */
export function readingAt(list: readonly Entered[], spot: Spot): Entered | undefined {
  return list.findLast((r) => r.kind === spot.kind && r.stage === spot.stage && r.setting === spot.setting && samePlace(r, spot))
}

function samePlace(r: Entered, spot: Spot): boolean {
  if (spot.kind === 'gain') return r.at === spot.at
  if (r.red === spot.red && r.black === spot.black) return true
  return spot.kind === 'ohms' && r.red === spot.black && r.black === spot.red
}

/** The edits by which what was typed at a spot stands in the job; a blank box
 * takes the reading out. */
export function put(view: JobView | null, spot: Spot, value: string): Edit[] {
  const list = entered(view)
  const there = readingAt(list, spot)
  if (value === '') return there === undefined ? [] : removeFrom(['reading'], there.index)
  if (there !== undefined) return value === there.value ? [] : [{ path: ['reading', String(there.index), 'value'], value }]
  const entries: [string[], string][] = [[['kind'], spot.kind]]
  if (spot.at !== undefined) entries.push([['at'], spot.at])
  if (spot.kind !== 'gain') entries.push([['red'], spot.red])
  if (spot.kind !== 'gain' && spot.black !== ground) entries.push([['black'], spot.black])
  if (spot.setting !== flat) entries.push([['setting'], spot.setting])
  return addTo(['reading'], list.length, [...entries, [['value'], value], [['stage'], spot.stage]])
}

/** A reading as the command takes it. */
export function written(r: Entered): string {
  const place = r.kind === 'gain' ? (r.at ?? '') : r.black === ground ? r.red : `${r.red} ${r.black}`
  return `${r.kind} ${place} ${r.value}${r.setting === flat ? '' : ` at ${r.setting}`}`
}

// What a draft says beside its readings, as text; made once of each.
const others = new WeakMap<Draft, string>()

function beside(draft: Draft): string {
  let text = others.get(draft)
  if (text === undefined) {
    text = JSON.stringify({ ...draft.view, reading: null })
    others.set(draft, text)
  }
  return text
}

/**
 * The text that long questions are asked of: of the drafts that differ from the
 * one that stands in their readings alone, the first. So the server plans a
 * list once, and each reading that is typed goes beside it.
 */
export function planText(open: OpenJob): string {
  const stands = draftOf(open)
  const same = open.drafts.find((d) => d.view !== null && stands.view !== null && beside(d) === beside(stands))
  return (same ?? stands).text
}
