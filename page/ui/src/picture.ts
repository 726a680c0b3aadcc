// What a plot is asked to show, and the sheet it is drawn on: plain data and
// measures, nothing of any library.

import { decadeDB, decibelTicks, type Tick } from './ticks'

export type Pattern = 'solid' | 'dashed' | 'dotted' | 'dashdot' | 'longdash'

/** The inks of the style sheet. */
export type Pen = 'first' | 'second' | 'third' | 'fourth'

/** One line. Patterns tell lines apart first, inks second. */
export interface Line {
  name: string
  hz: readonly number[]
  db: readonly (number | null)[]
  pen: Pen
  pattern: Pattern
  width?: number
}

/** A range, shaded. */
export interface Shade {
  name: string
  hz: readonly number[]
  low: readonly number[]
  high: readonly number[]
}

/** A stated frequency. */
export interface Mark {
  hz: number
  label: string
}

export interface Picture {
  lines: readonly Line[] // the last is uppermost
  shade: Shade | null
  marks: readonly Mark[]
  low: number // dB shown at least
  high: number
}

export const lowHz = 20
export const highHz = 20000

/** On and off, CSS pixels; the same patterns as on paper. */
export const dashes: Record<Pattern, number[]> = {
  solid: [],
  dashed: [7, 4],
  dotted: [1.5, 3.5],
  dashdot: [9, 3.5, 1.5, 3.5],
  longdash: [14, 5],
}

/** Room round the frame for numbers and marks, CSS pixels. */
export const edge = { left: 40, right: 16, top: 44, bottom: 26 }

export interface Layout {
  height: number
  levels: Tick[]
  low: number
  high: number
}

/** The height and the level ticks of a plot of a width: 25 dB are as long as a
 * decade, whatever room there is. */
export function layout(width: number, low: number, high: number): Layout {
  const decade = (width - edge.left - edge.right) / Math.log10(highHz / lowHz)
  // Labels stand no closer than two lines of text.
  const most = Math.max(3, Math.floor(((high - low) / decadeDB) * (decade / 26)) + 1)
  const levels = decibelTicks(low, high, most)
  const bottom = levels[0]?.value ?? low
  const top = levels[levels.length - 1]?.value ?? high
  const frame = ((top - bottom) / decadeDB) * decade
  return { height: Math.round(frame + edge.top + edge.bottom), levels, low: bottom, high: top }
}

/** Levels that a set of lines needs, widened to whole fives. */
export function reach(lines: readonly Line[], low: number, high: number): [number, number] {
  for (const line of lines) {
    line.db.forEach((db, i) => {
      const hz = line.hz[i] ?? 0
      if (db === null || hz < lowHz || hz > highHz) return
      low = Math.min(low, db)
      high = Math.max(high, db)
    })
  }
  return [5 * Math.floor(low / 5), 5 * Math.ceil(high / 5)]
}

/** A line's level at the point nearest a frequency; null: none there. */
export function levelAt(line: Line, hz: number): number | null {
  const { hz: at, db } = line
  if (at.length === 0) return null
  let low = 0
  let high = at.length - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if ((at[middle] ?? 0) <= hz) low = middle
    else high = middle
  }
  const nearer = hz / (at[low] ?? 1) < (at[high] ?? 1) / hz ? low : high
  return db[nearer] ?? null
}
