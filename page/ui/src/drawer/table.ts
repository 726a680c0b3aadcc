// The drawer's table: what stands in a row, how it is sorted and filtered, and
// which rows lie in the window. Pure, so that ten thousand parts cost what the
// screen shows.

import type { DrawerPart, PartKind, Pick } from './types'

export type SortKey = 'id' | 'kind' | 'marked' | 'measured' | 'q' | 'dcr' | 'count' | 'place'
export interface Sorting {
  by: SortKey
  down: boolean
}

/** The kinds in the order they are listed. */
export const kinds: readonly PartKind[] = ['coil', 'capacitor', 'resistor']

/** The reading that counts: the last that has a value. */
export const readingOf = (part: DrawerPart) => part.readings?.findLast((r) => (r.value ?? 0) > 0)

export const qOf = (part: DrawerPart): number => part.readings?.findLast((r) => (r.q ?? 0) > 0)?.q ?? 0
export const dcrOf = (part: DrawerPart): number => part.readings?.findLast((r) => (r.dcr ?? 0) > 0)?.dcr ?? 0

const valueBy: Record<SortKey, (p: DrawerPart) => string | number> = {
  id: (p) => p.id,
  kind: (p) => kinds.indexOf(p.kind),
  marked: (p) => p.marked ?? 0,
  measured: (p) => readingOf(p)?.value ?? 0,
  q: qOf,
  dcr: dcrOf,
  count: (p) => p.count,
  place: (p) => p.place ?? '',
}

const inOrder = new Intl.Collator('en', { numeric: true, sensitivity: 'base' })

/** Sorts; parts that are alike stay in the file's order. */
export function sorted(parts: readonly DrawerPart[], { by, down }: Sorting): DrawerPart[] {
  const value = valueBy[by]
  const sign = down ? -1 : 1
  return [...parts].sort((a, b) => {
    const x = value(a)
    const y = value(b)
    if (typeof x === 'number' && typeof y === 'number') return sign * (x - y)
    return sign * inOrder.compare(String(x), String(y))
  })
}

/** Keeps what is of the kind and has every word asked for somewhere in what its
 * row shows: "390 mH", "B2", "spare". */
export function filtered(
  parts: readonly DrawerPart[],
  kind: PartKind | '',
  words: string,
  shown: (part: DrawerPart) => string,
): readonly DrawerPart[] {
  const wanted = words.toLowerCase().split(/\s+/).filter((w) => w !== '')
  if (kind === '' && wanted.length === 0) return parts
  return parts.filter((p) => {
    if (kind !== '' && p.kind !== kind) return false
    if (wanted.length === 0) return true
    const text = shown(p).toLowerCase()
    return wanted.every((w) => text.includes(w))
  })
}

/** The rows to draw: those in sight and a few beyond either edge. */
export function inSight(count: number, rowHeight: number, scrolled: number, height: number): { from: number; to: number } {
  const beyond = 8
  const from = Math.max(0, Math.min(count, Math.floor(scrolled / rowHeight)) - beyond)
  const to = Math.min(count, Math.ceil((scrolled + height) / rowHeight) + beyond)
  return { from, to: Math.max(from, to) }
}

/** The pick list by place, in the list's own order; null is what is in no
 * drawer. */
export function byPlace(picks: readonly Pick[]): [place: string | null, picks: Pick[]][] {
  const places = new Map<string | null, Pick[]>()
  for (const p of picks) {
    const place = p.id ? (p.place ?? '') : null
    const there = places.get(place)
    if (there === undefined) places.set(place, [p])
    else there.push(p)
  }
  return [...places]
}

/** A hand laid on the choice: what a band must have, and what none may. */
export interface Hand {
  fixed: readonly { band: string; id: string }[]
  barred: readonly string[]
}

/** Fixing a part takes a bar off it, and barring it takes it out of every band
 * it was fixed to: the two cannot both be meant. */
export function fixed(hand: Hand, band: string, id: string, on: boolean): Hand {
  const others = hand.fixed.filter((f) => f.band !== band || f.id !== id)
  if (!on) return { ...hand, fixed: others }
  return { fixed: [...others, { band, id }], barred: hand.barred.filter((b) => b !== id) }
}

export function barred(hand: Hand, id: string, on: boolean): Hand {
  const others = hand.barred.filter((b) => b !== id)
  if (!on) return { ...hand, barred: others }
  return { fixed: hand.fixed.filter((f) => f.id !== id), barred: [...others, id] }
}
