// Shares and found values as the command writes them. Writing only.

import { decibels, hertz, shown } from '../show'
import { words } from '../words'
import type { Account, AccountFigure, FitValue } from './ask'

/** A figure with its sign, the true minus, and no sign on nought. */
function signed(x: number, places = 2): string {
  const text = Math.abs(x).toFixed(places)
  return `${Number(text) === 0 ? '' : x < 0 ? '−' : '+'}${text}`
}

const fields = ['Henries', 'Farads', 'Ohms'] as const

function cells(f: AccountFigure): string[] {
  const scale = f.relative ? 100 : 1 // a share shows in per cent
  const within = (s: { share: number; low: number; high: number } | undefined): string =>
    `${signed(scale * (s?.share ?? 0))} ±${((scale * ((s?.high ?? 0) - (s?.low ?? 0))) / 2).toFixed(2)}`
  return [
    signed(scale * f.difference),
    ...fields.map((field) => within(f.own?.find((s) => s.field === field))),
    within(f.neighbours),
    f.as_drawn === null ? '' : signed(scale * f.as_drawn),
    signed(scale * f.not_explained),
  ]
}

/** The rows of an account; a band's name stands in the first of its rows. */
export function shareRows(a: Account): string[][] {
  const w = words.curves.why.figures
  return (a.bands ?? []).flatMap((b) => {
    const figures = [
      { name: w.centre, of: b.centre, write: hertz },
      { name: w.boost, of: b.boost, write: decibels },
      { name: w.cut, of: b.cut, write: decibels },
      { name: w.width, of: b.width, write: hertz },
    ]
    return figures.flatMap(({ name, of, write }) => (of === null ? [] : [[b.band, name, write(of.from), write(of.to), ...cells(of)]]))
  })
}

const unitOf: Readonly<Record<string, string>> = {
  Ohms: 'Ω', Henries: 'H', Farads: 'F', DCR: 'Ω', CoreOhms: 'Ω', Track: 'Ω', BoostEnd: 'Ω', CutEnd: 'Ω', GainBandwidth: 'Hz',
}

/** A value as found, in the unit of its field. */
export const found = (v: Pick<FitValue, 'field' | 'value'>): string => shown(v.value, unitOf[v.field] ?? '').trim()

/** How far it is off the job's, give or take; not told: the curves do not show it. */
export function off(v: Pick<FitValue, 'told' | 'off' | 'value' | 'high'>): string {
  const w = words.curves.fit
  if (!v.told) return w.notTold
  const give = v.high > 2 * v.value ? w.notKnown : `±${(100 * (v.high / v.value - 1)).toFixed(2)} %`
  return `${signed(100 * v.off)} % ${give}`
}
