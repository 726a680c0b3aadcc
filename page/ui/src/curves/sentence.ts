// One plain sentence a band, from what the compare question found.

import { decibels, deviation, hertz } from '../show'
import type { Finding, Findings } from '../types'
import { words } from '../words'
import type { BandCompare } from './types'

/** What was measured of a band beside what was predicted. */
export function sentence(b: BandCompare): string {
  const w = words.curves.say
  const facts: string[] = []
  if (b.measured_hz !== null) {
    facts.push(
      b.centre_off_percent === null
        ? w.centreOnly(hertz(b.measured_hz))
        : w.centre(hertz(b.measured_hz), deviation(b.centre_off_percent), hertz(b.predicted_hz)),
    )
  }
  const off = (db: number | null) => (db === null ? w.noOff : decibels(db))
  if (b.measured_boost_db !== null) facts.push(w.boost(decibels(b.measured_boost_db), off(b.boost_off_db)))
  if (b.measured_cut_db !== null) facts.push(w.cut(decibels(b.measured_cut_db), off(b.cut_off_db)))
  if (facts.length === 0) return w.notMeasured(b.band)
  return `${w.band(b.band)}${facts.join('; ')}; ${b.off ? w.off : w.within}.`
}

/** What the program has to say of one band of one unit. */
export const saidOf = (findings: Findings, unit: string, band: string): readonly Finding[] =>
  findings.filter((f) => f.place?.band === band && (f.args?.['unit'] ?? '') === unit)
