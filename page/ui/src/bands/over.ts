// The curves that were taken, laid over the prediction: those of the setting
// that stands, told apart by pattern first.

import type { Line, Pattern, Pen } from '../picture'
import { words } from '../words'
import type { Compare, TakenCurve } from './ask'

const pens: readonly { pattern: Pattern; pen: Pen }[] = [
  { pattern: 'dashed', pen: 'second' },
  { pattern: 'dashdot', pen: 'fourth' },
  { pattern: 'dotted', pen: 'third' },
]

/** What a unit's curves are called. */
export function nameOf(unit: { unit: string; role: string }): string {
  return unit.role === 'original' ? words.bands.curve.original(unit.unit) : words.bands.curve.measured(unit.unit)
}

/** A unit's curve at a setting. */
export const takenAt = (curves: readonly TakenCurve[], setting: string): TakenCurve | undefined => curves.find((c) => c.setting === setting)

/** The lines of the units that are laid over, at the setting that stands. */
export function overLines(compare: Compare | null, laid: readonly number[], setting: string): Line[] {
  return laid.flatMap((i) => {
    const unit = compare?.units[i]
    const curve = unit && takenAt(unit.curves, setting)
    if (unit === undefined || curve === undefined) return []
    const pen = unit.role === 'original' ? { pattern: 'dotted' as const, pen: 'third' as const } : (pens[i % pens.length] ?? pens[0]!)
    return [{ name: nameOf(unit), hz: curve.measured.hz, db: curve.measured.db, ...pen }]
  })
}
