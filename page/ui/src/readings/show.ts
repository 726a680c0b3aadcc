// Readings as a bench meter shows them. Writing only: nothing is worked out.

import type { components } from '../contract'
import { shown } from '../show'
import { words } from '../words'

type Setting = components['schemas']['CurveSetting']

/** Ohms: below ten to a hundredth. */
export const ohmsText = (x: number): string =>
  Math.abs(x) < 9.995 ? `${x.toFixed(2).replace('-', '−')} Ω` : shown(x, 'Ω')

/** Volts: a millivolt is the finest that is looked for. */
export function voltsText(x: number): string {
  const text = Math.abs(x).toFixed(3)
  if (Number(text) === 0) return '0 V'
  return Math.abs(x) < 1 ? `${x < 0 ? '−' : ''}${text} V` : shown(x, 'V')
}

/** From one figure to another; a unit that both have stands once, and what is
 * written alike is left out. */
export function spanText(low: string, high: string): string {
  if (low === high) return ''
  const [figure = '', unit = ''] = low.split(' ')
  return words.readings.span(high.endsWith(` ${unit}`) ? figure : low, high)
}

/** How long a reading creeps; blank where nobody notices. */
export function waitText(seconds: number): string {
  if (seconds < 1) return ''
  return seconds < 100 ? `${Number(seconds.toPrecision(2))} s` : `${Number((seconds / 60).toPrecision(2))} min`
}

/** A number as an instrument of the kind shows it. */
export function instrument(kind: string, x: number): string {
  if (kind === 'volts') return voltsText(x)
  return kind === 'ohms' ? ohmsText(x) : `${x.toFixed(1).replace('-', '−')} dB`
}

/** A setting as the job writes it. */
export function settingText(s: Setting): string {
  const sliders = Object.entries(s.sliders ?? {}).map(([band, x]) => `${band}=${x > 0 ? '+' : ''}${x}`)
  const switches = Object.entries(s.switches ?? {}).map(([name, position]) => `${name}:${position}`)
  return [...sliders, ...switches].join(',') || 'flat'
}

/** What was read, or that it was not. */
export const shownText = (kind: string, x: number | null, open: boolean): string =>
  open ? words.readings.open : x === null ? '' : instrument(kind, x)
